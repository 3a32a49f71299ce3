"""What earlier runs found in pictures, and the recipes by which it is known."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.commands.inspect.order import InspectResult, InspectTask
from proofs.commands.inspect.view import print_view
from proofs.inspection.inspected import PictureLook
from proofs.inspection.look_crops import crop_area, crop_names, cropped_marks, overview_name
from proofs.outside.run_folder import RunFolder
from proofs.plan.entry.mockup import seen_area
from proofs.plan.making.keys import without
from proofs.plan.making.recipes import MadeWith, print_sources
from proofs.records.papers import Sharpening
from proofs.records.stored_values import restored, stored
from proofs.run.source_digests import SourceDigests

_WORDS = dict.fromkeys(("name", "title", "source"), "only words for people")


@dataclass(frozen=True, slots=True)
class InspectWork:
    """The pictures of a run; ``recipes`` are the keys of the files to keep, by name."""

    tasks: tuple[InspectTask, ...]
    recipes: Mapping[str, str]
    made_with: MadeWith
    digests: SourceDigests


def _source_key(task: InspectTask, sha256: str, made_with: MadeWith) -> str:
    plan, n = task.plan, task.n
    own = [""] * n + [sha256] + [""] * (len(plan.parts) - n - 1)
    source = print_sources(task.job, plan, own, Sharpening.OFF)[n]
    return made_with.key("looked at", source)


def look_key(task: InspectTask, sha256: str, made_with: MadeWith) -> str:
    """Return the key of what is found in a picture; ``sha256`` is that of its file."""
    view = print_view(task.job, task.plan, task.n)
    seen = seen_area(task.plan, task.n, task.part.pixels)
    profile = without(task.profile, _WORDS)
    return made_with.key("look", _source_key(task, sha256, made_with), view, seen, profile)


def file_keys(task: InspectTask, look: PictureLook, made_with: MadeWith) -> dict[str, str]:
    """Return the keys of the files for its page, by name."""
    source = _source_key(task, look.sha256, made_with)
    keys = {overview_name(task.file_stem): made_with.key("overview", source)}
    for place, seen in cropped_marks(task.seen(look)):
        area = crop_area(seen.mark, task.part.pixels, task.job.lab.ppi)
        plain, raised = crop_names(task.file_stem, place)
        keys[plain] = made_with.key("crop", source, area)
        keys[raised] = made_with.key("raised crop", source, area)
    names = task.file_names(look)
    return {name: key for name, key in keys.items() if name in names}


def inspect_work(
    tasks: Sequence[InspectTask], folder: RunFolder, digests: SourceDigests, made_with: MadeWith
) -> InspectWork:
    """Return the tasks with what earlier runs left of them."""
    found = []
    recipes: dict[str, str] = {}
    for task in tasks:
        known = digests.of((task.source,))
        look = _known(task, known[0], folder, made_with) if known else None
        recipes |= file_keys(task, look, made_with) if look else {}
        found.append(replace(task, known=look))
    names = folder.keeping(recipes).names
    kept = (
        replace(task, kept=names.intersection(task.file_names(task.known))) if task.known else task
        for task in found
    )
    return InspectWork(tuple(kept), recipes, made_with, digests)


def _known(
    task: InspectTask, sha256: str, folder: RunFolder, made_with: MadeWith
) -> PictureLook | None:
    try:
        return restored(PictureLook, folder.result(look_key(task, sha256, made_with)))
    except ValueError:  # not known, or not as this version notes it
        return None


def place_look(
    work: InspectWork, task: InspectTask, result: InspectResult, folder: RunFolder
) -> None:
    """Put the files of a picture into the folder, and note what was found."""
    look, own = result.look, work.made_with
    work.digests.learn((task.source,), (look.sha256,))
    results = {look_key(task, look.sha256, own): stored(look)}
    folder.place(result.files, file_keys(task, look, own), results)
