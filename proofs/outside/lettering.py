"""Writing on pixels with the program's typeface."""

from functools import cache
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from proofs.outside.fonts import Fonts
from proofs.plan.entry.mockup import Colour


class Pen:
    """Writes on one image in one colour, or one grey; sizes and places are in pixels."""

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
    # Without its shaping engine Pillow sets the same characters everywhere, side by side.
    return ImageFont.truetype(path, size, layout_engine=ImageFont.Layout.BASIC)
