"""The typography of all pages: inks, type styles, margins, the grid, and text set in lines."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from proofs.both_units import first_in
from proofs.lengths import Unit, millimetres
from proofs.pages.drawing import Block, Line, Text, stacked
from proofs.pages.setting import kept, wrapped
from proofs.plan.entry.mockup import Colour
from proofs.records.page_sizes import PAGE_SIZES

LIGHT, REGULAR, SEMIBOLD = "light", "regular", "semibold"
INK: Colour = (32, 31, 30)
QUIET: Colour = (112, 109, 104)
HAIR: Colour = (201, 198, 192)
ACCENT: Colour = (155, 52, 30)
HAIRLINE = 0.4
MARGIN = millimetres(15).points  # at the sides of a page
TOP, BOTTOM = 48.0, 54.0  # a page begins below its stamp, and ends above its foot
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


Words = tuple[str, Style]
"""A text and the style in which it is set."""

DISPLAY = Style(LIGHT, 22)
DIMENSION = Style(SEMIBOLD, 17)  # read from a board's length away
CUT_NUMBER = Style(SEMIBOLD, 25)  # what a cutter is set to
LIMIT = Style(SEMIBOLD, 19)  # what a finished opening may measure
TITLE = Style(LIGHT, 13)
NUMBER = Style(SEMIBOLD, 13)
MEASURED = Style(SEMIBOLD, 18)
MEASURED_TOO = Style(REGULAR, 14)  # the same size in the other unit, or one of several
NAME = Style(LIGHT, 17)
NAME_STRONG = Style(SEMIBOLD, 17)
FIGURE = Style(REGULAR, 11)
FIGURE_STRONG = Style(SEMIBOLD, 11)
FIGURE_ALARM = Style(SEMIBOLD, 11, ACCENT)
"""FIGURE styles are for numbers that decide."""
BODY = Style(REGULAR, 9)
STRONG = Style(SEMIBOLD, 9)
ALARM = Style(SEMIBOLD, 9, ACCENT)
ASIDE = Style(REGULAR, 9, QUIET)
CAPTION = Style(REGULAR, 7.5, QUIET)
SMALL_ALARM = Style(SEMIBOLD, 7.5, ACCENT)


@dataclass(frozen=True, slots=True)
class Setter:
    """Sets text on one kind of page; ``width`` is that of the type area, in points.

    Lengths that a text states in both units are turned so that those in ``unit`` are first.
    """

    measure: Measure
    width: float
    unit: Unit = Unit.IN

    @property
    def column(self) -> float:
        """The width of one of the four columns."""
        return (self.width - (COLUMNS - 1) * GUTTER) / COLUMNS

    @property
    def pitch(self) -> float:
        """From the left edge of one column to that of the next."""
        return self.column + GUTTER

    def span(self, columns: int) -> float:
        """Return the width of this many columns with the gutters between them."""
        return columns * self.pitch - GUTTER

    def wide(self, text: str, style: Style) -> float:
        """Return how wide a text is on one line."""
        return self.measure(text, style.weight, style.size)

    def lines(self, text: str, style: Style, width: float) -> tuple[str, ...]:
        """Return a text broken into lines of this width."""
        turned = first_in(self.unit, text)
        return wrapped(turned, width, lambda line: self.wide(line, style))

    def paragraph(self, text: str, style: Style, width: float, *, most: int = 99) -> Block:
        """Return a text set in lines; more than ``most`` are cut off with an ellipsis."""
        lines = kept(
            self.lines(text, style, width), most, width, lambda line: self.wide(line, style)
        )
        return set_lines(lines, style)

    def stack(
        self, lines: Iterable[Words], width: float, *, gap: float = 0.0, most: int = 99
    ) -> Block:
        """Return texts set one below the other, ``gap`` apart; ``most`` is as in ``paragraph``."""
        return stacked([self.paragraph(*line, width, most=most) for line in lines], gap)

    def ending(self, text: str, style: Style, right: float, y: float) -> Text:
        """Return one line of text that ends at ``right``, ``y`` being its baseline."""
        return text_at(text, style, right - self.wide(text, style), y)

    def centred(self, text: str, style: Style, middle: float, y: float) -> Text:
        """Return one line of text round ``middle``, ``y`` being its baseline."""
        return text_at(text, style, middle - self.wide(text, style) / 2, y)


def setter_for(paper_size: str, measure: Measure) -> Setter:
    """Return the setter for the type area of a page, ``a4`` or ``letter``."""
    return Setter(measure, PAGE_SIZES[paper_size].width.points - 2 * MARGIN)


def text_at(text: str, style: Style, x: float, y: float) -> Text:
    """Return one line of text from its left end, ``y`` being its baseline."""
    return Text(x, y, text, style.weight, style.size, style.colour)


def set_lines(lines: Iterable[str], style: Style) -> Block:
    """Return lines of text one below the other."""
    set_ = tuple(
        text_at(line, style, 0, n * style.leading + baseline(style)) for n, line in enumerate(lines)
    )
    return Block(len(set_) * style.leading, set_)


def baseline(style: Style) -> float:
    """Return how far the baseline is below the top of a line."""
    return style.size * _BASELINE


def rule(width: float, colour: Colour = HAIR) -> Block:
    """Return a thin line across."""
    return Block(0, (Line((0, 0), (width, 0), HAIRLINE, colour),))
