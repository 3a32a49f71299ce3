"""The sizes of the steps on a page: the user's own figures, in mm."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Size, millimetres
from proofs.pages.flow import PageLayout
from proofs.pages.proof_sheet.entry_frame import EntryFrame, entry_frame
from proofs.pages.proof_sheet.step_grid import StepGrid, best_grid
from proofs.plan.entry.board import Opening
from proofs.plan.entry.facts import PhotoFacts
from proofs.records.page_sizes import PAGE_SIZES
from tests.near import ROUNDED_MM
from tests.pages.marks_on_pages import measure
from tests.pages.outcomes import an_outcome, planned
from tests.pages.proof_sheet.cases import JOB
from tests.workbench import facts

MM = 25.4 / 72
papers = pytest.mark.parametrize("paper", PAGE_SIZES)
SHAPES = {
    "3:2": facts(3000, 2000),
    "2:3": facts(2000, 3000),
    "square": facts(3000, 3000),
    "4:5": facts(2400, 3000),
    "5:4": facts(3000, 2400),
    "4:3": facts(3200, 2400),
    "3:1": facts(6000, 2000),
    "1:3": facts(2000, 6000),
}
shapes = pytest.mark.parametrize("photo", SHAPES.values(), ids=SHAPES)


def frame_of(
    photo: PhotoFacts, count: int, paper: str, *, compact: bool = False, **more: Any
) -> EntryFrame:
    bracket = tuple(n / 20 for n in range(count))
    outcome = an_outcome(JOB, planned(JOB, photo=photo, bracket=bracket), **more)
    assert outcome.plan is not None
    layout = PageLayout(paper, measure)
    return entry_frame(JOB, outcome, outcome.plan, layout, compact=compact, with_part=not compact)


@papers
@shapes
@pytest.mark.parametrize(("count", "least"), [(1, 55), (2, 55), (3, 55), (4, 55), (6, 40)])
def test_steps_are_as_large_as_asked(
    photo: PhotoFacts, count: int, least: float, paper: str
) -> None:
    assert frame_of(photo, count, paper).grid.longest_side * MM >= least - ROUNDED_MM


@papers
@shapes
def test_steps_of_half_a_page_are_as_large_as_asked(photo: PhotoFacts, paper: str) -> None:
    frame = frame_of(photo, 4, paper, compact=True, shadows=0.01)
    assert frame.grid.longest_side * MM >= 36 - ROUNDED_MM


@papers
@shapes
def test_the_mount_is_at_an_eighth_or_larger(photo: PhotoFacts, paper: str) -> None:
    drawing = frame_of(photo, 4, paper).drawing
    assert drawing is not None
    assert drawing.scale <= 8


def test_neighbours_share_six_millimetres_of_mat() -> None:
    grid = frame_of(SHAPES["3:2"], 4, "a4").grid
    (left, top), (right, _), (_, below) = grid.place(0), grid.place(1), grid.place(2)
    assert (right - left - grid.cell[0]) * MM == pytest.approx(6, abs=ROUNDED_MM)
    assert (below - top - grid.cell[1]) * MM == pytest.approx(6, abs=ROUNDED_MM)


boxes = st.builds(Size, *[st.integers(80, 500).map(millimetres)] * 2)
rooms = st.tuples(st.floats(200, 530), st.floats(150, 600))


@given(size=boxes, count=st.integers(1, 9), room=rooms)
def test_the_steps_never_leave_their_room(
    size: Size, count: int, room: tuple[float, float]
) -> None:
    grid = best_grid(Opening(size), count, room)
    assert grid.width <= room[0] + 0.01
    assert grid.height <= room[1] + 0.01


@given(size=boxes, count=st.integers(1, 9), room=rooms, columns=st.integers(1, 9))
def test_no_other_number_of_columns_shows_them_larger(
    size: Size, count: int, room: tuple[float, float], columns: int
) -> None:
    best = best_grid(Opening(size), count, room)
    other = StepGrid(count, min(columns, count), best.scale / 1.001, best.box, best.band)
    assert other.width > room[0] or other.height > room[1] or best.scale == 1
