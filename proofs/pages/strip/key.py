"""The key to the test strips: the sheets, small, and the density of each letter."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.densities import signed
from proofs.lengths import Size
from proofs.pages.drawing import Block, Page, Placed, across, frame, in_rows, stacked
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.headings import opening_block
from proofs.pages.tone_curves import PLOT_SIDE, curves_block
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    GUTTER,
    HAIR,
    HAIRLINE,
    STRONG,
    TITLE,
    Setter,
    Words,
    rule,
)
from proofs.pages.wording import counted, sentence, typeset
from proofs.plan.checks.outcomes import Outcome, Tones
from proofs.plan.entry.mockup import Box
from proofs.plan.entry.planning import Plan, papers_of
from proofs.records.job import Job

_ABOVE_WARNING = 4.0
_SHEETS_IN_A_ROW = (2, 3, 4)
_MOST_TIMES = 1.1  # what table and curves have room for side by side
_HEADINGS = ("step", "asked", "reached", "blocked", "bare", "sheet")
_LEFTS = (0.0, 36.0, 84.0, 138.0, 190.0, 226.0)

_HOW = (
    "Have the sheets printed like the final prints, let them dry for a day, and compare the pieces"
    " in light like that of the judging. Record the winning letter with 'proofs choose'."
)
_WHAT = (
    "Asked and reached: the change of density at mid grey, in the finished file. Blocked: the"
    " share of the image darker than the paper's deepest black. Bare: the share that prints as"
    " bare paper. None of these figures is on the sheets: a lab might act on them."
)


@dataclass(frozen=True, slots=True)
class StripSteps:
    """One entry on the strips: for each step its tones, and the numbers of its sheets.

    ``tones`` is empty if a picture could not be used. ``warning`` says which steps lose much in
    the shadows.
    """

    outcome: Outcome
    tones: tuple[Tones, ...]
    sheets: tuple[str, ...]
    warning: str = ""


@dataclass(frozen=True, slots=True)
class Preview:
    """A sheet to show small: its number, the name of its picture, its size and its paper."""

    number: int
    name: str
    size: Size
    paper: str


def strip_pages(
    job: Job, entries: Sequence[StripSteps], previews: Sequence[Preview], layout: PageLayout
) -> tuple[Page, ...]:
    """Return the pages of the key."""

    def parts_of(sized: PageLayout) -> list[FlowPart]:
        trials = [_parts(job, entries, previews, sized.setter, count) for count in _SHEETS_IN_A_ROW]
        return min(trials, key=lambda parts: len(sized.filled(parts)))

    return layout.filling_pages(parts_of, "Test strips", most=_MOST_TIMES)


def _parts(
    job: Job,
    entries: Sequence[StripSteps],
    previews: Sequence[Preview],
    setter: Setter,
    in_a_row: int,
) -> list[FlowPart]:
    """The head, the sheets, small, and a block for each entry."""
    wide = (setter.width - (in_a_row - 1) * GUTTER) / in_a_row
    papers = papers_of(e.outcome.plan for e in entries if e.outcome.plan) or (job.paper.title,)
    several = len(papers) > 1
    small = [_preview(sheet, wide, setter, with_paper=several) for sheet in previews]
    count = f"{counted(len(entries), 'entry', 'entries')} on {counted(len(previews), 'sheet')}"
    blocks = [_masthead(count, f"{', '.join(papers)}; {job.lab.title}", setter)]
    blocks += [*in_rows(small, in_a_row, wide + GUTTER), _table_head(setter)]
    blocks += [_entry(entry, setter, with_paper=several) for entry in entries]
    return [FlowPart(block) for block in blocks]


def _masthead(count: str, made_of: str, setter: Setter) -> Block:
    lines = ((count, BODY), (made_of, ASIDE))
    return opening_block("Test strips", lines, [(_HOW, BODY)], setter)


def _preview(sheet: Preview, width: float, setter: Setter, *, with_paper: bool) -> Block:
    """One sheet with a thin line round it, scaled to the column's width."""
    height = width * sheet.size.height.nm / sheet.size.width.nm
    picture = Placed(sheet.name, 0, 0, width, height, Box(0, 0, 1, 1))
    edge = frame(0, 0, width, height, line=HAIRLINE, colour=HAIR)
    words = f"Sheet {sheet.number}" + (f" · {sheet.paper}" if with_paper else "")
    caption = setter.paragraph(words, CAPTION, width, most=2)
    return Block(height + 3 + caption.height, (picture, *edge, *caption.at(0, height + 3)))


def _table_head(setter: Setter) -> Block:
    words = (("Which letter is which density", TITLE), (_WHAT, ASIDE))
    return setter.stack(words, setter.width)


def _entry(entry: StripSteps, setter: Setter, *, with_paper: bool) -> Block:
    """Number and title, the table of the steps, and their curves."""
    width, outcome = setter.column, entry.outcome
    names = [
        setter.paragraph(outcome.entry.number, STRONG, width, most=1),
        setter.paragraph(outcome.entry.title, BODY, width, most=4),
    ]
    if outcome.plan and with_paper:
        names.append(setter.paragraph(outcome.plan.paper_words, ASIDE, width, most=2))
    name = stacked(names)
    if outcome.plan and entry.tones:
        chosen = outcome.plan.chosen.step if outcome.plan.chosen else ""
        plot = curves_block(outcome.plan.variants, chosen, setter)
        cells = [name, _table(entry, outcome.plan, setter), plot]
    else:
        problem = outcome.findings[0].message if outcome.findings else ""
        cells = [name, setter.paragraph(problem, BODY, setter.span(3), most=4)]
    body = across(cells, (0, setter.pitch, setter.width - PLOT_SIDE))
    return stacked([rule(setter.width), body], 6)


def _table(entry: StripSteps, plan: Plan, setter: Setter) -> Block:
    rows = [_row([(words, CAPTION) for words in _HEADINGS], setter)]
    for variant, tones, sheet in zip(plan.variants, entry.tones, entry.sheets, strict=True):
        style = STRONG if variant == plan.chosen else BODY
        figures = (
            signed(tones.density_asked),
            f"{tones.density_reached:+.3f}",
            f"{tones.blocked_share:.1%}",
            f"{tones.bare_share:.1%}",
        )
        cells = [(typeset(figure), style) for figure in figures]
        rows.append(_row([(variant.step, STRONG), *cells, (sheet, style)], setter))
    if plan.chosen:
        words = typeset(f"chosen: {plan.chosen.words}")
        rows.append(setter.paragraph(words, CAPTION, setter.column))
    if entry.warning:
        warning = setter.paragraph(sentence(entry.warning), ASIDE, setter.span(2), most=4)
        rows.append(warning.lowered(_ABOVE_WARNING))
    return stacked(rows)


def _row(cells: Sequence[Words], setter: Setter) -> Block:
    return across([setter.paragraph(*cell, setter.width) for cell in cells], _LEFTS)
