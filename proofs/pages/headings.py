"""Headings that several documents share: of a document, of a page at the bench, of an entry."""

from collections.abc import Iterable, Sequence

from proofs.pages.drawing import Block, across, side_by_side, stacked
from proofs.pages.typography import (
    ASIDE,
    CAPTION,
    DISPLAY,
    FIGURE,
    NAME,
    NAME_STRONG,
    NUMBER,
    TITLE,
    Setter,
    Words,
    baseline,
)
from proofs.records.entries import Entry

_DROP = 9.0  # brings the words at the right of a title down towards its baseline
_CAPTION_DROP = 1.5  # brings the small words onto the baseline of the category


def opening_block(
    title: str, lines: Sequence[Words], right: Sequence[Words], setter: Setter
) -> Block:
    """Return the head of a document: its title with a few lines below, and words at the right."""
    half = setter.span(2)
    left = [setter.paragraph(title, DISPLAY, half)]
    left += [setter.paragraph(*line, half, most=4) for line in lines]
    opposite = setter.stack(right, half, gap=2)
    return across([stacked(left, 2), opposite.lowered(_DROP)], (0, 2 * setter.pitch))


def page_head(setter: Setter, *, above: str, name: str, right: str, strong: bool = False) -> Block:
    """Return the head of a page at the bench: a small line, and below it two large words."""
    title = setter.paragraph(name, NAME_STRONG if strong else NAME, setter.width)
    opposite = (setter.ending(right, NAME, setter.width, baseline(NAME)),) if right else ()
    body = Block(title.height, (*title.marks, *opposite))
    return stacked([setter.paragraph(above, CAPTION, setter.width, most=1), body], 1)


def captioned(caption: Words, lines: Iterable[Words], setter: Setter, *, most: int = 99) -> Block:
    """Return a caption in the first column, with the lines beside it in the other three."""
    head = setter.paragraph(*caption, setter.column)
    return side_by_side([head, setter.stack(lines, setter.span(3), most=most)], setter.pitch)


def entry_head(entry: Entry, setter: Setter, aside: str = "") -> Block:
    """Return number, title and category of an entry, with ``aside`` small next to the category.

    A title that is longer than a line is set smaller.
    """
    number = setter.paragraph(entry.number, NUMBER, setter.column, most=3)
    style = TITLE if setter.wide(entry.title, TITLE) <= setter.span(3) else FIGURE
    title = [setter.paragraph(entry.title, style, setter.span(3), most=12)]
    if entry.category or aside:
        category = setter.paragraph(entry.category, ASIDE, setter.span(2), most=3)
        words = setter.paragraph(aside, CAPTION, setter.column).lowered(_CAPTION_DROP)
        title.append(across([category, words], (0, 2 * setter.pitch)))
    return across([number, stacked(title, 1)], (0, setter.pitch))
