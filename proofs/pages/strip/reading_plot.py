"""The plot of a wedge that was read back: tones asked and read, and by how much they differ."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from proofs.inspection.wedge_reading import WedgeReading
from proofs.pages.drawing import Line, Mark, Page, Point, Shape, Text, rectangle
from proofs.pages.typography import (
    ACCENT,
    ASIDE,
    BODY,
    CAPTION,
    HAIR,
    HAIRLINE,
    INK,
    TITLE,
    Measure,
    Setter,
    Style,
    sentence,
)

_WIDE, _HIGH = 595.0, 400.0  # A4 across, and as high as two panels take
_MARGIN, _SIDE, _TOP, _BETWEEN = 42.0, 225.0, 118.0, 40.0
_DOT = 2.6
_LEAST_REACH = 0.10  # D; so that nothing that an eye cannot see looks like a fault


@dataclass(frozen=True, slots=True)
class _Panel:
    """A square plot: where its bottom left lies, and what its sides stand for."""

    left: float
    bottom: float
    across: tuple[float, float]
    up: tuple[float, float]

    def at(self, x: float, y: float) -> Point:
        """Return the place of a value on the page; what lies beyond the panel is at its rim."""
        (x0, x1), (y0, y1) = self.across, self.up
        share = min(max((y - y0) / (y1 - y0), 0.0), 1.0)
        return self.left + (x - x0) / (x1 - x0) * _SIDE, self.bottom - share * _SIDE


def reading_page(
    reading: WedgeReading, *, name: str, said: Sequence[str], measure: Measure
) -> Page:
    """Return a page with two plots: L* read over L* asked, and the difference in density.

    ``name`` is the scan's; ``said`` are sentences that stand under it.
    """
    setter = Setter(measure, _WIDE - 2 * _MARGIN)
    first = Text(_MARGIN, _MARGIN, "The wedge read back", TITLE.weight, TITLE.size, INK)
    lines = [_line(name, ASIDE, _MARGIN, _MARGIN + 15)]
    for number, text in enumerate(_wrapped(said, setter)):
        lines.append(_line(text, BODY, _MARGIN, _MARGIN + 29 + number * BODY.leading))
    marks = (first, *lines, *_tones(reading, setter), *_differences(reading, setter))
    return Page(_WIDE, _HIGH, marks)


def _wrapped(said: Sequence[str], setter: Setter) -> Iterable[str]:
    for text in said:
        yield from setter.lines(f"{sentence(text)}.", BODY, setter.width)


def _tones(reading: WedgeReading, setter: Setter) -> tuple[Mark, ...]:
    panel = _Panel(_MARGIN + 14, _TOP + _SIDE, (0, 100), (0, 100))
    ticks = (0.0, 20.0, 40.0, 60.0, 80.0, 100.0)
    points = [(step.lightness, step.lightness_read) for step in reading.steps]
    return (
        *_grid(panel, ticks, [(tick, f"{tick:.0f}") for tick in ticks], setter),
        Line(panel.at(0, 0), panel.at(100, 100), HAIRLINE * 2, HAIR),
        *_curve(panel, points),
        _line("L* read", CAPTION, panel.left, _TOP - 8),
        setter.placed("L* asked", CAPTION, panel.left + _SIDE, panel.bottom + 22),
    )


def _differences(reading: WedgeReading, setter: Setter) -> tuple[Mark, ...]:
    points = [
        (step.lightness, step.difference) for step in reading.steps if step.difference is not None
    ]
    # The darkest steps differ most and say least: they run out of the panel rather than set it.
    inner = [abs(difference) for tone, difference in points if tone >= 20]
    reach = max(_LEAST_REACH, 0.1 * -(-max(inner) // 0.1))
    left = _MARGIN + 14 + _SIDE + _BETWEEN
    panel = _Panel(left, _TOP + _SIDE, (0, 100), (-reach, reach))
    ticks = [(share * reach, _signed(share * reach)) for share in (-1.0, -0.5, 0.0, 0.5, 1.0)]
    return (
        *_grid(panel, (0.0, 20.0, 40.0, 60.0, 80.0, 100.0), ticks, setter),
        Line(panel.at(0, 0), panel.at(100, 0), HAIRLINE * 2, INK),
        *_curve(panel, points),
        _line("read less asked, in density: up is darker", CAPTION, panel.left, _TOP - 8),
        setter.placed("L* asked", CAPTION, panel.left + _SIDE, panel.bottom + 22),
    )


def _grid(
    panel: _Panel, across: Sequence[float], up: Sequence[tuple[float, str]], setter: Setter
) -> tuple[Mark, ...]:
    marks: list[Mark] = []
    low, high = panel.across
    for value, label in up:
        place = panel.at(low, value)
        marks.append(Line(place, panel.at(high, value), HAIRLINE, HAIR))
        marks.append(setter.placed(label, CAPTION, panel.left - 4, place[1] + 2))
    for tick in across:
        x = panel.at(tick, panel.up[0])[0]
        label = f"{tick:.0f}"
        end = x + setter.wide(label, CAPTION) / 2
        marks.append(setter.placed(label, CAPTION, end, panel.bottom + 11))
    return tuple(marks)


def _curve(panel: _Panel, points: Sequence[tuple[float, float]]) -> tuple[Line | Shape, ...]:
    places = [panel.at(x, y) for x, y in points]
    lines = tuple(Line(start, end, HAIRLINE * 2, ACCENT) for start, end in pairwise(places))
    half = _DOT / 2
    return (*lines, *(rectangle(x - half, y - half, _DOT, _DOT, ACCENT) for x, y in places))


def _line(text: str, style: Style, x: float, y: float) -> Text:
    return Text(x, y, text, style.weight, style.size, style.colour)


def _signed(value: float) -> str:
    return f"{value:+.2f}" if value else "0"
