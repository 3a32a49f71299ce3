"""The words of the margin line: number, size of the image, and which way is up."""

from proofs.lengths import Size
from proofs.pages.drawing import Mark, Text, rectangle
from proofs.pages.setting import shortened
from proofs.pages.typography import INK, QUIET, REGULAR, SEMIBOLD, Measure, Setter, Style, text_at
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
    lines, setter = ((f"No. {number}", _NUMBER), (str(image), _SIZE)), Setter(measure, width)
    step = height / 2
    return tuple(_line(*line, n * step + step / 2, setter) for n, line in enumerate(lines))


def _line(words: str, style: Style, middle: float, setter: Setter) -> Text:
    """A line whose capitals have this middle, cut off if it is too wide."""
    short = shortened(words, setter.width, lambda text: setter.wide(text, style))
    return text_at(short, style, 0, middle + style.size * _HALF_CAPITAL)


def top_sign(area: Area, ppi: int, measure: Measure) -> tuple[Mark, ...]:
    """Return an arrow that points up with TOP below it, to fill this square, in points."""
    pixel = 72 / ppi
    side, rows = area.width * pixel, round(area.width * _ARROW_HIGH)
    # Bars a pixel high: the greys of a sheet are drawn from upright rectangles.
    arrow = tuple(
        rectangle(side / 2 - n * pixel * 0.7, (n + 2) * pixel, n * pixel * 1.4, pixel, INK)
        for n in range(1, rows)
    )
    return (*arrow, Setter(measure, side).centred("TOP", _TOP, side / 2, side * 0.94))
