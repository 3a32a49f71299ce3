"""Lost edges: how long and on which side, judged by CIEDE2000."""

import numpy as np
import pytest

from proofs.inspection.lost_edges import along_side, lost_edges, mean_pieces
from proofs.inspection.marks import Area, Lab
from proofs.lengths import Edge
from tests.inspection.grounds import USUAL

MAT: Lab = (97.0, 0.0, 2.0)
SIZE = (300.0, 200.0)
LIMITS = USUAL.lost_edges


def side(*stretches: tuple[int, int], length: int = 300) -> np.ndarray:
    """Return the colours of a dark side that is like the mat along some stretches."""
    pieces = np.tile(np.array([40.0, 5.0, 5.0]), (length, 1))
    for first, end in stretches:
        pieces[first:end] = MAT
    return pieces


def test_a_stretch_is_found_where_it_is() -> None:
    (mark,) = lost_edges(side((50, 90)), MAT, Edge.TOP, SIZE, LIMITS)
    assert mark.area == Area(50, 0, 40, 1)
    assert mark.length_mm == 40
    assert mark.contrast == 0


def test_a_short_stretch_closes_to_the_eye() -> None:
    assert lost_edges(side((50, 59)), MAT, Edge.TOP, SIZE, LIMITS) == ()


def test_a_small_gap_does_not_bring_the_edge_back() -> None:
    (mark,) = lost_edges(side((50, 58), (60, 68)), MAT, Edge.TOP, SIZE, LIMITS)
    assert mark.length_mm == 18


def test_a_side_without_any_has_no_mark() -> None:
    assert lost_edges(side(), MAT, Edge.LEFT, SIZE, LIMITS) == ()


@pytest.mark.parametrize(("lightness", "count"), [(92.0, 1), (84.0, 0)])
def test_the_limit_is_that_of_ciede2000(lightness: float, count: int) -> None:
    # Published formula at L* about 90: a difference of 5 L* is 3.1, one of 13 L* is 8.9.
    pieces = np.tile(np.array([lightness, 0.0, 2.0]), (300, 1))
    assert len(lost_edges(pieces, MAT, Edge.TOP, SIZE, LIMITS)) == count


@pytest.mark.parametrize(
    ("edge", "area"),
    [
        (Edge.TOP, Area(10, 2, 30, 1)),
        (Edge.BOTTOM, Area(10, 197, 30, 1)),
        (Edge.LEFT, Area(2, 10, 1, 30)),
        (Edge.RIGHT, Area(297, 10, 1, 30)),
    ],
)
def test_areas_along_the_sides_count_from_the_top_left(edge: Edge, area: Area) -> None:
    assert along_side(edge, (10, 30), 1, SIZE, start=2) == area


def test_pieces_are_means_of_whole_millimetres() -> None:
    ramp = np.arange(40.0)[None, :, None].repeat(3, axis=2)
    assert mean_pieces(ramp, 4.0)[:, 0] == pytest.approx(np.arange(10) * 4 + 1.5)
