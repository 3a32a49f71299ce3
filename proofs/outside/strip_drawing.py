"""A test strip's sheet as an array of greys: lettering and lines, wedge and patches.

Pillow draws in 8 bits, which is enough for lettering; the tones of the wedge are set in 16.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from proofs.lengths import ZERO, PixelSize, Place
from proofs.outside.fonts import Fonts
from proofs.outside.marks_on_pixels import Pen
from proofs.outside.pixels.colour.spaces import srgb_to_linear
from proofs.pages.drawing import Mark, Shape, Text
from proofs.pixel_areas import pixels
from proofs.plan.entry.mockup import Colour
from proofs.plan.sheets.strip_sheet import StripFoot, StripFrame
from proofs.plan.tones.tone import lightness
from proofs.plan.tones.wedge import Patch, wedge

Greys = NDArray[np.uint16]


def sheet_greys(frame: StripFrame, marks: Iterable[Mark], foot: StripFoot, fonts: Fonts) -> Greys:
    """Return the whole sheet without its pictures, as L* with 65535 for 100."""
    greys = drawn_greys(frame.sheet, frame.ppi, marks, fonts)
    area = frame.foot
    foot_greys = greys[area.top : area.bottom, area.left : area.right]  # the same pixels
    for patch in wedge(foot.wedge_width):
        paint(foot_greys, frame.ppi, patch, foot.wedge)
    paint(foot_greys, frame.ppi, foot.black, Place(ZERO, ZERO))
    return greys


def drawn_greys(size: PixelSize, ppi: int, marks: Iterable[Mark], fonts: Fonts) -> Greys:
    """Return texts and upright rectangles on white, as L* with 65535 for 100."""
    image = Image.new("L", (size.width, size.height), 255)
    for mark in marks:
        if isinstance(mark, Shape):
            _shape(image, mark, ppi)
        elif isinstance(mark, Text):
            _text(image, mark, ppi, fonts)
        else:
            raise TypeError(f"{mark} is not drawn in greys")
    return np.asarray(image).astype(np.uint16) * 257


def paint(greys: Greys, ppi: int, patch: Patch, origin: Place) -> None:
    """Fill a patch of something whose top left is at ``origin``.

    Its edges are rounded, not its size, so that no gap shows between neighbours.
    """
    x, y = origin.x + patch.place.x, origin.y + patch.place.y
    left, right = (pixels(at, ppi) for at in (x, x + patch.size.width))
    top, bottom = (pixels(at, ppi) for at in (y, y + patch.size.height))
    greys[top:bottom, left:right] = round(patch.lightness / 100 * 65535)


def _shape(image: Image.Image, mark: Shape, ppi: int) -> None:
    """Fill an upright rectangle: left and top on the nearest pixel, at least one pixel wide."""
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
    """A colour of the pages as L*, 255 for 100."""
    light = float(srgb_to_linear(np.array([sum(colour) / 3 / 255]))[0])
    return round(lightness(light) * 2.55)
