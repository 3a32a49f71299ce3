"""The words of the margin line: number, size of the image, and which way is up."""

from proofs.lengths import Size
from proofs.pages.drawing import Mark, Text, rectangle
from proofs.pages.setting import shortened
from proofs.pages.typography import INK, QUIET, REGULAR, SEMIBOLD, Measure, Style
from proofs.pixel_areas import Area

_NUMBER = Style(SEMIBOLD, 6.2)
_SIZE = Style(REGULAR, 5.6, QUIET)
_TOP = Style(SEMIBOLD, 5.4)
_HALF_CAPITAL = 0.36  # of the size
_ARROW_HIGH = 0.4  # of the height of the sign


def margin_line_words(
    number: str, image: Size, *, width: float, height: float, measure: Measure
) -> tuple[Mark, ...]:
    """Return two lines of at most this width, in points, in the middle of this height."""
    lines = ((f"No. {number}", _NUMBER), (str(image), _SIZE))
    step = height / 2
    return tuple(
        _line(words, style, n * step + step / 2, width, measure)
        for n, (words, style) in enumerate(lines)
    )


def _line(words: str, style: Style, middle: float, width: float, measure: Measure) -> Text:
    """A line whose capitals have this middle, cut off where it is too wide."""

    def wide(text: str) -> float:
        return measure(text, style.weight, style.size)

    y = middle + style.size * _HALF_CAPITAL
    return Text(0, y, shortened(words, width, wide), style.weight, style.size, style.colour)


def top_sign(area: Area, ppi: int, measure: Measure) -> tuple[Mark, ...]:
    """Return an arrow that points up with TOP below it, to fill this square, in points."""
    pixel = 72 / ppi
    side, rows = area.width * pixel, round(area.width * _ARROW_HIGH)
    # Bars a pixel high: the greys of a sheet are drawn from upright rectangles.
    arrow = tuple(
        rectangle(side / 2 - n * pixel * 0.7, (n + 2) * pixel, n * pixel * 1.4, pixel, INK)
        for n in range(1, rows)
    )
    wide = measure("TOP", _TOP.weight, _TOP.size)
    words = Text((side - wide) / 2, side * 0.94, "TOP", _TOP.weight, _TOP.size, _TOP.colour)
    return (*arrow, words)
