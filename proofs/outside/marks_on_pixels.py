"""Writing on pixels, and marks of pages drawn on pixels, for mock-ups and test strips."""

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from proofs.outside.fonts import Fonts
from proofs.pages.drawing import Line, Mark, Shape, Text
from proofs.plan.entry.mockup import Colour

_FINE = 4  # drawn this much larger, then reduced, for smooth edges


class Pen:
    """Writes on one image in one colour or grey; sizes and places are in pixels."""

    def __init__(self, image: Image.Image, fonts: Fonts, ink: Colour | int) -> None:
        self._draw = ImageDraw.Draw(image)
        self._fonts = fonts
        self._ink = ink

    def width(self, text: str, weight: str, size: float) -> float:
        """Return how wide a text will be."""
        return self._fonts.width(text, weight, size)

    def write(self, place: tuple[float, float], text: str, weight: str, size: float) -> None:
        """Write one line of text from its left end, ``place`` being on the baseline."""
        x, y = place
        for face, piece in self._fonts.runs(text, weight):
            font = _font(face.path, size)
            self._draw.text((x, y), piece, font=font, fill=self._ink, anchor="ls")
            x += font.getlength(piece)


@cache
def _font(path: Path, size: float) -> ImageFont.FreeTypeFont:
    # Without a shaping engine, Pillow draws the same on every machine.
    return ImageFont.truetype(path, size, layout_engine=ImageFont.Layout.BASIC)


def drawn(
    marks: Iterable[Mark],
    size: tuple[int, int],
    px_per_point: float,
    *,
    fonts: Fonts,
    ground: Colour,
) -> Image.Image:
    """Return a picture of this many pixels with the marks on a plain ground.

    Raises ``TypeError`` for a placed picture.
    """
    width, height = size
    image = Image.new("RGB", (width * _FINE, height * _FINE), ground)
    for mark in marks:
        _draw(image, mark, px_per_point * _FINE, fonts)
    # In two passes as ``resize`` does with a box, to the last bit, in two thirds of its time.
    return image.reduce((_FINE, 1)).reduce((1, _FINE))


def _draw(image: Image.Image, mark: Mark, scale: float, fonts: Fonts) -> None:
    draw = ImageDraw.Draw(image)
    if isinstance(mark, Text):
        pen = Pen(image, fonts, mark.colour)
        pen.write((mark.x * scale, mark.y * scale), mark.text, mark.weight, mark.size * scale)
    elif isinstance(mark, Shape):
        draw.polygon([(x * scale, y * scale) for x, y in mark.points], mark.fill)
    elif isinstance(mark, Line):
        ends = [(x * scale, y * scale) for x, y in (mark.start, mark.end)]
        draw.line(ends, mark.colour, max(1, round(mark.width * scale)))
    else:
        raise TypeError(f"{mark} is not drawn here")
