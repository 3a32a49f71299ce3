"""The order ticket: what is ordered from each file, and how it is to be printed."""

from proofs.pages.delivery.order_lists import (
    count_words,
    not_for_printing,
    profile_words,
    requests,
)
from proofs.pages.delivery.totals import cost_words, total_parts
from proofs.pages.drawing import Block, Mark, Page, Placed, Shape, across, frame, stacked
from proofs.pages.facts import Fact, Lines, both_units, facts_block
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.headings import captioned, opening_block
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    FIGURE_STRONG,
    HAIR,
    HAIRLINE,
    INK,
    STRONG,
    Setter,
    Words,
    rule,
    text_at,
)
from proofs.pages.wording import in_words
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.plan.delivery.delivery_names import sheet_words
from proofs.plan.entry.mockup import Box

_THUMBNAIL_HEIGHTS = (320.0, 260.0, 200.0, 150.0, 120.0, 96.0, 80.0, 70.0)
_LOWEST, _APART = 80.0, 9.0
_TOP_ROOM = 12.0  # above a thumbnail, for the sign of its upper edge
_WHOLE = Box(0, 0, 1, 1)


def ticket_pages(delivery: Delivery, layout: PageLayout) -> tuple[Page, ...]:
    """Return the pages; the picture of a file's thumbnail has the name of the file.

    Type and pictures are as large as they can be without a further page.
    """

    def parts_of(sized: PageLayout) -> list[FlowPart]:
        trials = [_parts(delivery, sized.setter, high) for high in _THUMBNAIL_HEIGHTS]
        return min(trials, key=lambda parts: len(sized.filled(parts)))

    return layout.filling_pages(parts_of, f"Print order · {delivery.lab.title}")


def _parts(delivery: Delivery, setter: Setter, high: float) -> list[FlowPart]:
    """The head, the totals, and a block for each file, with thumbnails at most so high."""
    blocks = [_file(file, setter, high) for file in delivery.files]
    return [
        FlowPart(_masthead(delivery, setter)),
        *_customer(delivery, setter),
        *total_parts(delivery, setter),
        *(FlowPart(block) for block in blocks),
    ]


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


def _customer(delivery: Delivery, setter: Setter) -> list[FlowPart]:
    """Whom the lab delivers to, if that is known."""
    words = [(line, BODY) for line in delivery.customer.lines]
    if not words:
        return []
    block = captioned(("For", CAPTION), words, setter)
    return [FlowPart(stacked([rule(setter.width), block], 7))]


def _file(file: DeliveredFile, setter: Setter, high: float) -> Block:
    """A file: small with its top marked, its name and title, what is ordered, and its size.

    A picture that would be higher than the words beside it takes two columns of the four.
    """
    names, ordered = _names(file, setter), facts_block(setter, _ordered(file))
    image = facts_block(setter, [_image(file)])
    columns = 1 if high <= _LOWEST else 2
    small = _thumbnail(file, setter, setter.span(columns), high)
    words = [names, ordered, image]
    if columns > 1:
        words = [stacked([names, ordered], _APART), image]
    lefts = [0.0, *((columns + n) * setter.pitch for n in range(len(words)))]
    return stacked([rule(setter.width), across([small, *words], lefts)], 7)


def _shown_size(file: DeliveredFile, width: float, high: float) -> tuple[float, float]:
    """The width and height of a thumbnail that fits this room."""
    pixels = file.facts.pixels
    scale = min(width / pixels.width, high / pixels.height)
    return pixels.width * scale, pixels.height * scale


def _thumbnail(file: DeliveredFile, setter: Setter, width: float, high: float) -> Block:
    """The whole sheet with a thin line round it, so that its white margin is seen."""
    wide, high = _shown_size(file, width, high)
    picture = Placed(file.file, 0, _TOP_ROOM, wide, high, _WHOLE)
    edge = frame(0, _TOP_ROOM, wide, high, line=HAIRLINE, colour=HAIR)
    return Block(_TOP_ROOM + high, (*_top_sign(wide, setter), picture, *edge))


def _top_sign(width: float, setter: Setter) -> tuple[Mark, ...]:
    """A small arrow that points up, and the word, over the middle of a thumbnail."""
    left = (width - setter.wide("TOP", BODY) - 8) / 2
    arrow = Shape(((left, 8.2), (left + 2.8, 2.6), (left + 5.6, 8.2)), INK)
    return arrow, text_at("TOP", BODY, left + 8, 8.6)


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
    sheet = ((sheet_words(file.sheet), FIGURE_STRONG),)
    facts = [
        Fact("Copies", ((str(file.copies), FIGURE_STRONG),)),
        Fact("Sheet, to the edge" if file.is_to_edge else "Sheet", sheet),
    ]
    made_of: Lines = tuple((words, BODY) for words in file.made_of)
    return [*facts, Fact("Paper and finish", made_of)] if made_of else facts


def _image(file: DeliveredFile) -> Fact:
    lines = both_units(file.image_size())
    name = "Image, at least" if file.is_to_edge else "Image, without the white margin"
    return Fact(name, lines, is_to_fill_in=True)
