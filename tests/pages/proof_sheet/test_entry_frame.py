"""How large steps and mount are on the page of an entry; the sizes are the user's own."""

import pytest

from proofs.measures import read_size
from proofs.pages.flow import PageLayout
from proofs.pages.proof_sheet.entry_frame import EntryFrame, MountPlace, entry_frame
from proofs.plan.entry.facts import PhotoFacts
from tests.pages.marks_on_pages import measure
from tests.pages.outcomes import an_outcome, planned
from tests.pages.proof_sheet.cases import PANORAMA, RULES, SQUARE, UPRIGHT
from tests.workbench import a_job, a_mount, facts

MM = 25.4 / 72
FOUR = (-0.1, 0.0, 0.1, 0.2)
SIX = (*FOUR, 0.3, 0.4)
LANDSCAPE, NEAR_SQUARE = facts(3600, 2400), facts(3000, 2400)


def frame_of(
    board: str, photo: PhotoFacts, steps: tuple[float, ...], paper: str = "a4"
) -> EntryFrame:
    size = read_size(board)
    job = a_job(mount=a_mount(board=size), rules=RULES)
    plan = planned(job, f"long {size.shortest.inches - 5:g} in", photo=photo, bracket=steps)
    outcome = an_outcome(job, plan)
    with_part = outcome.life_size is not None
    layout = PageLayout(paper, measure)
    return entry_frame(job, outcome, plan, layout, compact=False, with_part=with_part)


def scale_of(frame: EntryFrame) -> int:
    assert frame.drawing is not None
    return frame.drawing.scale


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("photo", [LANDSCAPE, UPRIGHT, NEAR_SQUARE, SQUARE, PANORAMA])
@pytest.mark.parametrize("board", ["16x20 in", "20x20 in", "18x20 in", "40x50 cm", "12x12 in"])
def test_mount_and_steps_are_both_as_large_as_they_are_to_be(
    board: str, photo: PhotoFacts, paper: str
) -> None:
    four, six = frame_of(board, photo, FOUR, paper), frame_of(board, photo, SIX, paper)
    assert max(scale_of(four), scale_of(six)) <= 8
    assert four.grid.longest_side * MM >= 55
    assert six.grid.longest_side * MM >= 40


@pytest.mark.parametrize("photo", [LANDSCAPE, UPRIGHT, NEAR_SQUARE, SQUARE])
def test_a_board_of_24_in_is_at_1_to_8_too(photo: PhotoFacts) -> None:
    frame = frame_of("24x24 in", photo, FOUR)
    assert (scale_of(frame), frame.grid.longest_side * MM >= 55) == (8, True)


def test_the_mount_goes_beside_the_head_only_where_the_steps_would_be_too_small() -> None:
    assert frame_of("20x20 in", SQUARE, FOUR).place == MountPlace.ABOVE
    assert frame_of("16x20 in", LANDSCAPE, FOUR).place != MountPlace.ABOVE
    assert frame_of("20x20 in", SQUARE, (0.0, 0.1)).place != MountPlace.ABOVE
