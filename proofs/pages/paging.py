"""Blocks set down pages of one size, each whole on one, with a quiet foot below."""

from collections.abc import Iterable

from proofs.lengths import Size, millimetres
from proofs.pages.drawing import Block, Mark, Page
from proofs.pages.sheet_text import CAPTION, Measure, Setter, rule

MARGIN = millimetres(15).points
_TOP, _BOTTOM = 40.0, 54.0
_BETWEEN = 14.0


def page_setter(size: Size, measure: Measure) -> Setter:
    """Return what sets text in the width between the margins of a page."""
    return Setter(measure, size.width.points - 2 * MARGIN)


def paged(blocks: Iterable[Block], size: Size, setter: Setter, *, foot: str = "") -> list[Page]:
    """Return the pages that hold the blocks in their order; ``foot`` stands below on each."""
    pages = _filled(blocks, size.height.points - _TOP - _BOTTOM)
    counted = enumerate(pages, 1)
    return [_page(size, marks, f"{n} of {len(pages)}", foot, setter) for n, marks in counted]


def _filled(blocks: Iterable[Block], height: float) -> list[list[Mark]]:
    pages: list[list[Mark]] = [[]]
    y = 0.0
    for block in blocks:
        gap = _BETWEEN if pages[-1] else 0.0
        if pages[-1] and y + gap + block.height > height:
            pages.append([])
            y, gap = 0.0, 0.0
        pages[-1] += block.at(MARGIN, _TOP + y + gap)
        y += gap + block.height
    return pages


def _page(size: Size, marks: list[Mark], number: str, foot: str, setter: Setter) -> Page:
    width, height = size.width.points, size.height.points
    line = rule(setter.width).at(MARGIN, height - 42)
    left = setter.paragraph(foot, CAPTION, setter.span(3), most=1) if foot else Block(0)
    words = left.at(MARGIN, height - 30 - CAPTION.size * 1.06)
    return Page(
        width,
        height,
        (*marks, *line, *words, setter.placed(number, CAPTION, width - MARGIN, height - 30)),
    )
