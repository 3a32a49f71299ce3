"""Numbers stand beside a picture, apart from each other, and leaders end before their marks."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.pages.drawing import Corners
from proofs.pages.inspection.leaders import CLEAR, SPACE, Leader, leaders, passes, spread

SIZE = (300.0, 200.0)
ROOM = 14.0


def small(x: float, y: float) -> Corners:
    return (x, y, x + 1, y + 1)


places = st.lists(st.builds(small, st.floats(0, 299), st.floats(0, 199)), min_size=1, max_size=14)


def distance(leader: Leader, place: Corners) -> float:
    """From the end of a leader to a place."""
    (x, y), (left, top, right, bottom) = leader.end, place
    return math.hypot(max(left - x, 0, x - right), max(top - y, 0, y - bottom))


@given(places=places)
def test_a_leader_ends_beside_its_mark_and_never_on_it(places: list[Corners]) -> None:
    found = leaders(places, SIZE, ROOM)
    away = [distance(leader, place) for leader, place in zip(found, places, strict=True)]
    assert min(away) >= CLEAR - 1e-9
    assert max(away) <= math.hypot(CLEAR, CLEAR) + 1e-9


@given(places=places)
def test_numbers_stand_outside_the_picture_and_apart(places: list[Corners]) -> None:
    starts = [leader.start for leader in leaders(places, SIZE, ROOM)]
    assert {x for x, _ in starts} <= {-ROOM, SIZE[0] + ROOM}
    levels = {x: sorted(y for at, y in starts if at == x) for x, _ in starts}
    gaps = [b - a for ys in levels.values() for a, b in itertools.pairwise(ys)]
    assert min(gaps, default=SPACE) >= SPACE - 1e-9


def test_a_leader_takes_the_other_side_where_a_mark_is_in_its_way() -> None:
    hidden, before = (140.0, 99.0, 142.0, 101.0), (60.0, 90.0, 62.0, 110.0)
    alone, _ = leaders([hidden, small(290, 10)], SIZE, ROOM)
    together = leaders([hidden, before], SIZE, ROOM)
    assert alone.start[0] == -ROOM
    assert together[0].start[0] == SIZE[0] + ROOM
    assert not passes(together[0], before)


@pytest.mark.parametrize(
    ("place", "is_passed"),
    [((40, 40, 60, 60), True), ((40, 70, 60, 90), False), ((0, 0, 10, 10), True)],
)
def test_a_leader_passes_what_it_runs_through(place: Corners, is_passed: bool) -> None:
    assert passes(Leader((0, 0), (100, 100)), place) == is_passed


@given(wished=st.lists(st.floats(0, 200), max_size=30))
def test_places_keep_their_order_and_their_distance(wished: list[float]) -> None:
    found = spread(sorted(wished), SPACE, 200)
    assert all(b - a >= SPACE - 1e-9 for a, b in itertools.pairwise(found))
    assert all(place >= -1e-9 for place in found)
