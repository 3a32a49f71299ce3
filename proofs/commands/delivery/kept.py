"""What a delivery takes over from the earlier one in its folder.

A delivery is the lab's, so what only spares work is not in it: which recipe made which file, and
what was found in the pixels, is in the user's cache. The files come from the earlier delivery.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from proofs.commands.delivery.worker import DeliveryResult, DeliveryTask, sheet_preview
from proofs.findings import Finding
from proofs.outside.delivery_folder import EarlierFiles, earlier_files
from proofs.outside.files import MOST_PICTURE_BYTES, read_bytes
from proofs.outside.user_cache import read_cached, write_cached
from proofs.plan.delivery.deliveries import FileFacts
from proofs.plan.making.recipes import MadeWith, print_sources, shown_mount
from proofs.records.stored_values import restored, stored
from proofs.run.source_digests import SourceDigests

T = TypeVar("T")

_KIND = "deliveries"
_NOTHING = EarlierFiles({}, {})


@dataclass(frozen=True, slots=True)
class NotedFile:
    """What is noted with a file: the facts read back from it, and the findings on its pixels."""

    facts: FileFacts
    findings: tuple[Finding, ...]


class DeliveryNotes:
    """The notes of a run of ``deliver``: those of the earlier run, and its own for the next."""

    def __init__(self, out: Path, own: MadeWith, digests: SourceDigests, *, again: bool) -> None:
        self.made_with = own
        self.earlier = _NOTHING if again else earlier_files(out)
        self._out = out
        self._digests = digests
        self._known = read_cached(_KIND, out) if self.earlier.sums else {}
        self._new: dict[str, object] = {}
        self._read: dict[Path, str] = {}

    def digests_of(self, sources: Sequence[Path]) -> tuple[str, ...]:
        """Return the digests of pictures, nothing unless all are known."""
        if not self._read.keys() >= set(sources):
            found = self._digests.of(sources) if self._known else ()
            self._read.update(zip(sources, found, strict=False))
        known = [self._read.get(path, "") for path in sources]
        return tuple(known) if all(known) else ()

    def learn(self, sources: Sequence[Path], digests: Sequence[str]) -> None:
        """Note the digests of pictures that a worker read."""
        self._digests.learn(sources, digests)
        self._read.update(zip(sources, digests, strict=True))

    def taken_over(self, key: str, target: Path, kind: type[T]) -> tuple[str, T] | None:
        """Copy the file that a recipe made, and return its digest and what was noted with it.

        Returns None if it has to be made.
        """
        try:
            sha256, value = restored(tuple[str, kind], self._known.get(key))  # type: ignore[valid-type]  # a type in hand
        except ValueError:  # not known, or not as this version notes it
            return None
        if not self.earlier.has_copied(sha256, target):
            return None
        self._new[key] = self._known[key]
        return sha256, value

    def note(self, key: str, sha256: str, value: object) -> None:
        """Note the file that a recipe made, with a value that the next run will need."""
        self._new[key] = [sha256, stored(value)]

    def keep(self) -> None:
        """Keep the notes for the next run, once the delivery is in its place."""
        write_cached(_KIND, self._out, self._new)


def sheet_key(task: DeliveryTask, digests: Sequence[str], own: MadeWith) -> str:
    """Return the key of the file of a sheet; ``digests`` are those of its pictures' files."""
    plan, sheet, options = task.plan, task.sheet, task.options
    known = dict(zip(sheet.piece.pictures, digests, strict=True))
    every = [known.get(n, "") for n in range(len(plan.parts))]
    sources = print_sources(task.job, plan, every, options.sharpen)
    pictures = [(n, sources[n], plan.layout.pictures[n]) for n in sheet.piece.pictures]
    marks = sheet.margin_marks, sheet.number, own.font_sha256
    return own.key(
        "lab sheet",
        own.print_lab(task.job.lab),
        (pictures, len(plan.parts), sheet.piece, sheet.density, shown_mount(plan.mount)),
        (sheet.placing, marks),
        task.metadata,
    )


def taken_over(task: DeliveryTask, notes: DeliveryNotes) -> DeliveryResult | None:
    """Return the result of a sheet that the earlier delivery has; None if it has to be made."""
    digests = notes.digests_of(task.sources)
    if not digests:
        return None
    key = sheet_key(task, digests, notes.made_with)
    kept = notes.taken_over(key, task.folder / task.name, NotedFile)
    if kept is None:
        return None
    sha256, noted = kept
    return DeliveryResult(noted.facts, sha256, None, noted.findings, digests)


def note_sheet(task: DeliveryTask, made: DeliveryResult, notes: DeliveryNotes) -> None:
    """Note a sheet that was made, for the next delivery."""
    notes.learn(task.sources, made.digests)
    key = sheet_key(task, made.digests, notes.made_with)
    notes.note(key, made.sha256, NotedFile(made.facts, made.findings))


def previews_of(made: Sequence[tuple[DeliveryTask, DeliveryResult]]) -> Mapping[str, bytes]:
    """Return the previews of all sheets, by the names of their files."""
    return {
        task.name: result.preview
        or sheet_preview(read_bytes(task.folder / task.name, most=MOST_PICTURE_BYTES), task.sheet)
        for task, result in made
    }
