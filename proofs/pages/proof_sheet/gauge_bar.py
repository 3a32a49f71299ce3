"""A bar that shows a visible size against its limit, with the tolerance as a band.

All bars have one scale, so that those of a table can be compared: the limit is always in the same
place, and what is far from it runs off the end.
"""

from proofs.findings import Severity
from proofs.lengths import Length, Unit, inches, millimetres
from proofs.pages.drawing import Block, Mark, Shape, rectangle
from proofs.pages.typography import (
    ACCENT,
    CAPTION,
    INK,
    Setter,
    text_at,
)
from proofs.pages.wording import sentence
from proofs.plan.checks.gauges import Gauge
from proofs.plan.checks.limits import LENGTH
from proofs.plan.checks.on_ruler import read_in
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.mockup import Colour

_BELOW, _ABOVE = 0.4, 0.6  # the shares of a bar on the wrong and on the right side of the limit
_SPAN = {Unit.IN: inches(1), Unit.MM: millimetres(25)}  # what the whole bar stands for
_AREA_SPAN = 0.25  # of the limit, for areas
_HIGH = 7.0
_WRONG: Colour = (236, 225, 221)
_RIGHT: Colour = (229, 232, 226)
_BAND: Colour = (150, 150, 146)
_BAD_BAND: Colour = (205, 142, 126)
_OVER = 2.6  # how far limit and size reach beyond the bar


def severity_of(gauge: Gauge, outcome: Outcome) -> Severity:
    """Return the worst severity of the findings on the limits of a gauge."""
    found = [f.severity for f in outcome.findings if f.code in gauge.codes]
    return max(found, default=Severity.MET)


def gauge_bar(gauge: Gauge, severity: Severity, unit: Unit, width: float) -> Block:
    """Return the bar of a gauge, for rules written in ``unit``.

    Its limit is a long tick, the size a short thick one, the tolerance a band round the size.
    """
    limit, is_most = gauge.nearest, gauge.nearest == gauge.most
    span = _SPAN[unit].nm if gauge.quantity is LENGTH else max(1, round(limit * _AREA_SPAN))
    at = width * (_ABOVE if is_most else _BELOW)

    def place(value: int) -> float:
        return max(0.0, min(width, at + (value - limit) * width / span))

    first, second = (_RIGHT, _WRONG) if is_most else (_WRONG, _RIGHT)
    is_bad = severity >= Severity.AT_RISK
    low, high = place(gauge.low), place(gauge.high)
    y = _OVER
    marks: list[Mark] = [
        rectangle(0, y, at, _HIGH, first),
        rectangle(at, y, width - at, _HIGH, second),
    ]
    if high > low:
        marks.append(rectangle(low, y, high - low, _HIGH, _BAD_BAND if is_bad else _BAND))
    marks.append(rectangle(at - 0.5, 0, 1.0, _HIGH + 2 * _OVER, INK))
    marks.append(
        _size(
            place(gauge.value),
            y,
            width,
            is_off=not 0 < place(gauge.value) < width,
            colour=ACCENT if is_bad else INK,
        )
    )
    return Block(_HIGH + 2 * _OVER, tuple(marks))


def _size(x: float, y: float, width: float, *, is_off: bool, colour: Colour) -> Shape:
    """The mark of the size; an arrowhead at the end of the bar if the size is beyond it."""
    if not is_off:
        return rectangle(max(0.0, min(x - 1.2, width - 2.4)), y - 1, 2.4, _HIGH + 2, colour)
    tip, back = (width, width - 7) if x >= width else (0.0, 7.0)
    return Shape(((back, y), (tip, y + _HIGH / 2), (back, y + _HIGH)), colour)


def gauge_block(
    gauge: Gauge, severity: Severity, unit: Unit, setter: Setter, width: float
) -> Block:
    """Return a bar with what it measures above it, and its limit below."""
    bar = gauge_bar(gauge, severity, unit, width)
    head = text_at(sentence(gauge.name), CAPTION, 0, 8)
    limit = limit_words(gauge, unit)
    at = width * (_ABOVE if gauge.nearest == gauge.most else _BELOW)
    wide = setter.wide(limit, CAPTION)
    words = text_at(limit, CAPTION, max(0.0, min(at - wide / 2, width - wide)), 32.5)
    return Block(35, (head, *bar.at(0, 11.5), words))


def limit_words(gauge: Gauge, unit: Unit) -> str:
    """Return the nearest limit of a gauge in words, such as ``at least 10 in``."""
    limit = gauge.nearest
    text, _ = gauge.quantity.texts(limit, limit)
    if gauge.quantity is LENGTH:
        text = read_in(Length(limit), unit, [Length(limit)])
    else:
        text = text.partition(" (")[0] if unit == Unit.IN else text.partition(" (")[2].rstrip(")")
    return f"at {'most' if limit == gauge.most else 'least'} {text}"
