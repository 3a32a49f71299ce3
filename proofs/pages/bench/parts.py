"""What the pages for the bench have in common: their head, their foot, blank lines."""

from collections.abc import Sequence

from proofs.lengths import Size
from proofs.pages.drawing import Block, Line, Mark, Page, Text, side_by_side, stacked
from proofs.pages.flow import MARGIN
from proofs.pages.stamp import stamp
from proofs.pages.typography import (
    BODY,
    CAPTION,
    HAIRLINE,
    LIGHT,
    QUIET,
    SEMIBOLD,
    Setter,
    Style,
    baseline,
    rule,
)

ON_RULES = "The rules of the exhibition in hand always win over these pages."
_LARGE = Style(LIGHT, 30)
_MARK = Style(SEMIBOLD, 30)
_FACT = Style(SEMIBOLD, 8.6)


def head(setter: Setter, *, above: str, name: str, right: str, marked: bool = False) -> Block:
    """Return the head of a page: what it belongs to, its name large, and what stands opposite."""
    title = setter.paragraph(name, _MARK if marked else _LARGE, setter.width)
    opposite = (setter.placed(right, _LARGE, setter.width, baseline(_LARGE)),) if right else ()
    body = Block(title.height, (*title.marks, *opposite))
    return stacked([setter.paragraph(above, CAPTION, setter.width, most=1), body], 1)


def fact(caption: str, text: str, setter: Setter) -> Block:
    """Return a small caption with what it names below, a column wide."""
    width = setter.column
    return stacked(
        [
            setter.paragraph(caption, CAPTION, width, most=1),
            setter.paragraph(text, _FACT, width, most=8),
        ]
    )


def blanks(names: Sequence[str], setter: Setter, width: float) -> Block:
    """Return lines to write on, side by side, each with its name in front."""
    each = width / len(names)
    return side_by_side([_blank(name, setter, each - 10) for name in names], each)


def _blank(name: str, setter: Setter, width: float) -> Block:
    words = setter.paragraph(name, BODY, width, most=1)
    start = setter.wide(name, BODY) + 4
    line = Line((start, words.height - 1), (width, words.height - 1), HAIRLINE, QUIET)
    return Block(words.height + 4, (*words.marks, line))


def mat_name(place: int, count: int) -> str:
    """Return what a mat is called among the ``count`` mats of its mount, the first one first.

    >>> mat_name(0, 1), mat_name(0, 2), mat_name(1, 2), mat_name(2, 3)
    ('mat', 'first mat', 'inner mat', 'inner mat 2')
    """
    if count == 1:
        return "mat"
    if place == 0:
        return "first mat"
    return "inner mat" if count == 2 else f"inner mat {place}"


def bench_page(
    size: Size, marks: Sequence[Mark], words: str, setter: Setter, *, stamped: str
) -> Page:
    """Return a page with its foot, whose rules win and ``words``, which page this is.

    ``stamped`` stands at its head, blank for no stamp.
    """
    width, height = size.width.points, size.height.points
    foot = [
        Text(MARGIN, height - 30, ON_RULES, CAPTION.weight, CAPTION.size, CAPTION.colour),
        setter.placed(words, CAPTION, width - MARGIN, height - 30),
        *stamp(stamped, setter, MARGIN),
    ]
    return Page(width, height, (*marks, *rule(setter.width).at(MARGIN, height - 42), *foot))
