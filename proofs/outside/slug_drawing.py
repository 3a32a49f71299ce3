"""A slug and cut marks as greys, each with its place on the sheet."""

import numpy as np

from proofs.lengths import ZERO, PixelSize, Place, Size
from proofs.outside.fonts import Fonts
from proofs.outside.strip_drawing import Greys, drawn, paint
from proofs.pages.slug_words import slug_words, top_sign
from proofs.plan.slug import SLUG_WEDGE, Beside
from proofs.plan.strips import Area, pixels_at_least
from proofs.plan.wedge import wedge

_BLACK = 0


def beside_greys(
    beside: Beside, ppi: int, fonts: Fonts, *, number: str, image: Size
) -> tuple[tuple[Area, Greys], ...]:
    """Return all that a sheet carries beside its picture, as L* with 65535 for 100."""
    marks = [(a, np.full((a.height, a.width), _BLACK, np.uint16)) for a in beside.cut_marks]
    slug = beside.slug
    if slug is None:
        return tuple(marks)
    top = drawn(
        PixelSize(slug.top.width, slug.top.height), ppi, top_sign(slug.top, ppi, fonts.width), fonts
    )
    strip = slug.strip
    lying = PixelSize(strip.width, strip.height)
    words = _strip(lying.turned if slug.is_turned else lying, ppi, fonts, number, image)
    turned = np.rot90(words) if slug.is_turned else words
    return (*marks, (slug.top, top), (strip, np.ascontiguousarray(turned)))


def _strip(size: PixelSize, ppi: int, fonts: Fonts, number: str, image: Size) -> Greys:
    """The words at the left of a level strip, the wedge at its right."""
    start = size.width - pixels_at_least(SLUG_WEDGE, ppi)
    room, height = start * 72 / ppi - 4, size.height * 72 / ppi
    marks = slug_words(number, image, width=room, height=height, measure=fonts.width)
    greys = drawn(size, ppi, marks, fonts)
    for patch in wedge(SLUG_WEDGE):
        paint(greys[:, start:], ppi, patch, Place(ZERO, ZERO))
    return greys
