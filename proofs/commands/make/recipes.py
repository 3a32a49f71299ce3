"""What decides the bytes of each file of an entry, and each figure measured in its pixels."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from proofs.commands.make.order import (
    MakeTask,
    back_name,
    hung_name,
    life_size_name,
    mockup_name,
    small_picture_name,
)
from proofs.commands.make.page_pictures import pixels_on_page
from proofs.findings import Status
from proofs.lengths import PixelSize
from proofs.plan.checks.hidden_checks import hides_more
from proofs.plan.making.recipes import (
    MadeWith,
    Source,
    mockup_sources,
    print_sources,
    shown_mount,
)
from proofs.plan.sheets.printed_pieces import surround_areas
from proofs.records.mounts import WindowKind
from proofs.run.print_files import print_stems, step_names


@dataclass(frozen=True, slots=True)
class EntryRecipes:
    """The recipe keys of an entry: those of its files by name, and those of its figures.

    ``tones`` are by the letter of the step; ``findings`` is that of all findings on its pixels, and
    ``life_size`` that of the part that its page shows at life size.
    """

    files: Mapping[str, str]
    tones: Mapping[str, str]
    findings: str
    life_size: str


def entry_recipes(
    task: MakeTask,
    digests: Sequence[str],
    made_with: MadeWith,
    on_page: Sequence[PixelSize] | None = None,
) -> EntryRecipes:
    """Return the recipes of an entry; ``digests`` are those of its pictures' files.

    ``on_page`` is what ``pixels_on_page`` returns for it; None if that is not known yet.
    """
    plan, job = task.plan, task.job
    sources = print_sources(job, plan, digests, task.options.sharpen)
    shown = sources if task.is_printed else mockup_sources(plan, sources)
    board = made_with.key("board", plan.layout, shown_mount(plan.mount))
    is_marked = task.outcome.status == Status.BROKEN and not task.options.anyway
    in_mount = made_with.key("in a mount", shown, board, is_marked)
    measured = made_with.key("measured", shown, made_with.print_lab(job.lab))
    black = job.paper.black_lightness
    fronts = {v: made_with.key("front", in_mount, v.density) for v in plan.variants}
    files = {mockup_name(task.stem, step): key for step, key in fronts.items()}
    outlined = [hides_more(plan, n) for n in range(len(plan.parts))]
    back = fronts[task.ghost], task.label, made_with.font_sha256, outlined
    files[back_name(task.stem)] = made_with.key("back", back)
    if task.is_hung:
        files[hung_name(task.stem)] = made_with.key("hung", fronts[plan.printed])
    places = [part.wish.look_at for part in plan.parts]
    part = made_with.key("part at life size", measured, black, board, task.has_life_size, places)
    seen = made_with.key("seen", shown, board)
    files |= _page_pictures(task, seen, part, on_page or pixels_on_page(task), made_with)
    return EntryRecipes(
        files={**files, **(_prints(task, sources, made_with) if task.is_printed else {})},
        tones={v.step: made_with.key("tones", measured, black, v.density) for v in plan.variants},
        findings=made_with.key("findings", shown, board, task.is_printed),
        life_size=part,
    )


def _page_pictures(
    task: MakeTask, seen: str, part: str, sizes: Sequence[PixelSize], made_with: MadeWith
) -> Mapping[str, str]:
    """The recipes of the small pictures: how large they are depends on all that the page shows."""
    keys = {}
    for step in task.plan.variants:
        for n, size in enumerate(sizes):
            key = made_with.key("on a page", seen, n, size, step.density)
            keys[small_picture_name(task.stem, step, n)] = key
        if task.has_life_size:
            key = made_with.key("at life size", part, step.density)
            keys[life_size_name(task.stem, step)] = key
    return keys


def _prints(task: MakeTask, sources: Sequence[Source], made_with: MadeWith) -> Mapping[str, str]:
    plan, lab, keys = task.plan, task.job.lab, {}
    is_shared = plan.mount.window == WindowKind.SURROUND
    around = (surround_areas(plan, lab.ppi), shown_mount(plan.mount)) if is_shared else None
    for n, stem in enumerate(print_stems(plan, task.stem)):
        pictures = sources if is_shared else sources[n : n + 1]
        whole = made_with.key("print", pictures, made_with.print_lab(lab), task.metadata, around)
        for step in plan.variants:
            names = step_names(plan, stem, step, lab.suffix, with_variants=task.options.variants)
            keys.update(dict.fromkeys(names, made_with.key("step", whole, step.density)))
    return keys
