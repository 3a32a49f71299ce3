"""The worst status wins, and a finished file is measured by its own pixels."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.findings import Status
from proofs.lengths import PixelSize, Size, inches, millimetres
from proofs.measures import read_size
from proofs.plan.checks.outcomes import measured_sight, worst_status
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import BevelKind, Mount
from tests.workbench import a_job, a_mount, a_plan, a_reveal, mounts, no_window, pixel_sizes

WORST_LAST = [
    Status.MET,
    Status.AT_RISK,
    Status.BROKEN,
    Status.NOT_UNDERSTOOD,
    Status.UNREADABLE,
    Status.FAILED,
    Status.NOT_DONE,
]


def measured(plan: Plan, pixels: PixelSize, ppi: float) -> Size:
    """Return what is seen of a file in the window of a plan."""
    return measured_sight(plan.layout.pictures[0], pixels, ppi)


@given(statuses=st.lists(st.sampled_from(WORST_LAST), min_size=1))
def test_the_worst_status_wins(statuses: list[Status]) -> None:
    places = [WORST_LAST.index(status) for status in statuses]
    assert worst_status(statuses) == WORST_LAST[max(places)]


def test_nothing_to_do_is_met() -> None:
    assert worst_status([]) == Status.MET


def test_the_statuses_are_those_of_the_report() -> None:
    assert list(Status) == WORST_LAST


def test_a_file_of_10_in_under_an_overlap_shows_9_3_4_in() -> None:
    plan = a_plan(a_job(), "long 10 in")
    assert measured(plan, PixelSize(3000, 1950), 300) == read_size("9.75x6.25 in")


def test_a_resolution_tag_that_lies_changes_what_is_seen() -> None:
    # 3000 pixels at 320 are 9.375 in.
    plan = a_plan(a_job(), "long 10 in")
    assert measured(plan, PixelSize(3000, 1600), 320) == read_size("9.125x4.75 in")


def test_a_file_larger_than_its_window_shows_no_more_than_the_window() -> None:
    plan = a_plan(a_job(), "12x8 in", 3000, 2000)
    assert measured(plan, PixelSize(6000, 4000), 300) == read_size("11.75x7.75 in")


def test_a_file_wholly_seen_is_measured_whole() -> None:
    plan = a_plan(a_job(a_reveal(inches("1/4"))), "12x8 in")
    assert measured(plan, PixelSize(3600, 2400), 300) == read_size("12x8 in")
    assert measured(plan, PixelSize(3630, 2400), 300).width == inches("12.1")


def test_without_a_window_a_file_is_measured_whole() -> None:
    plan = a_plan(a_job(no_window()), "12x8 in")
    assert measured(plan, PixelSize(9000, 6000), 300) == read_size("30x20 in")


def test_a_reverse_bevel_is_measured_at_its_face() -> None:
    plan = a_plan(a_job(a_mount(bevel=BevelKind.REVERSE)), "12x8 in")
    assert measured(plan, PixelSize(6000, 4000), 300) == read_size("11.75x7.75 in")


@pytest.mark.parametrize("ppi", [240, 300, 360])
@given(mount=mounts, picture=pixel_sizes)
def test_a_planned_file_shows_what_was_planned_within_half_a_pixel(
    ppi: int, mount: Mount, picture: PixelSize
) -> None:
    plan = a_plan(a_job(mount), "long 250 mm", picture.width, picture.height)
    sight = measured(plan, PixelSize(*planned_pixels(plan, ppi)), ppi)
    seen, half = plan.layout.pictures[0].sight.size, millimetres("12.7").nm / ppi + 1
    assert abs(sight.width.nm - seen.width.nm) <= half
    assert abs(sight.height.nm - seen.height.nm) <= half


def planned_pixels(plan: Plan, ppi: int) -> tuple[int, int]:
    """Return the nearest whole pixels of a plan's image."""
    size = plan.parts[0].image.size
    return round(size.width.nm * ppi / 25_400_000), round(size.height.nm * ppi / 25_400_000)
