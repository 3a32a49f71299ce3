"""The pages that go with test strips: the sheets small, and which letter is which density."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.densities import signed
from proofs.lengths import Size
from proofs.pages.drawing import Block, Page, Placed, frame, side_by_side, stacked
from proofs.pages.flow import FlowPart, counted, opening_block, running_pages, setter_for
from proofs.pages.proof_sheet.tone_curves import PLOT_SIDE, curves_block
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    HAIR,
    HAIRLINE,
    STRONG,
    TITLE,
    Measure,
    Setter,
    Style,
    rule,
    sentence,
)
from proofs.plan.checks.outcomes import Tones
from proofs.plan.entry.mockup import Box
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job

_ABOVE_WARNING = 4.0
_A_ROW = 4  # sheets side by side
_COLUMNS = (("step", 0.0), ("asked", 34.0), ("reached", 78.0), ("blocked", 124.0))
_MORE_COLUMNS = (("bare", 170.0), ("sheet", 210.0))

_HOW = (
    "Print the sheets like the final prints, let them dry for a day, and compare the pieces under"
    " light like the judges'. Write the letter that wins into the entries file with proofs choose."
)
_WHAT = (
    "Asked and reached: the change of density at mid grey, in the finished file. Blocked: the"
    " share of the image darker than the paper's deepest black. Bare: the share that is bare"
    " paper. None of these figures stands on the sheets, for a lab may read them as orders."
)


@dataclass(frozen=True, slots=True)
class StripSteps:
    """One entry on the strips: each step with its tones, and the numbers of its sheets.

    ``tones`` is empty, and ``problem`` says why, where the picture could not be used;
    ``warning`` says which steps lose much in the shadows.
    """

    number: str
    title: str
    variants: tuple[Variant, ...]
    tones: tuple[Tones, ...]
    sheets: tuple[str, ...]
    chosen: str = ""
    problem: str = ""
    warning: str = ""


@dataclass(frozen=True, slots=True)
class Preview:
    """A sheet to show small: its number, the name of its picture, and its size."""

    number: int
    name: str
    size: Size


def strip_pages(
    job: Job,
    entries: Sequence[StripSteps],
    previews: Sequence[Preview],
    *,
    paper: str,
    measure: Measure,
) -> tuple[Page, ...]:
    """Return the pages.

    ``paper`` is ``a4`` or ``letter``.
    """
    setter = setter_for(paper, measure)
    blocks = [_masthead(job, len(entries), len(previews), setter)]
    for start in range(0, len(previews), _A_ROW):
        blocks.append(_previews(previews[start : start + _A_ROW], setter))
    blocks.append(_table_head(setter))
    blocks += [_entry(entry, setter) for entry in entries]
    return running_pages(map(FlowPart, blocks), setter, paper=paper)


def _masthead(job: Job, entries: int, sheets: int, setter: Setter) -> Block:
    count = f"{counted(entries, 'entry', 'entries')} on {counted(sheets, 'sheet', 'sheets')}"
    lines = ((count, BODY), (f"{job.paper.title}; {job.lab.title}", ASIDE))
    return opening_block("Test strips", lines, (_HOW, BODY), setter)


def _previews(sheets: Sequence[Preview], setter: Setter) -> Block:
    width = setter.column
    return side_by_side([_preview(sheet, width, setter) for sheet in sheets], setter.pitch)


def _preview(sheet: Preview, width: float, setter: Setter) -> Block:
    """One sheet with a thin line round it, as high as its width lets it be."""
    height = width * sheet.size.height.nm / sheet.size.width.nm
    picture = Placed(sheet.name, 0, 0, width, height, Box(0, 0, 1, 1))
    edge = frame(0, 0, width, height, line=HAIRLINE, colour=HAIR)
    caption = setter.paragraph(f"Sheet {sheet.number}", CAPTION, width)
    return Block(height + 3 + caption.height, (picture, *edge, *caption.at(0, height + 3)))


def _table_head(setter: Setter) -> Block:
    words = setter.paragraph(_WHAT, ASIDE, setter.width)
    return stacked([setter.paragraph("Which letter is which density", TITLE, setter.width), words])


def _entry(entry: StripSteps, setter: Setter) -> Block:
    """Number and title, the table of the steps, and their curves."""
    width, middle = setter.column, setter.pitch
    name = stacked(
        [
            setter.paragraph(entry.number, STRONG, width, most=1),
            setter.paragraph(entry.title, BODY, width, most=4),
        ]
    )
    if not entry.tones:
        words = setter.paragraph(entry.problem, BODY, setter.span(3), most=4)
        body = Block(max(name.height, words.height), name.marks + words.at(middle, 0))
        return stacked([rule(setter.width), body], 6)
    table, plot = _table(entry, setter), curves_block(entry.variants, entry.chosen, setter)
    height = max(name.height, table.height, plot.height)
    right = setter.width - PLOT_SIDE
    body = Block(height, name.marks + table.at(middle, 0) + plot.at(right, 0))
    return stacked([rule(setter.width), body], 6)


def _table(entry: StripSteps, setter: Setter) -> Block:
    columns = _COLUMNS + _MORE_COLUMNS
    head = _row([(words, CAPTION) for words, _ in columns], setter)
    rows = [head]
    for variant, tones, sheet in zip(entry.variants, entry.tones, entry.sheets, strict=True):
        style = STRONG if variant.step == entry.chosen else BODY
        cells = (
            signed(tones.density_asked),
            f"{tones.density_reached:+.3f}",
            f"{tones.blocked_share:.1%}",
            f"{tones.bare_share:.1%}",
            sheet,
        )
        row = [(variant.step, STRONG)]
        row += [(cell.replace("-", "−").replace("%", " %"), style) for cell in cells]
        rows.append(_row(row, setter))
    if entry.chosen:
        rows.append(setter.paragraph(f"chosen: {entry.chosen}", CAPTION, setter.column))
    if entry.warning:
        words = setter.paragraph(sentence(entry.warning), ASIDE, setter.span(2), most=4)
        rows.append(Block(words.height + _ABOVE_WARNING, words.at(0, _ABOVE_WARNING)))
    return stacked(rows)


def _row(cells: Sequence[tuple[str, Style]], setter: Setter) -> Block:
    places = [x for _, x in _COLUMNS + _MORE_COLUMNS]
    set_ = [
        setter.paragraph(words, style, setter.width).indented(x)
        for (words, style), x in zip(cells, places, strict=True)
    ]
    return Block(max(b.height for b in set_), tuple(m for b in set_ for m in b.marks))
