"""A rule to measure prints with: inches above its line, millimetres below."""

from collections.abc import Iterator
from fractions import Fraction

from proofs.lengths import Length, inches, millimetres
from proofs.pages.drawing import Block, Mark, Shape, Text, rectangle
from proofs.pages.typography import CAPTION, INK, Setter, text_at
from proofs.plan.sheets.strip_sheet import RULE_HEIGHT, RULE_INCHES, RULE_MM

_LINE = 0.5
_LONG, _MIDDLE, _SHORT = 6.0, 4.2, 2.6  # ticks, in points
_TICKS_AN_INCH = 8
_TICK_MM = 5


def rule_block(setter: Setter, *, in_long: int = RULE_INCHES, mm_long: int = RULE_MM) -> Block:
    """Return the rule; lengths count from the left edge of one tick to that of another.

    ``in_long`` and ``mm_long`` are the lengths of its two scales; the latter is a multiple of 10.
    """
    height = RULE_HEIGHT.points
    middle = height / 2
    width = max(inches(in_long), millimetres(mm_long)).points + _LINE
    line = rectangle(0, middle - _LINE / 2, width, _LINE, INK)
    marks = (*_inch_marks(setter, in_long, middle), *_mm_marks(setter, mm_long, middle))
    return Block(height, (line, *marks))


def _inch_marks(setter: Setter, in_long: int, middle: float) -> Iterator[Mark]:
    for number in range(in_long * _TICKS_AN_INCH + 1):
        part = Fraction(number, _TICKS_AN_INCH)
        long = {1: _LONG, 2: _MIDDLE}.get(part.denominator, _SHORT)
        at = inches(part)
        yield _tick(at, middle - long, long)
        if part.denominator == 1:
            is_last = part == in_long
            yield _figure(setter, at, f"{part} in" if is_last else f"{part}", middle - 4.4)


def _mm_marks(setter: Setter, mm_long: int, middle: float) -> Iterator[Mark]:
    for mm in range(0, mm_long + 1, _TICK_MM):
        at, is_long = millimetres(mm), not mm % (2 * _TICK_MM)
        yield _tick(at, middle, _LONG if is_long else _SHORT)
        is_last = mm == mm_long
        if is_long and mm != mm_long - 2 * _TICK_MM:  # room for the last figure
            yield _figure(setter, at, f"{mm} mm" if is_last else f"{mm}", middle + 10.0)


def _tick(at: Length, top: float, long: float) -> Shape:
    return rectangle(at.points, top, _LINE, long, INK)


def _figure(setter: Setter, at: Length, words: str, y: float) -> Text:
    """A figure right of its tick, or left of the last one, so that it stays on the rule."""
    if " " in words:
        return setter.ending(words, CAPTION, at.points - 1.5, y)
    return text_at(words, CAPTION, at.points + 1.8, y)
