"""A margin line and cut marks as greys, each with its place on the sheet."""

import numpy as np

from proofs.lengths import ZERO, PixelSize, Place, Size
from proofs.outside.fonts import Fonts
from proofs.outside.strip_drawing import Greys, drawn_greys, paint
from proofs.pages.delivery.margin_line import margin_line_words, top_sign
from proofs.pixel_areas import Area, pixels_at_least
from proofs.plan.sheets.margin_line import LINE_WEDGE, MarginMarks
from proofs.plan.tones.wedge import wedge

_BLACK = 0


def margin_greys(
    marks: MarginMarks, ppi: int, fonts: Fonts, *, number: str, image: Size
) -> tuple[tuple[Area, Greys], ...]:
    """Return all marks on a sheet besides its picture, as L* with 65535 for 100."""
    cut_marks = [(a, np.full((a.height, a.width), _BLACK, np.uint16)) for a in marks.cut_marks]
    line = marks.margin_line
    if line is None:
        return tuple(cut_marks)
    top = drawn_greys(
        PixelSize(line.top.width, line.top.height),
        ppi,
        top_sign(line.top, ppi, fonts.width),
        fonts,
    )
    strip = line.strip
    size = PixelSize(strip.width, strip.height)
    words = _strip(size.turned if line.is_turned else size, ppi, fonts, number, image)
    turned = np.rot90(words) if line.is_turned else words
    return (*cut_marks, (line.top, top), (strip, np.ascontiguousarray(turned)))


def _strip(size: PixelSize, ppi: int, fonts: Fonts, number: str, image: Size) -> Greys:
    """The words at the left of a level strip, and the wedge at its right."""
    start = size.width - pixels_at_least(LINE_WEDGE, ppi)
    room, height = start * 72 / ppi - 4, size.height * 72 / ppi
    marks = margin_line_words(number, image, width=room, height=height, measure=fonts.width)
    greys = drawn_greys(size, ppi, marks, fonts)
    for patch in wedge(LINE_WEDGE):
        paint(greys[:, start:], ppi, patch, Place(ZERO, ZERO))
    return greys
