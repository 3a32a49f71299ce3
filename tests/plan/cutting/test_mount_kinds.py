"""What comes to the bench: which mounts are cut alike, and how seldom the stop is set."""

from dataclasses import replace

import pytest

from proofs.findings import Severity
from proofs.lengths import ZERO, inches, millimetres
from proofs.measures import read_size
from proofs.plan.cutting.mount_kinds import (
    REACH,
    BenchEntry,
    at_bench,
    mount_kinds,
    overrun,
)
from proofs.plan.cutting.settings import settings
from proofs.plan.entry.planning import plan_entry
from proofs.records.job import Job
from proofs.records.mounts import BevelKind, Mat, WindowShape
from proofs.records.ruler_readings import RulerReading, by_print
from tests.workbench import HAND, a_job, a_mount, an_entry, facts, no_window

JOB = a_job()


def benched(job: Job, number: str, size: str = "long 12 in", *readings: RulerReading) -> BenchEntry:
    plan = plan_entry(job, an_entry(size, number=number), facts())
    return at_bench(job, plan, by_print(readings))


# 20 x 16 in less an opening of 11 3/4 x 7 3/4 in leave borders of 4 1/8 in all round.
@pytest.mark.parametrize(
    ("reach", "words"),
    [
        (
            "4",
            "border beyond the cutter's reach of 4 in: left 4 1/8 in, right 4 1/8 in, top 4 1/8 in,"
            " bottom 4 1/8 in (seen from the back)",
        ),
        ("4.125", ""),
        ("5", ""),
    ],
)
def test_a_border_beyond_the_reach_of_the_cutter_is_a_warning(reach: str, words: str) -> None:
    bench = benched(a_job(cutter=replace(HAND, reach=inches(reach))), "1")
    found = [(f.severity, f.message, f.limit) for f in bench.findings if f.code == REACH]
    assert found == ([(Severity.WARNING, words, inches(reach).mm)] if words else [])


def test_a_lower_mat_has_its_own_reach() -> None:
    # 1/4 in of the lower mat and its bevel of 1.4 mm are seen, so the top mat's border is narrower
    # than 4 1/8 in by 0.305 in, on the marks 3 13/16 in. The lower mat ends 1/8 in inside the top
    # mat: its border is 4 in.
    inner = Mat(shows=inches("1/4"), thickness=millimetres("1.4"))
    job = a_job(a_mount(inner=(inner,)), cutter=replace(HAND, reach=inches("3.875")))
    (message,) = (f.message for f in benched(job, "1").findings if f.code == REACH)
    assert message.startswith("border of the lower mat beyond the cutter's reach of 3 7/8 in: left")


def test_an_oval_is_not_cut_by_the_scale() -> None:
    job = a_job(a_mount(shape=WindowShape.OVAL), cutter=replace(HAND, reach=inches(1)))
    assert [f for f in benched(job, "1").findings if f.code == REACH] == []


def test_mounts_with_the_same_cuts_are_one_kind() -> None:
    kinds = mount_kinds([benched(JOB, "1"), benched(JOB, "2", "long 14 in"), benched(JOB, "3")])
    numbers = [[b.plan.entry.number for b in kind.entries] for kind in kinds]
    assert numbers == [["1", "3"], ["2"]]


def test_a_print_that_wants_another_opening_is_another_kind() -> None:
    small = RulerReading("2", read_size("11 3/4 x 7 3/4 in"))
    kinds = mount_kinds([benched(JOB, "1"), benched(JOB, "2", "long 12 in", small)])
    assert [len(kind.entries) for kind in kinds] == [1, 1]


def test_a_print_that_came_as_planned_stays_with_the_planned_ones() -> None:
    as_planned = RulerReading("2", read_size("12 x 8 in"))
    (kind,) = mount_kinds([benched(JOB, "1"), benched(JOB, "2", "long 12 in", as_planned)])
    assert kind.unmeasured == ("1",)


def test_an_opening_of_several_prints_has_to_suit_them_all() -> None:
    # The measured print is sure to be 12 in, the other may be smaller by the lab's error.
    as_planned = RulerReading("2", read_size("12 x 8 in"))
    alone = benched(JOB, "1")
    (kind,) = mount_kinds([benched(JOB, "2", "long 12 in", as_planned), alone])
    assert kind.limits == alone.limits


def test_all_cuts_at_one_setting_are_made_before_the_stop_is_moved() -> None:
    kinds = mount_kinds([benched(JOB, "1"), benched(JOB, "2", "long 14 in"), benched(JOB, "3")])
    found = settings(kinds)
    wanted = {line.at for kind in kinds for mat in kind.mats for line in mat.lines}
    assert [s.at for s in found] == sorted(wanted)
    # Four cuts a mat (geometry), three mats.
    assert sum(use.cuts for s in found for use in s.uses) == 12


def test_mats_of_another_thickness_never_share_a_setting() -> None:
    thick = a_job(a_mount(mat=millimetres(3)))
    found = settings(mount_kinds([benched(JOB, "1"), benched(thick, "2")]))
    assert [s.thickness for s in found] == sorted(s.thickness for s in found)
    assert all(len(s.uses) == 1 for s in found)


def test_a_mount_without_a_window_has_nothing_to_cut() -> None:
    (kind,) = mount_kinds([benched(a_job(no_window()), "1")])
    assert (kind.mats, kind.limits.windows, settings([kind])) == ((), (), ())


@pytest.mark.parametrize(
    ("bevel", "past"),
    [
        (BevelKind.ORDINARY, millimetres("1.4")),
        (BevelKind.REVERSE, ZERO),
        (BevelKind.STRAIGHT, ZERO),
    ],
)
def test_cuts_run_as_far_past_the_corner_as_the_mat_is_thick(bevel: str, past: object) -> None:
    # The face of a 45° bevel lies as far out as the board is thick (geometry).
    job = a_job(a_mount(bevel=bevel))
    (kind,) = mount_kinds([benched(job, "1")])
    assert overrun(job, kind.mount, kind.mats[0]) == past


def test_a_cutter_may_say_how_far_its_cuts_run_past() -> None:
    job = a_job(cutter=replace(HAND, overrun=inches("1/8")))
    (kind,) = mount_kinds([benched(job, "1")])
    assert overrun(job, kind.mount, kind.mats[0]) == inches("1/8")
