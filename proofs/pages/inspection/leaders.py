"""Where the numbers of marks stand beside a picture, and the lines that lead to the marks.

Numbers stand left and right of the picture. A leader stops short of its mark and, wherever another
side allows it, passes no other mark.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from proofs.pages.drawing import Corners, Point

SPACE = 11.0
"""The least distance between two numbers, one below the other."""
CLEAR = 3.0
"""How far a leader stays from the place of its own mark."""

_PASSES = 3


@dataclass(frozen=True, slots=True)
class Leader:
    """The line from a number to its mark: ``start`` is at the number, ``end`` near the mark."""

    start: Point
    end: Point


def leaders(places: Sequence[Corners], size: Point, room: float) -> tuple[Leader, ...]:
    """Return a leader for each place, within a picture of this size whose top left is 0, 0.

    Numbers stand ``room`` outside its left and right edges.
    """
    middles = [(left + right) / 2 for left, _, right, _ in places]
    sides = [middle <= size[0] / 2 for middle in middles]
    best, least = _drawn(places, sides, size, room), _passed(places, sides, size, room)
    for _ in range(_PASSES):
        for n in range(len(places)):
            other = [not side if m == n else side for m, side in enumerate(sides)]
            if (passed := _passed(places, other, size, room)) < least:
                sides, least, best = other, passed, _drawn(places, other, size, room)
    return tuple(best[n] for n in range(len(places)))


def _drawn(
    places: Sequence[Corners], sides: Sequence[bool], size: Point, room: float
) -> Mapping[int, Leader]:
    found: dict[int, Leader] = {}
    for is_left in (True, False):
        own = [n for n, side in enumerate(sides) if side == is_left]
        own.sort(key=lambda n: places[n][1] + places[n][3])
        wished = [(places[n][1] + places[n][3]) / 2 for n in own]
        x = -room if is_left else size[0] + room
        for n, y in zip(own, spread(wished, SPACE, size[1]), strict=True):
            found[n] = Leader((x, y), _near((x, y), places[n]))
    return found


def spread(wished: Sequence[float], space: float, most: float) -> list[float]:
    """Return places in this order, at least ``space`` apart and, if there is room, below ``most``.

    >>> spread([1, 2, 30], 10, 32)
    [1, 11, 30]
    >>> spread([1, 29, 30], 10, 32)
    [1, 22, 32]
    """
    found: list[float] = []
    for place in wished:
        found.append(max(place, found[-1] + space) if found else place)
    for n in reversed(range(len(found))):
        after = found[n + 1] - space if n + 1 < len(found) else most
        found[n] = min(found[n], after)
    if found and found[0] < 0:  # more than fit: they run on below
        found = [place - found[0] for place in found]
    return found


def _near(start: Point, place: Corners) -> Point:
    """The point of a place, grown by the clear distance, that is nearest to a start."""
    (x, y), (left, top, right, bottom) = start, place
    return (
        min(max(x, left - CLEAR), right + CLEAR),
        min(max(y, top - CLEAR), bottom + CLEAR),
    )


def _passed(places: Sequence[Corners], sides: Sequence[bool], size: Point, room: float) -> int:
    """How many places leaders pass that are not their own."""
    drawn = _drawn(places, sides, size, room)
    return sum(
        passes(leader, place)
        for n, leader in drawn.items()
        for m, place in enumerate(places)
        if m != n
    )


def passes(leader: Leader, place: Corners) -> bool:
    """Return whether a leader runs through a place."""
    (x, y), (to_x, to_y) = leader.start, leader.end
    first, last = 0.0, 1.0
    left, top, right, bottom = place
    for at, way, low, high in ((x, to_x - x, left, right), (y, to_y - y, top, bottom)):
        if abs(way) < 1e-9:
            if not low <= at <= high:
                return False
            continue
        ends = sorted(((low - at) / way, (high - at) / way))
        first, last = max(first, ends[0]), min(last, ends[1])
    return first <= last
