"""A test strip's sheet as an array of greys: lettering and lines, wedge and patches.

Pillow draws in 8 bits, which is enough for lettering; the tones of the wedge are set in 16.
"""

from collections.abc import Iterable
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from proofs.lengths import NM_PER_INCH, Length, half_up
from proofs.outside.fonts import Fonts
from proofs.outside.lettering import Pen
from proofs.outside.pixels.spaces import srgb_light
from proofs.pages.drawing import Mark, Shape, Text
from proofs.plan.mockup import Colour
from proofs.plan.strip_foot import Foot
from proofs.plan.strips import StripFrame
from proofs.plan.tone import lightness
from proofs.plan.wedge import Patch, wedge

Greys = NDArray[np.uint16]


def sheet_greys(frame: StripFrame, marks: Iterable[Mark], foot: Foot, fonts: Fonts) -> Greys:
    """Return the whole sheet without its pictures, as L* with 65535 for 100."""
    image = Image.new("L", (frame.sheet.width, frame.sheet.height), 255)
    for mark in marks:
        if isinstance(mark, Shape):
            _shape(image, mark, frame.ppi)
        elif isinstance(mark, Text):
            _text(image, mark, frame.ppi, fonts)
        else:
            raise TypeError(f"{mark} is not drawn on a test strip")
    greys: Greys = np.asarray(image).astype(np.uint16) * 257
    for patch in wedge(foot.wedge_width):
        _paint(greys, frame, patch, (foot.wedge.x, foot.wedge.y))
    _paint(greys, frame, foot.black, (Length(0), Length(0)))
    return greys


def _paint(greys: Greys, frame: StripFrame, patch: Patch, origin: tuple[Length, Length]) -> None:
    """Fill a patch of the foot; its edges are rounded, not its size, so that no sliver shows."""
    x, y = origin[0] + patch.place.x, origin[1] + patch.place.y
    left, right = (_px(at, frame.ppi) for at in (x, x + patch.size.width))
    top, bottom = (_px(at, frame.ppi) for at in (y, y + patch.size.height))
    area = frame.foot
    rows = slice(area.top + top, area.top + bottom)
    greys[rows, area.left + left : area.left + right] = round(patch.lightness / 100 * 65535)


def _px(length: Length, ppi: int) -> int:
    return half_up(Fraction(length.nm * ppi, NM_PER_INCH))


def _shape(image: Image.Image, mark: Shape, ppi: int) -> None:
    """Fill an upright rectangle: its left and top on the nearest pixel, at least one wide."""
    xs, ys = [x for x, _ in mark.points], [y for _, y in mark.points]
    left, top = _nearest(min(xs), ppi), _nearest(min(ys), ppi)
    width = max(1, _nearest(max(xs) - min(xs), ppi))
    height = max(1, _nearest(max(ys) - min(ys), ppi))
    box = (left, top, left + width - 1, top + height - 1)
    ImageDraw.Draw(image).rectangle(box, fill=_grey(mark.fill))


def _text(image: Image.Image, mark: Text, ppi: int, fonts: Fonts) -> None:
    pen = Pen(image, fonts, _grey(mark.colour))
    scale = ppi / 72
    pen.write((mark.x * scale, mark.y * scale), mark.text, mark.weight, mark.size * scale)


def _nearest(points: float, ppi: int) -> int:
    return int(np.floor(points * ppi / 72 + 0.5))


def _grey(colour: Colour) -> int:
    """An ink of the pages as L*, 255 for 100."""
    light = float(srgb_light(np.array([sum(colour) / 3 / 255]))[0])
    return round(lightness(light) * 2.55)
