"""Pages as values, read back: their words, and the places of their marks."""

import itertools
from collections.abc import Iterator, Sequence

from proofs.pages.drawing import Anchor, Line, Page, Shape, Text


def measure(text: str, weight: str, size: float) -> float:
    """Return the width in a typeface as wide as a wide one: letters about half as wide as high."""
    return len(text) * size * (0.56 if weight == "semibold" else 0.54)


def texts_of(pages: Sequence[Page]) -> list[Text]:
    """Return all texts of some pages."""
    return [mark for page in pages for mark in page.marks if isinstance(mark, Text)]


def words_of(pages: Sequence[Page]) -> str:
    """Return all that is written, in the order it is drawn."""
    return " ".join(text.text for text in texts_of(pages))


def box_of(text: Text) -> tuple[float, float, float, float]:
    """Return left, top, right and bottom of a level text's letters."""
    wide = measure(text.text, text.weight, text.size)
    return text.x, text.y - text.size * 0.78, text.x + wide, text.y + text.size * 0.22


def overlapping(page: Page) -> Iterator[tuple[str, str]]:
    """Yield pairs of level texts of a page whose letters lie over one another."""
    level = [m for m in page.marks if isinstance(m, Text) and not m.angle and m.text]
    for one, other in itertools.combinations(level, 2):
        left, top, right, bottom = box_of(one)
        x0, y0, x1, y1 = box_of(other)
        across, down = min(right, x1) - max(left, x0), min(bottom, y1) - max(top, y0)
        if across > 0.01 and down > 0.01:
            yield one.text, other.text


def points_of(page: Page) -> Iterator[tuple[float, float]]:
    """Yield the outermost points of all marks of a page, turned texts left out."""
    for mark in page.marks:
        if isinstance(mark, Text):
            left, top, right, bottom = box_of(mark)
            yield from [] if mark.angle else [(left, top), (right, bottom)]
        elif isinstance(mark, Line):
            yield from (mark.start, mark.end)
        elif isinstance(mark, Shape):
            yield from mark.points
        elif not isinstance(mark, Anchor):
            yield mark.x, mark.y
            yield mark.x + mark.width, mark.y + mark.height
