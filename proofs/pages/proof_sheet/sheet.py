"""The proof sheet: the whole run in a table, a page for each entry, and all mounts on a wall."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from proofs.pages.drawing import Anchor, Block, Line, Page, across
from proofs.pages.flow import Chapter, FlowPart, PageLayout
from proofs.pages.proof_sheet.bracket_curves import curve_blocks
from proofs.pages.proof_sheet.entry_frame import BETWEEN_ENTRIES
from proofs.pages.proof_sheet.entry_page import EntryPage, entry_page
from proofs.pages.proof_sheet.hang_page import hang_block, hung_entries
from proofs.pages.proof_sheet.run_table import RunTable, has_page
from proofs.pages.proof_sheet.summary import closing_parts, masthead
from proofs.pages.typography import (
    GUTTER,
    HAIR,
    HAIRLINE,
    STRONG,
    TITLE,
    Setter,
    rule,
)
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job

ON_DENSITY = (
    "Do not judge density on a screen or on this page: compare prints under the judging light."
)
ON_RULES = "The rules of the exhibition in hand always win over this profile."
FILLED = 0.8
"""How much of its height each page of the table fills at least, where it can."""

_BETWEEN = 18.0
_THUMBNAILS = (42.0, 38.0, 46.0, 34.0, 50.0, 56.0, 64.0, 74.0, 88.0, 110.0, 150.0)
_MANY = 20  # entries of which a few heights of rows are enough to fill pages


def proof_sheet(
    job: Job, outcomes: Sequence[Outcome], layout: PageLayout, *, compact: bool = False
) -> tuple[Page, ...]:
    """Return the pages of the proof sheet; ``compact`` puts two entries on each page."""
    made = [
        (outcome, entry_page(job, outcome, outcome.plan, layout, compact=compact, place=place))
        for place, outcome in enumerate(outcomes, 1)
        if outcome.plan is not None and has_page(outcome)
    ]
    per_page = 2 if compact else 1
    chapters = [Chapter(tuple(_front(job, outcomes, layout)))]
    entries = list(_entries([page for _, page in made], layout.setter, per_page))
    for last in (_hang(outcomes, entries, layout, per_page), list(_left_over(made, layout.setter))):
        if last and entries and len(entries[-1]) < per_page:
            entries[-1] += last  # on the half of the page that is free
        elif last:
            entries.append(last)
    chapters += [Chapter(tuple(parts)) for parts in entries]
    name = job.rules.title if job.rules else "no rules were checked"
    return layout.chapters(chapters, foot=(ON_DENSITY, ON_RULES), head=f"Proof sheet · {name}")


def _front(job: Job, outcomes: Sequence[Outcome], layout: PageLayout) -> list[FlowPart]:
    """The masthead, the table, the curves and the rules, on pages that are filled."""
    setter = layout.setter
    head = masthead(job, outcomes, setter)
    start = Block(head.height, (*head.marks, Anchor(0, 0, "run", "All entries")))
    curves = [FlowPart(row, _BETWEEN) for row in curve_blocks(outcomes, setter)]
    closing = tuple(closing_parts(job, setter, _BETWEEN))
    found: dict[float, RunTable] = {}
    for thumbnail in _THUMBNAILS[: 5 if len(outcomes) > _MANY else None]:
        table = RunTable(job, setter, thumbnail)
        parts = table.heights(table.rows(outcomes), _BETWEEN)
        least = min(layout.filled([FlowPart(start), *parts, *curves, *closing]))
        found.setdefault(least, table)
        if least >= FILLED:
            break
    table = found[max(found)]
    opening = [FlowPart(start), *table.parts(table.rows(outcomes), _BETWEEN), *curves]
    return [*opening, *_at_foot(opening, closing, layout)]


def _at_foot(
    opening: Sequence[FlowPart], closing: Sequence[FlowPart], layout: PageLayout
) -> Sequence[FlowPart]:
    """The closing parts; at the foot of their page if it would not be filled otherwise."""
    before = layout.filled([*opening, *closing])
    if before[-1] >= FILLED:
        return closing
    first, *others = closing
    lowered = replace(first, gap=first.gap + (1 - before[-1]) * layout.room - 0.1)
    after = layout.filled([*opening, lowered, *others])
    return [lowered, *others] if len(after) == len(before) else closing


def _entries(pages: Sequence[EntryPage], setter: Setter, per_page: int) -> Iterator[list[FlowPart]]:
    """The parts of each page of entries."""
    for n in range(0, len(pages), per_page):
        first, *others = (page.block for page in pages[n : n + per_page])
        parts = [FlowPart(first, 0)]
        middle = Line(
            (0, -BETWEEN_ENTRIES / 2), (setter.width, -BETWEEN_ENTRIES / 2), HAIRLINE, HAIR
        )
        parts += [
            FlowPart(Block(block.height, (middle, *block.marks)), BETWEEN_ENTRIES)
            for block in others
        ]
        yield parts


def _hang(
    outcomes: Sequence[Outcome],
    entries: Sequence[Sequence[FlowPart]],
    layout: PageLayout,
    per_page: int,
) -> list[FlowPart]:
    """All mounts on a wall: a page, or the half of one that the last entry leaves free."""
    hung = hung_entries(outcomes)
    if not hung:
        return []
    height = layout.room
    if entries and len(entries[-1]) < per_page:
        height = (layout.room - BETWEEN_ENTRIES) / 2
    return [FlowPart(hang_block(hung, layout.setter, height), BETWEEN_ENTRIES)]


def _left_over(made: Sequence[tuple[Outcome, EntryPage]], setter: Setter) -> Iterator[FlowPart]:
    """The findings that had no room on the pages of their entries."""
    found = [(outcome, page.left_over) for outcome, page in made if page.left_over]
    if not found:
        return
    heading = setter.paragraph("More findings", TITLE, setter.width)
    yield FlowPart(heading, BETWEEN_ENTRIES, keeps_next=True)
    for outcome, blocks in found:
        entry = outcome.entry
        number = setter.paragraph(entry.number, STRONG, setter.column - GUTTER, most=3)
        title = setter.paragraph(entry.title, STRONG, setter.span(3), most=3)
        name = across([number, title], (0, setter.pitch)).lowered(6)
        yield FlowPart(
            Block(name.height, (*rule(setter.width).marks, *name.marks)), 14, keeps_next=True
        )
        yield from (FlowPart(block, 5) for block in blocks)
