"""Sheets of test strips that earlier runs made, and the recipes by which they are known."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from proofs.commands.strip.worker import (
    ShownPicture,
    StripResult,
    StripTask,
    caption,
    sheet_preview,
)
from proofs.outside.files import MOST_PICTURE_BYTES, read_bytes
from proofs.outside.run_folder import RunFolder
from proofs.plan.making.recipes import MadeWith, print_sources
from proofs.records.stored_values import restored, stored
from proofs.run.source_digests import SourceDigests


@dataclass(frozen=True, slots=True)
class SheetWork:
    """The sheets of a run, and what earlier runs left of them.

    ``recipes`` are the keys of the sheets to keep, by name; ``shown`` are their pictures.
    """

    tasks: Sequence[StripTask]
    recipes: Mapping[str, str]
    shown: Mapping[str, tuple[ShownPicture, ...]]
    made_with: MadeWith
    digests: SourceDigests


def sheet_key(task: StripTask, digests: Sequence[str], made_with: MadeWith) -> str:
    """Return the key of a sheet; ``digests`` are those of its pictures' files, in order."""
    job, options = task.job, task.options
    pictures = []
    for (number, n), sha256 in zip(task.sources, digests, strict=True):
        plan = task.plans[number]
        own = [""] * n + [sha256] + [""] * (len(plan.parts) - n - 1)
        source = print_sources(job, plan, own, options.sharpen)[n]
        words, lying = caption(plan.entry, n), plan.layout.pictures[n]
        place = plan.parts[n].wish.look_at
        pictures.append((source, words, lying, plan.variants, len(plan.parts), place))
    sheet = (task.frame, task.sheet, task.head, task.foot, options.at, made_with.font_sha256)
    lab = made_with.print_lab(job.lab)
    return made_with.key("sheet of test strips", lab, job.paper, sheet, pictures)


def sheet_work(
    tasks: Sequence[StripTask], folder: RunFolder, digests: SourceDigests, made_with: MadeWith
) -> SheetWork:
    """Return which sheets earlier runs left as this one would make them."""
    recipes, shown = {}, {}
    for task in tasks:
        known = digests.of(tuple(task.sources.values()))
        key = sheet_key(task, known, made_with) if known else ""
        try:
            shown[task.name] = restored(tuple[ShownPicture, ...], folder.result(key))
        except ValueError:  # not known, or not as this version notes it
            continue
        recipes[task.name] = key
    kept = folder.keeping(recipes).names
    return SheetWork(
        tasks,
        {name: key for name, key in recipes.items() if name in kept},
        {name: pictures for name, pictures in shown.items() if name in kept},
        made_with,
        digests,
    )


def kept_sheets(work: SheetWork, folder: RunFolder) -> dict[int, StripResult]:
    """Return the results of the sheets that are kept, by sheet."""
    return {
        task.number: StripResult(
            dict(zip(task.sources, work.shown[task.name], strict=True)), folder.sha256(task.name)
        )
        for task in work.tasks
        if task.name in work.shown
    }


def place_sheet(work: SheetWork, task: StripTask, sheet: StripResult, folder: RunFolder) -> None:
    """Put a sheet into the folder; one that lacks a picture will be made again."""
    pictures = [sheet.pictures[picture] for picture in task.sources]
    shown = tuple(picture for picture in pictures if isinstance(picture, ShownPicture))
    if len(shown) < len(pictures):
        folder.place({task.name: sheet.sha256})
        return
    digests = tuple(picture.sha256 for picture in shown)
    work.digests.learn(tuple(task.sources.values()), digests)
    key = sheet_key(task, digests, work.made_with)
    folder.place({task.name: sheet.sha256}, {task.name: key}, {key: stored(shown)})


def previews_of(
    tasks: Iterable[StripTask], made: Mapping[int, StripResult], folder: RunFolder
) -> dict[str, bytes]:
    """Return the previews of the sheets that were made or kept, by name."""
    previews = {}
    for task in tasks:
        if task.number in made:
            previews[task.name] = made[task.number].preview or sheet_preview(
                read_bytes(folder.path / task.name, most=MOST_PICTURE_BYTES), task.frame
            )
    return previews
