"""Which marks of a picture somebody has ticked off, and the line that would tick one off."""

import math
from collections.abc import Sequence

from proofs.inspection.marks import Mark, Point
from proofs.records.spotted import FINGERPRINT, Tick, TickWord

LEAST_REACH = 2.0
"""Millimetres on paper between a tick and the middle of its mark, at most."""

_REACH_SHARE = 0.1  # of a mark's longer side: the ends of a long one are less certain


def reach(mark: Mark) -> float:
    """Return how far from the middle of a mark a tick may be, in millimetres on paper."""
    return max(LEAST_REACH, _REACH_SHARE * max(mark.area.width, mark.area.height))


def ticked(marks: Sequence[Mark], ticks: Sequence[Tick], size_mm: Point) -> dict[int, TickWord]:
    """Return the word for each mark that is ticked off, by its place among ``marks``.

    ``ticks`` are those of this picture, ``size_mm`` is the size of its image. A tick takes off the
    nearest mark that it reaches; tones that are lost at several steps are one mark to it.
    """
    words: dict[int, TickWord] = {}
    for tick in ticks:
        nearest = min(_reached(marks, tick, size_mm), default=None)
        if nearest is None:
            continue
        found = marks[nearest[1]]
        words[nearest[1]] = tick.word
        if found.step is not None:
            others = _reached(marks, tick, size_mm)
            words |= {n: tick.word for _, n in others if marks[n].kind == found.kind}
    return words


def _reached(marks: Sequence[Mark], tick: Tick, size_mm: Point) -> list[tuple[float, int]]:
    """How far each mark within reach is from a tick, and its place among the marks."""
    place = tick.left * size_mm[0], tick.top * size_mm[1]
    away = ((math.dist(mark.area.centre, place), n) for n, mark in enumerate(marks))
    return [(distance, n) for distance, n in away if distance <= reach(marks[n])]


def tick_for(
    mark: Mark, word: TickWord, size_mm: Point, *, entry: tuple[str, int], sha256: str
) -> Tick:
    """Return the tick that takes a mark off; ``entry`` is its number and that of the picture."""
    across, down = (
        min(max(at / side, 0.0), 1.0) for at, side in zip(mark.area.centre, size_mm, strict=True)
    )
    number, picture = entry
    return Tick(number, across, down, word, picture, sha256[:FINGERPRINT])
