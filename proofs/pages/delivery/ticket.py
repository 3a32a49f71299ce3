"""The order ticket: what is ordered from each file, and how it is to be printed."""

from proofs.pages.delivery.order_lists import (
    cost_words,
    count_words,
    not_for_printing,
    profile_words,
    requests,
)
from proofs.pages.drawing import Block, Mark, Page, Placed, Shape, frame, side_by_side, stacked
from proofs.pages.facts import Fact, Lines, both_units, facts_block
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.headings import opening_block
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    HAIR,
    HAIRLINE,
    INK,
    STRONG,
    Setter,
    Style,
    Words,
    rule,
    text_at,
)
from proofs.pages.wording import in_words
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.plan.delivery.delivery_names import sheet_words
from proofs.plan.entry.mockup import Box

_THUMBNAIL_HIGH = 72.0
_TOP_ROOM = 11.0  # above a thumbnail, for the sign of its upper edge
_WHOLE = Box(0, 0, 1, 1)


def ticket_pages(delivery: Delivery, layout: PageLayout) -> tuple[Page, ...]:
    """Return the pages; the picture of a file's thumbnail has the name of the file."""
    blocks = [_masthead(delivery, layout.setter)]
    blocks += [_file(file, layout.setter) for file in delivery.files]
    return layout.pages(map(FlowPart, blocks), f"Print order · {delivery.lab.title}")


def _masthead(delivery: Delivery, setter: Setter) -> Block:
    lines: list[Words] = [(count_words(delivery), STRONG)]
    if delivery.needed_by:
        lines.append((f"Needed by {in_words(delivery.needed_by)}", STRONG))
    lines += [(delivery.lab.title, BODY), (profile_words(delivery), ASIDE)]
    if cost := cost_words(delivery):
        lines.append((cost, ASIDE))
    asked = [("To the lab", CAPTION), *((words, STRONG) for words in requests(delivery))]
    if delivery.companions:
        asked.append((not_for_printing(delivery), ASIDE))
    head = opening_block("Print order", lines, asked, setter)
    return Block(head.height + 4, head.marks)


def _file(file: DeliveredFile, setter: Setter) -> Block:
    """A file: small with its top marked, its name and title, what is ordered, and its size."""
    columns = [
        _thumbnail(file, setter),
        _names(file, setter),
        facts_block(setter, _ordered(file)),
        facts_block(setter, [_image(file)]),
    ]
    return stacked([rule(setter.width), side_by_side(columns, setter.pitch)], 7)


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
    left = (width - setter.wide("TOP", CAPTION) - 8) / 2
    arrow = Shape(((left, 6.6), (left + 2.8, 1.4), (left + 5.6, 6.6)), INK)
    return arrow, text_at("TOP", Style(CAPTION.weight, CAPTION.size), left + 8, 6.6)


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
    made_of: Lines = tuple((words, BODY) for words in file.made_of)
    return [*facts, Fact("Paper and finish", made_of)] if made_of else facts


def _image(file: DeliveredFile) -> Fact:
    lines = both_units(file.image_size())
    return Fact("Image, without the white margin", lines, is_to_fill_in=True)
