"""All cuts of a job in one table, sorted so that blade and stop are set as seldom as can be."""

from collections.abc import Mapping, Sequence
from itertools import groupby

from proofs.lengths import Length, Size
from proofs.pages.bench.parts import bench_page, head, mat_name
from proofs.pages.cutting.dimensions import NUMBER
from proofs.pages.drawing import Block, Page, stacked
from proofs.pages.flow import BOTTOM, MARGIN, TOP, tick
from proofs.pages.proof_sheet.sheet import PAPERS
from proofs.pages.stamp import stamp_words
from proofs.pages.typography import ASIDE, BODY, CAPTION, TITLE, Measure, Setter, baseline, rule
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.mount_kinds import MountKind
from proofs.plan.cutting.settings import Setting, settings
from proofs.records.job import Job

_NUMBER_WIDE, _SCALE_WIDE, _BOX = 104.0, 96.0, 22.0
_BETWEEN = 8.0
_HOW = (
    "Set the stop once for each number and make every cut that stands beside it, before you move"
    " it. Each cut is measured from the edge that is named, seen from the back."
)


def cutting_table(
    job: Job, kinds: Sequence[MountKind], *, paper: str, measure: Measure
) -> tuple[Page, ...]:
    """Return the pages of the table; none where nothing is cut."""
    size = PAPERS[paper]
    setter = Setter(measure, size.width.points - 2 * MARGIN)
    found = settings(kinds)
    mats = {kind.number: len(kind.mats) for kind in kinds}
    if not found:
        return ()
    top = stacked(
        [
            head(setter, above=f"{job.cutter.title}", name="All cuts", right=_count(found)),
            setter.paragraph(_HOW, BODY, setter.span(3)),
        ],
        4,
    )
    unmeasured = [number for kind in kinds for number in kind.unmeasured]
    words = stamp_words(unmeasured, sum(len(kind.benches) for kind in kinds), setter)
    blocks = [top]
    for (bevel, thickness), group in groupby(found, key=lambda s: (s.bevel, s.thickness)):
        first, *rest = (_row(job, setting, mats, setter) for setting in group)
        blocks += [stacked([_blade(bevel, thickness, setter), first], _BETWEEN), *rest]
    pages = _paged(blocks, size)
    return tuple(
        bench_page(
            size, page.at(MARGIN, TOP), f"All cuts {n} of {len(pages)}", setter, stamped=words
        )
        for n, page in enumerate(pages, 1)
    )


def _count(found: Sequence[Setting]) -> str:
    cuts = sum(use.cuts for setting in found for use in setting.uses)
    return f"{cuts} cuts"


def _blade(bevel: str, thickness: Length, setter: Setter) -> Block:
    words = f"Mat {thickness} thick, {bevel} bevel: set the blade once"
    return stacked([rule(setter.width), setter.paragraph(words, TITLE, setter.width, most=2)], 7)


def _row(job: Job, setting: Setting, mats: Mapping[int, int], setter: Setter) -> Block:
    marks = marks_of(job)
    number = setter.paragraph(marks.told(setting.at), NUMBER, _NUMBER_WIDE, most=1)
    other = setter.paragraph(marks.elsewhere(setting.at), CAPTION, _NUMBER_WIDE, most=1)
    cells = [*stacked([number, other]).marks]
    left = _NUMBER_WIDE
    if job.cutter.scale_offset:
        scale = marks.told(setting.at + job.cutter.scale_offset)
        words = stacked(
            [
                setter.paragraph("scale", CAPTION, _SCALE_WIDE),
                setter.paragraph(scale, TITLE, _SCALE_WIDE, most=1),
            ]
        )
        cells += words.at(left, 2)
        left += _SCALE_WIDE
    uses = stacked([_use(use, setter, left) for use in _uses(setting, mats)], 3)
    cells += uses.at(left, 5)
    height = max(number.height + other.height, uses.height + 5)
    return stacked([rule(setter.width), Block(height, tuple(cells))], 4)


def _uses(setting: Setting, mats: Mapping[int, int]) -> list[tuple[str, str]]:
    return [
        (
            f"mount {use.kind}{_which(use.mat, mats[use.kind])}: {', '.join(use.edges)}",
            "1 cut" if use.cuts == 1 else f"{use.cuts} cuts",
        )
        for use in setting.uses
    ]


def _which(place: int, count: int) -> str:
    return f", {mat_name(place, count)}" if count > 1 else ""


def _use(words: tuple[str, str], setter: Setter, left: float) -> Block:
    """A box to tick, where to cut, and how many cuts that is."""
    where, count = words
    text = setter.paragraph(where, BODY, setter.width - left - _BOX - 60, most=2)
    cuts = setter.placed(count, ASIDE, setter.width - left, baseline(BODY))
    box = tick()
    return Block(max(text.height, box.height), (*box.at(0, 1), *text.at(_BOX, 0), cuts))


def _paged(blocks: Sequence[Block], size: Size) -> list[Block]:
    """The blocks down the pages, each whole on one."""
    room = size.height.points - TOP - BOTTOM
    pages: list[list[Block]] = [[]]
    used = 0.0
    for block in blocks:
        if pages[-1] and used + block.height > room:
            pages.append([])
            used = 0.0
        pages[-1].append(block)
        used += block.height + _BETWEEN
    return [stacked(page, _BETWEEN) for page in pages]
