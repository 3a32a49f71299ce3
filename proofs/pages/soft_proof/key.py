"""The key of a soft proof: three small fields, and what each of them stands for."""

from proofs.pages.drawing import Block, Line, Mark, rectangle, side_by_side
from proofs.pages.typography import ASIDE, GUTTER, Setter
from proofs.plan.delivery.gamut import SEEN
from proofs.plan.entry.mockup import Colour
from proofs.records.labs import Lab

PALE: Colour = (216, 216, 216)
BEYOND: Colour = (128, 128, 128)
LOST: Colour = (40, 40, 40)
LINES: Colour = (255, 255, 255)

_WIDE, _HIGH = 26.0, 15.0  # of a field, in points
_PITCH, _LINE = 5.0, 1.0


def key_block(lab: Lab, setter: Setter) -> Block:
    """Return the key, set across the page."""
    fields = (
        (PALE, 0, "Pale: the profile holds this colour."),
        (BEYOND, 1, f"Hatched: out of its reach, by more than {SEEN:g}."),
        (LOST, 2, f"Crossed: the file loses more than {lab.loss:g}."),
    )
    third = (setter.width + GUTTER) / len(fields)
    return side_by_side([_field(setter, third, *field) for field in fields], third)


def _field(setter: Setter, pitch: float, fill: Colour, ways: int, words: str) -> Block:
    marks: list[Mark] = [rectangle(0, 0, _WIDE, _HIGH, fill)]
    if ways > 0:
        marks += _lines(rising=True)
    if ways > 1:
        marks += _lines(rising=False)
    start = _WIDE + 7
    text = setter.paragraph(words, ASIDE, pitch - start - GUTTER)
    drop = max(0.0, (_HIGH - text.height) / 2)
    return Block(max(_HIGH, text.height), (*marks, *text.at(start, drop)))


def _lines(*, rising: bool) -> list[Line]:
    """Lines at 45° within a field."""
    found = []
    x = -_HIGH + _PITCH / 2
    while x < _WIDE:
        low, high = max(0.0, x), min(_WIDE, x + _HIGH)
        start, end = (low, low - x), (high, high - x)  # from the foot up
        if rising:
            start, end = (start[0], _HIGH - start[1]), (end[0], _HIGH - end[1])
        found.append(Line(start, end, _LINE, LINES))
        x += _PITCH
    return found
