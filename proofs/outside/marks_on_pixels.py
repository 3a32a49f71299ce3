"""Marks of the pages drawn as pixels, for what stands on paper and on a mock-up alike."""

from collections.abc import Iterable

from PIL import Image, ImageDraw

from proofs.outside.fonts import Fonts
from proofs.outside.lettering import Pen
from proofs.pages.drawing import Line, Mark, Shape, Text
from proofs.plan.entry.mockup import Colour

_FINE = 4  # drawn this much larger, then made small, for smooth edges


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
    return image.resize(size, Image.Resampling.BOX)


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
