"""The plot of a grey wedge read back from a scan: tones asked and read, and their difference."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from proofs.inspection.wedge_reading import WedgeReading
from proofs.pages.drawing import Line, Mark, Page, Point, Shape, rectangle
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
    text_at,
)
from proofs.pages.wording import sentence
from proofs.records.page_sizes import PAGE_SIZES

_WIDE, _HIGH = PAGE_SIZES["a4"].width.points, 400.0  # as high as two panels take
_MARGIN, _SIDE, _TOP, _BETWEEN = 42.0, 225.0, 118.0, 40.0
_DOT = 2.6
_LEAST_REACH = 0.10  # D; so that an invisible difference does not look like a fault


@dataclass(frozen=True, slots=True)
class _Panel:
    """A square plot: the place of its bottom left corner, and the ranges of its sides."""

    left: float
    bottom: float
    across: tuple[float, float]
    up: tuple[float, float]

    def at(self, x: float, y: float) -> Point:
        """Return the place of a value on the page, on the rim for a value beyond the panel."""
        (x0, x1), (y0, y1) = self.across, self.up
        share = min(max((y - y0) / (y1 - y0), 0.0), 1.0)
        return self.left + (x - x0) / (x1 - x0) * _SIDE, self.bottom - share * _SIDE


def reading_page(
    reading: WedgeReading, *, name: str, sentences: Sequence[str], measure: Measure
) -> Page:
    """Return a page with two plots: L* read over L* asked, and the difference in density.

    ``name`` is the scan's; the ``sentences`` are below it.
    """
    setter = Setter(measure, _WIDE - 2 * _MARGIN)
    lines = [
        text_at("Grey wedge read back", TITLE, _MARGIN, _MARGIN),
        text_at(name, ASIDE, _MARGIN, _MARGIN + 15),
    ]
    wrapped = [
        line for s in sentences for line in setter.lines(f"{sentence(s)}.", BODY, setter.width)
    ]
    for number, text in enumerate(wrapped):
        lines.append(text_at(text, BODY, _MARGIN, _MARGIN + 29 + number * BODY.leading))
    return Page(_WIDE, _HIGH, (*lines, *_tones(reading, setter), *_differences(reading, setter)))


def _tones(reading: WedgeReading, setter: Setter) -> tuple[Mark, ...]:
    panel = _Panel(_MARGIN + 14, _TOP + _SIDE, (0, 100), (0, 100))
    ticks = (0.0, 20.0, 40.0, 60.0, 80.0, 100.0)
    points = [(step.lightness, step.lightness_read) for step in reading.steps]
    return (
        *_grid(panel, ticks, [(tick, f"{tick:.0f}") for tick in ticks], setter),
        Line(panel.at(0, 0), panel.at(100, 100), HAIRLINE * 2, HAIR),
        *_curve(panel, points),
        text_at("L* read", CAPTION, panel.left, _TOP - 8),
        setter.ending("L* asked", CAPTION, panel.left + _SIDE, panel.bottom + 22),
    )


def _differences(reading: WedgeReading, setter: Setter) -> tuple[Mark, ...]:
    points = [
        (step.lightness, step.difference) for step in reading.steps if step.difference is not None
    ]
    # The darkest steps differ most and mean least: they may leave the panel, not scale it.
    inner = [abs(difference) for tone, difference in points if tone >= 20]
    reach = max(_LEAST_REACH, 0.1 * -(-max(inner) // 0.1))
    left = _MARGIN + 14 + _SIDE + _BETWEEN
    panel = _Panel(left, _TOP + _SIDE, (0, 100), (-reach, reach))
    ticks = [(share * reach, _signed(share * reach)) for share in (-1.0, -0.5, 0.0, 0.5, 1.0)]
    return (
        *_grid(panel, (0.0, 20.0, 40.0, 60.0, 80.0, 100.0), ticks, setter),
        Line(panel.at(0, 0), panel.at(100, 0), HAIRLINE * 2, INK),
        *_curve(panel, points),
        text_at("read minus asked, in density: up is darker", CAPTION, panel.left, _TOP - 8),
        setter.ending("L* asked", CAPTION, panel.left + _SIDE, panel.bottom + 22),
    )


def _grid(
    panel: _Panel, across: Sequence[float], up: Sequence[tuple[float, str]], setter: Setter
) -> tuple[Mark, ...]:
    marks: list[Mark] = []
    low, high = panel.across
    for value, label in up:
        place = panel.at(low, value)
        marks.append(Line(place, panel.at(high, value), HAIRLINE, HAIR))
        marks.append(setter.ending(label, CAPTION, panel.left - 4, place[1] + 2))
    for tick in across:
        x = panel.at(tick, panel.up[0])[0]
        marks.append(setter.centred(f"{tick:.0f}", CAPTION, x, panel.bottom + 11))
    return tuple(marks)


def _curve(panel: _Panel, points: Sequence[tuple[float, float]]) -> tuple[Line | Shape, ...]:
    places = [panel.at(x, y) for x, y in points]
    lines = tuple(Line(start, end, HAIRLINE * 2, ACCENT) for start, end in pairwise(places))
    half = _DOT / 2
    return (*lines, *(rectangle(x - half, y - half, _DOT, _DOT, ACCENT) for x, y in places))


def _signed(value: float) -> str:
    return f"{value:+.2f}" if value else "0"
