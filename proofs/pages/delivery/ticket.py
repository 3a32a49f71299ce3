"""The order ticket: what is ordered of which file, and how it is to be printed."""

from proofs.pages.delivery.order_lists import (
    cost_words,
    count_words,
    not_for_printing,
    profile_words,
    requests,
)
from proofs.pages.drawing import Block, Mark, Page, Placed, Shape, Text, frame, stacked
from proofs.pages.flow import FlowPart, running_pages, setter_for
from proofs.pages.proof_sheet.columns import Fact, Lines, facts_block
from proofs.pages.proof_sheet.facts import both_units
from proofs.pages.proof_sheet.parts import in_words
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    DISPLAY,
    HAIR,
    HAIRLINE,
    INK,
    STRONG,
    Measure,
    Setter,
    rule,
)
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.plan.delivery.delivery_names import sheet_words
from proofs.plan.entry.mockup import Box

_THUMBNAIL_HIGH = 72.0
_TOP_ROOM = 11.0  # above a thumbnail, for the sign of its upper edge
_WHOLE = Box(0, 0, 1, 1)


def ticket_pages(delivery: Delivery, *, paper: str, measure: Measure) -> tuple[Page, ...]:
    """Return the pages; the picture of a file's thumbnail has the name of the file.

    ``paper`` is ``a4`` or ``letter``.
    """
    setter = setter_for(paper, measure)
    blocks = [_masthead(delivery, setter), *(_file(file, setter) for file in delivery.files)]
    title = f"Print order · {delivery.lab.title}"
    return running_pages(map(FlowPart, blocks), setter, paper=paper, title=title)


def _masthead(delivery: Delivery, setter: Setter) -> Block:
    half = setter.span(2)
    told = [(count_words(delivery), STRONG)]
    if delivery.needed_by:
        told.append((f"Needed by {in_words(delivery.needed_by)}", STRONG))
    told += [(delivery.lab.title, BODY), (profile_words(delivery), ASIDE)]
    if cost := cost_words(delivery):
        told.append((cost, ASIDE))
    name = setter.paragraph("Print order", DISPLAY, half)
    lines = stacked([setter.paragraph(words, style, half) for words, style in told])
    left = stacked([name, lines], 5)
    quiet = [not_for_printing(delivery)] if delivery.companions else []
    aside = [setter.paragraph(words, ASIDE, half) for words in quiet]
    asked = stacked(
        [
            setter.paragraph("To the lab", CAPTION, half),
            *(setter.paragraph(words, STRONG, half) for words in requests(delivery)),
            *aside,
        ],
        1.5,
    )
    height = max(left.height, asked.height + 9) + 4
    return Block(height, left.marks + asked.at(2 * setter.pitch, 9))


def _file(file: DeliveredFile, setter: Setter) -> Block:
    """A file: small with its top marked, its name and title, what is ordered, and its size."""
    columns = [
        _thumbnail(file, setter),
        _names(file, setter),
        facts_block(setter, _ordered(file)),
        facts_block(setter, [_image(file)]),
    ]
    height = max(column.height for column in columns)
    marks = [m for n, column in enumerate(columns) for m in column.at(n * setter.pitch, 0)]
    return stacked([rule(setter.width), Block(height, tuple(marks))], 7)


def _thumbnail(file: DeliveredFile, setter: Setter) -> Block:
    """The whole sheet with a thin line round it, so that its white margin is seen."""
    pixels = file.facts.pixels
    scale = min(setter.column / pixels.width, _THUMBNAIL_HIGH / pixels.height)
    width, height = pixels.width * scale, pixels.height * scale
    picture = Placed(file.file, 0, _TOP_ROOM, width, height, _WHOLE)
    edge = frame(0, _TOP_ROOM, width, height, line=HAIRLINE, colour=HAIR)
    return Block(_TOP_ROOM + height, (*_top_sign(width, setter), picture, *edge))


def _top_sign(width: float, setter: Setter) -> tuple[Mark, ...]:
    """A small arrow that points up, and the word, over the middle of a thumbnail."""
    wide = setter.wide("TOP", CAPTION)
    left = (width - wide - 8) / 2
    arrow = Shape(((left, 6.6), (left + 2.8, 1.4), (left + 5.6, 6.6)), INK)
    return arrow, Text(left + 8, 6.6, "TOP", CAPTION.weight, CAPTION.size, INK)


def _names(file: DeliveredFile, setter: Setter) -> Block:
    name = file.file.rpartition("/")[2]
    return stacked(
        [
            setter.paragraph("File", CAPTION, setter.column),
            setter.paragraph(name, STRONG, setter.column, most=3),
            setter.paragraph(f"No. {file.entry}", BODY, setter.column, most=1),
            setter.paragraph(file.title, ASIDE, setter.column, most=3),
        ]
    )


def _ordered(file: DeliveredFile) -> list[Fact]:
    facts = [
        Fact("Copies", ((str(file.copies), STRONG),)),
        Fact("Sheet", ((sheet_words(file.sheet), BODY),)),
    ]
    made_of: Lines = tuple((words, BODY) for words in (file.paper, file.finish) if words)
    return [*facts, Fact("Paper and finish", made_of)] if made_of else facts


def _image(file: DeliveredFile) -> Fact:
    lines = both_units(file.image_size())
    return Fact("Image, without the white margin", lines, is_to_fill_in=True)
