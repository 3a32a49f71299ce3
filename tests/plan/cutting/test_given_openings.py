"""At the bench an opening that is given stays where it is, whatever the marks and the print."""

from dataclasses import replace
from typing import Any

from hypothesis import given, reject, settings
from hypothesis import strategies as st

from proofs.lengths import Borders, Length, PixelSize, Size, Unit, inches, millimetres
from proofs.measures import read_size
from proofs.plan.bench.materials import BoardUse, boards_of
from proofs.plan.cutting.arrival import Arrival, ArrivalVerdict, arrive
from proofs.plan.cutting.mount_kinds import at_bench, mount_kinds
from proofs.plan.cutting.openings import given_windows
from proofs.plan.cutting.rounding import on_marks
from proofs.plan.cutting.settings import settings as settings_of
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.cutters import Cutter
from proofs.records.job import Job
from proofs.records.mounts import Mat, Mount
from proofs.records.ruler_readings import RulerReading
from proofs.records.rules import Rules
from tests.workbench import (
    HAND,
    a_job,
    a_mount,
    a_reveal,
    an_entry,
    by_code,
    facts,
    overlaps,
    pixel_sizes,
    reveals,
    rule_sets,
)

METRIC = replace(HAND, unit=Unit.MM, step=millimetres(1))
READY = a_mount(
    name="ready-cut", board=read_size("20x16 in"), opening=read_size("13 1/2 x 10 1/2 in")
)


def plan_of(job: Job, size: str, *pictures: tuple[int, int], **cells: Any) -> Plan:
    """Return the plan of pictures of these pixels."""
    names = "|".join(f"{n}.jpg" for n in range(len(pictures)))
    return plan_entry(job, an_entry(size, file=names, **cells), *(facts(*p) for p in pictures))


def came(plan: Plan, *images: str, job: Job | None = None) -> Arrival:
    """Return what becomes of an entry whose prints came in these sizes."""
    return arrive(job or a_job(), plan, [RulerReading("1", read_size(image)) for image in images])


def test_a_given_opening_is_not_rounded_to_the_marks_of_the_cutter() -> None:
    # 13 1/2 in are 342.9 mm, and its borders 82.55 mm: no marks of a metric scale.
    job = a_job(cutter=METRIC)
    plan = plan_of(job, "opening 13 1/2 x 10 1/2 in", (3000, 2000))
    assert given_windows(plan) == (True,)
    assert on_marks(job, plan) == plan
    assert plan.layout.borders_back.left == millimetres("82.55")


def test_of_two_windows_only_the_one_that_follows_from_its_image_is_rounded() -> None:
    job = a_job(cutter=METRIC)
    plan = plan_of(job, "opening 6 1/2 x 4 1/2 in | long 6 in", (3000, 2000), (3000, 2000))
    before, after = plan.layout.windows, on_marks(job, plan).layout.windows
    assert given_windows(plan) == (True, False)
    assert after[0] == before[0]
    assert after[1] != before[1]


def test_a_print_that_came_as_planned_goes_behind_the_opening_as_it_is() -> None:
    plan = plan_of(a_job(), "opening 13 1/2 x 10 1/2 in", (3000, 2000))
    found = came(plan, "16 1/8 x 10 3/4 in")
    assert found.verdict == ArrivalVerdict.AS_PLANNED
    assert found.plan.layout.windows == plan.layout.windows


def test_a_print_that_is_too_small_for_its_opening_is_made_again() -> None:
    plan = plan_of(a_job(), "opening 13 1/2 x 10 1/2 in", (3000, 2000))
    # 10 3/8 in behind 10 1/2 in: 1/16 in of paper shows at the top and at the bottom.
    found = came(plan, "15 9/16 x 10 3/8 in")
    assert found.verdict == ArrivalVerdict.AGAIN
    assert found.plan.layout.windows == plan.layout.windows
    message = by_code(found.findings)["overlap-left"].message
    assert message == "the image is 1/8 in (3.18 mm) smaller than its opening: paper shows"
    assert found.plan.layout.pictures[0].hidden.top == -inches("1/16")


def test_a_print_that_just_covers_its_opening_is_at_risk() -> None:
    plan = plan_of(a_job(), "opening 13 1/2 x 10 1/2 in", (3000, 2000))
    # 1/16 in, 1.6 mm, of overlap; a cut may be 1 mm off, and the print's place 1 mm.
    found = came(plan, "15 15/16 x 10 5/8 in")
    assert found.verdict == ArrivalVerdict.AT_RISK
    assert found.notes[-1] == (
        "the mat overlaps the print by only 1/16 in (1.59 mm), not by 1/8 in (3.18 mm): the opening"
        " is given, so place the print with care"
    )


def test_a_print_that_came_off_its_size_still_shows_the_part_that_was_asked_for() -> None:
    plan = plan_of(a_job(), "opening 10 1/2 x 13 1/2 in", (2000, 3000), crop="top")
    found = came(plan, "10 3/4 x 16 1/4 in")
    # 16 1/4 in less 13 1/2 in and the overlap at the top.
    assert found.plan.layout.pictures[0].hidden == Borders(
        *map(inches, ("1/8", "1/8", "21/8", "1/8"))
    )


def test_a_print_that_came_small_keeps_the_middle_of_its_reveal() -> None:
    job = a_job(a_reveal(inches("1/4")))
    plan = plan_of(job, "opening 13 1/2 x 10 1/2 in", (3000, 2000))
    found = came(plan, "12 3/4 x 8 1/2 in", job=job)
    paper = found.plan.layout.pictures[0].seen_paper
    assert (paper.left, paper.right) == (inches("3/8"), inches("3/8"))
    assert (paper.top, paper.bottom) == (inches(1), inches(1))


def test_mats_of_a_profile_with_an_opening_are_neither_bought_nor_cut() -> None:
    job = a_job(READY)
    plan = plan_of(job, "largest", (3000, 2000))
    assert plan.is_ready_cut
    (kind,) = mount_kinds([at_bench(job, plan, {})])
    assert kind.is_ready_cut
    assert settings_of([kind]) == ()
    assert [board.use for board in boards_of([plan])] == [BoardUse.BACKING]


def test_the_reach_of_the_cutter_is_nothing_to_a_mat_that_is_cut_already() -> None:
    job = a_job(READY, cutter=replace(HAND, reach=inches(1)))
    (kind,) = mount_kinds([at_bench(job, plan_of(job, "largest", (3000, 2000)), {})])
    assert "cutter-reach" not in by_code(kind.entries[0].findings)


def test_an_opening_that_only_the_cell_gives_may_have_to_be_cut() -> None:
    job = a_job()
    plan = plan_of(job, "opening 13 1/2 x 10 1/2 in", (3000, 2000))
    assert not plan.is_ready_cut
    (kind,) = mount_kinds([at_bench(job, plan, {})])
    # Borders of 3 1/4 in at the sides, 2 3/4 in above and below.
    assert [setting.at for setting in settings_of([kind])] == [inches("2.75"), inches("3.25")]
    assert [board.use for board in boards_of([plan])] == [BoardUse.MAT, BoardUse.BACKING]


def test_another_opening_in_the_cell_is_not_that_of_the_ready_cut_mat() -> None:
    job = a_job(READY)
    assert not plan_of(job, "opening 12x10 in", (3000, 2000)).is_ready_cut


def test_a_mat_that_is_cut_already_is_no_kind_with_one_to_cut_alike() -> None:
    job = a_job(READY)
    ready = at_bench(job, plan_of(job, "largest", (3000, 2000)), {})
    cut = at_bench(job, plan_of(job, "opening 13 1/2 x 10 1/2 in", (3000, 2000)), {})
    assert ready.plan.layout.windows == cut.plan.layout.windows
    assert [kind.is_ready_cut for kind in mount_kinds([ready, cut, ready])] == [True, False]


INNER = Mat(shows=inches("1/4"), thickness=millimetres("1.4"))


@given(
    mount=st.one_of(overlaps, reveals),
    inner=st.sampled_from([(), (INNER,)]),
    rules=rule_sets,
    picture=pixel_sizes,
    opening=st.sampled_from(["13 1/2 x 10 1/2 in", "9x7 in", "24.3x18.1 cm"]),
    scale=st.integers(-30, 30),
    cutter=st.sampled_from([HAND, METRIC]),
)
@settings(max_examples=150, deadline=None)
def test_neither_the_marks_nor_an_arrived_print_ever_move_a_given_opening(
    mount: Mount,
    inner: tuple[Mat, ...],
    rules: Rules,
    picture: PixelSize,
    opening: str,
    scale: int,
    cutter: Cutter,
) -> None:
    job = a_job(replace(mount, inner=inner), rules, cutter=cutter)
    try:
        plan = plan_of(job, f"opening {opening}", (picture.width, picture.height))
    except ValueError:  # the opening leaves the board
        reject()
    image = plan.layout.pictures[0].image.size
    reading = RulerReading("1", Size(_scaled(image.width, scale), _scaled(image.height, scale)))
    benches = at_bench(job, plan, {}), at_bench(job, plan, {("1", 1): reading})
    assert [bench.plan.layout.windows for bench in benches] == [plan.layout.windows] * 2


def _scaled(length: Length, per_mille: int) -> Length:
    return length + length * per_mille // 1000
