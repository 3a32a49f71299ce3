"""The whole document of an inspection: all pictures in one table, then those with marks."""

from collections.abc import Iterator, Sequence

from proofs.findings import Severity
from proofs.inspection.inspected import InspectedEntry, InspectedPicture
from proofs.inspection.mark_words import on_paper
from proofs.inspection.not_seen import NOT_SEEN
from proofs.pages.drawing import Block, Link, Page, across
from proofs.pages.flow import Chapter, FlowPart, PageLayout
from proofs.pages.headings import opening_block
from proofs.pages.inspection.picture_page import anchor_of, picture_parts
from proofs.pages.inspection.results import findings_on, result_of, seen_in
from proofs.pages.table import Columns, table_parts
from proofs.pages.typography import (
    ALARM,
    ASIDE,
    BODY,
    CAPTION,
    STRONG,
    Setter,
    Words,
)
from proofs.pages.wording import counted, sentence
from proofs.records.job import Job

_TITLE = "Inspection"
_HEADS = ("No", "Title", "Result", "Look at these", "Searched", "Sharpest edges")
_SHARES = (28.0, 142.0, 54.0, 134.0, 46.0, 96.0)
_HOW = (
    "Each picture was looked at in the pixels of its print, before sharpening. A mark may be dirt,"
    " or may belong to the picture: look at these, on the screen at 100 % or on the print."
)
_SEARCHED = (
    "Searched is the share of a picture that is calm enough for a speck to be told from what it"
    " shows. In rougher ground most specks are missed, and only a few that are clear and alone are"
    " marked. Lines are looked for everywhere."
)


def inspection_pages(
    job: Job, entries: Sequence[InspectedEntry], layout: PageLayout
) -> tuple[Page, ...]:
    """Return the pages of an inspection."""
    setter = layout.setter
    first = [FlowPart(_masthead(job, entries, setter), 0), *_table(entries, setter)]
    first.append(FlowPart(_not_seen(setter), 18))
    chapters = [Chapter(tuple(first))]
    chapters += [
        Chapter(picture_parts(job, entry, picture, layout))
        for entry in entries
        for picture in entry.pictures
        if not picture.is_calm
    ]
    return layout.chapters(chapters, foot=(" · ".join(filter(None, (_TITLE, layout.name))),))


def _masthead(job: Job, entries: Sequence[InspectedEntry], setter: Setter) -> Block:
    pictures = [picture for entry in entries for picture in entry.pictures]
    calm = sum(picture.is_calm for picture in pictures) or "none"
    lines: list[Words] = [
        (counted(len(entries), "entry", "entries"), BODY),
        (f"{counted(len(pictures), 'picture')}, {calm} of them calm", BODY),
        (f"At {job.lab.ppi} pixels per inch, for {job.lab.title}", ASIDE),
    ]
    return opening_block(_TITLE, lines, [(_HOW, BODY), (_SEARCHED, ASIDE)], setter)


def _table(entries: Sequence[InspectedEntry], setter: Setter) -> list[FlowPart]:
    columns = Columns(setter, _SHARES)
    cells = [
        setter.paragraph(text, CAPTION, width)
        for text, width in zip(_HEADS, columns.widths, strict=True)
    ]
    head = Block(max(cell.height for cell in cells) + 2, across(cells, columns.lefts).marks)
    rows = [row for entry in entries for row in _rows(entry, columns, setter)]
    return table_parts(head, rows, gap=18)


def _rows(entry: InspectedEntry, columns: Columns, setter: Setter) -> Iterator[Block]:
    outcome = entry.outcome
    own, result = outcome.entry, sentence(result_of(entry))
    is_grave = any(finding.severity >= Severity.AT_RISK for finding in outcome.findings)
    style = ALARM if is_grave else STRONG if result == "Look" else BODY
    if not entry.pictures:
        reason = outcome.findings[0].message if outcome.findings else ""
        cells: list[Words | Block] = [(own.number, STRONG), (own.title, BODY), (result, style)]
        room = setter.width - columns.lefts[3]
        words = setter.paragraph(sentence(reason), BODY, room, most=6)
        yield columns.row([*cells, words, ("", BODY), ("", BODY)])
        return
    for picture in entry.pictures:
        first = picture.n == 0
        row = columns.row(
            [
                (own.number if first else "", STRONG),
                (own.title if first else f"picture {picture.n + 1}", BODY if first else ASIDE),
                (result if first else "", style),
                (_to_look_at(entry, picture), ASIDE if picture.is_calm else BODY),
                (f"{picture.look.inspection.searched_share * 100:.0f} %", BODY),
                (_edges(picture, setter), BODY),
            ]
        )
        yield row if picture.is_calm else _linked(row, entry, picture, setter)


def _edges(picture: InspectedPicture, setter: Setter) -> str:
    width = picture.look.inspection.edge_width_mm
    return "too few" if width is None else str(on_paper(width))


def _to_look_at(entry: InspectedEntry, picture: InspectedPicture) -> str:
    """What there is to see; of a calm picture, what else needs a decision."""
    if not picture.is_calm:
        return sentence(seen_in(picture))
    warnings = [f for f in findings_on(entry, picture) if f.severity >= Severity.WARNING]
    return " ".join(f"{sentence(f.message)}." for f in warnings) or "Nothing"


def _linked(row: Block, entry: InspectedEntry, picture: InspectedPicture, setter: Setter) -> Block:
    link = Link(0, 0, setter.width, row.height, anchor_of(entry, picture.n))
    return Block(row.height, (*row.marks, link))


def _not_seen(setter: Setter) -> Block:
    head = setter.paragraph("What it cannot see", STRONG, setter.column)
    lines = setter.stack([(line, BODY) for line in NOT_SEEN], setter.span(3), gap=2)
    return across([head, lines], (0, setter.pitch))
