"""The typography of the proof sheet: its few sizes and inks, its grid, and text set in lines."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from proofs.pages.drawing import Block, Line, Text
from proofs.pages.setting import kept, wrapped
from proofs.plan.entry.mockup import Colour

LIGHT, REGULAR, SEMIBOLD = "light", "regular", "semibold"
INK: Colour = (32, 31, 30)
QUIET: Colour = (112, 109, 104)
HAIR: Colour = (201, 198, 192)
ACCENT: Colour = (155, 52, 30)
HAIRLINE = 0.4
GUTTER = 10.0
COLUMNS = 4
_LEADING = 1.38
_BASELINE = 1.06  # of the size, below the top of a line

Measure = Callable[[str, str, float], float]


@dataclass(frozen=True, slots=True)
class Style:
    """A weight, a size in points, and an ink."""

    weight: str
    size: float
    colour: Colour = INK

    @property
    def leading(self) -> float:
        """The distance from one baseline to the next."""
        return self.size * _LEADING


DISPLAY = Style(LIGHT, 22)
TITLE = Style(LIGHT, 13)
NUMBER = Style(SEMIBOLD, 13)
BODY = Style(REGULAR, 7.8)
STRONG = Style(SEMIBOLD, 7.8)
ALARM = Style(SEMIBOLD, 7.8, ACCENT)
SMALL_ALARM = Style(SEMIBOLD, 6.4, ACCENT)
ASIDE = Style(REGULAR, 7.8, QUIET)
CAPTION = Style(REGULAR, 6.4, QUIET)


@dataclass(frozen=True, slots=True)
class Setter:
    """Sets text for one sheet: ``width`` is that of the type area, in points."""

    measure: Measure
    width: float

    @property
    def column(self) -> float:
        """The width of one of the four columns."""
        return (self.width - (COLUMNS - 1) * GUTTER) / COLUMNS

    @property
    def pitch(self) -> float:
        """From the left edge of one column to that of the next."""
        return self.column + GUTTER

    def span(self, columns: int) -> float:
        """Return the width of so many columns with the gutters between them."""
        return columns * self.pitch - GUTTER

    def wide(self, text: str, style: Style) -> float:
        """Return how wide a text is on one line."""
        return self.measure(text, style.weight, style.size)

    def lines(self, text: str, style: Style, width: float) -> tuple[str, ...]:
        """Return a text broken into lines of this width."""
        return wrapped(text, width, lambda line: self.wide(line, style))

    def paragraph(self, text: str, style: Style, width: float, *, most: int = 99) -> Block:
        """Return a text set in lines; more than ``most`` are cut off with an ellipsis."""
        lines = kept(
            self.lines(text, style, width), most, width, lambda line: self.wide(line, style)
        )
        return set_lines(lines, style)

    def placed(self, text: str, style: Style, right: float, y: float) -> Text:
        """Return one line of text that ends at ``right``."""
        x = right - self.wide(text, style)
        return Text(x, y, text, style.weight, style.size, style.colour)


def set_lines(lines: Iterable[str], style: Style) -> Block:
    """Return lines of text one below the other."""
    set_ = tuple(
        Text(0, n * style.leading + baseline(style), line, style.weight, style.size, style.colour)
        for n, line in enumerate(lines)
    )
    return Block(len(set_) * style.leading, set_)


def baseline(style: Style) -> float:
    """Return how far below the top of its line a text stands."""
    return style.size * _BASELINE


def rule(width: float, colour: Colour = HAIR) -> Block:
    """Return a thin line across."""
    return Block(0, (Line((0, 0), (width, 0), HAIRLINE, colour),))


def sentence(text: str) -> str:
    """Return a text with a capital at its start, unless that is the name of a file.

    >>> sentence("overlap 1/8 in"), sentence("pier.tif: cannot be read")
    ('Overlap 1/8 in', 'pier.tif: cannot be read')
    """
    first = text.partition(" ")[0]
    return text[:1].upper() + text[1:] if first.rstrip(",;:").isalpha() else text
