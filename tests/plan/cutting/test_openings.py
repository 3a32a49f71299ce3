"""Windows cut otherwise: every kind of mount on the marks, mats above mats, several windows."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.lengths import ZERO, Borders, Length, Place, Size, Unit, inches, millimetres
from proofs.measures import read_size
from proofs.plan.cutting.mount_kinds import at_bench, mount_kinds
from proofs.plan.cutting.openings import innermost, with_openings, with_windows
from proofs.plan.cutting.rounding import on_marks
from proofs.plan.entry.board import Layout, Opening
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.arrangements import read_arrangement
from proofs.records.cutters import Cutter
from proofs.records.mounts import BevelKind, Mat, Mount
from tests.workbench import HAND, SHIPPED, a_job, a_mount, a_plan, a_reveal, an_entry, facts

INCHES = replace(HAND, unit=Unit.IN, step=inches("1/16"))
METRIC = replace(HAND, unit=Unit.MM, step=millimetres(1))
CUTTERS = st.sampled_from([INCHES, METRIC, replace(METRIC, step=millimetres("0.5"))])
DOUBLE = a_mount(inner=(Mat(inches("1/4"), millimetres("1.4"), "black"),))
TRIPLE = replace(DOUBLE, inner=(*DOUBLE.inner, Mat(inches("1/8"), millimetres(3))))
KINDS = [
    *(SHIPPED.mount(name) for name in SHIPPED.names("mounts")),
    *(
        DOUBLE,
        TRIPLE,
        replace(DOUBLE, bevel=BevelKind.REVERSE),
        replace(DOUBLE, bevel=BevelKind.STRAIGHT),
    ),
]

WITH_WINDOWS = [mount for mount in KINDS if mount.has_window]


def grouped(mount: Mount, arrangement: str, count: int, cutter: Cutter = INCHES) -> Plan:
    """Return this many pictures on one board, on the marks."""
    job = a_job(replace(mount, arrangement=read_arrangement(arrangement)), cutter=cutter)
    files = " | ".join(f"{n}.jpg" for n in range(count))
    return on_marks(job, plan_entry(job, an_entry("long 4 in", file=files), *[facts()] * count))


def off_mark(layout: Layout, step: Length) -> set[int]:
    """What is left of every border of every mat, measured from its own edges, beyond a mark."""
    return {
        length.nm % step.nm
        for window in layout.windows
        for n, cut in enumerate(window)
        for lies in [cut.back.borders_in(mat_board(layout.board, n))]
        for length in (lies.left, lies.top, lies.right, lies.bottom)
    }


@settings(max_examples=150)
@given(st.sampled_from(KINDS), st.sampled_from(["long 9 in", "long 10.1 in", "23x17 cm"]), CUTTERS)
def test_every_mat_of_every_mount_is_cut_on_marks_from_its_own_edges(
    mount: Mount, size: str, cutter: Cutter
) -> None:
    job = a_job(mount, cutter=cutter)
    plan = on_marks(job, a_plan(job, size))
    assert cutter.step is not None
    assert off_mark(plan.layout, cutter.step) <= {0}


@settings(max_examples=60)
@given(st.sampled_from([DOUBLE, TRIPLE]), st.sampled_from(["long 9 in", "long 10.1 in"]), CUTTERS)
def test_an_inner_mat_shows_alike_on_all_sides_and_nearly_as_planned(
    mount: Mount, size: str, cutter: Cutter
) -> None:
    job = a_job(mount, cutter=cutter)
    (window,) = on_marks(job, a_plan(job, size)).layout.windows
    shown = [lower.face.borders_in(upper.limiting) for upper, lower in pairwise(window)]
    assert cutter.step is not None
    assert [{s.top, s.right, s.bottom, s.left} for s in shown] == [{s.top} for s in shown]
    planned = [mat.shows for mat in mount.inner]
    # Each mat may be half a mark off compared with the bottom mat.
    assert all(abs((s.top - p).nm) <= cutter.step.nm for s, p in zip(shown, planned, strict=True))


@pytest.mark.parametrize(("arrangement", "count"), [("row", 3), ("column", 3), ("2x2", 4)])
def test_windows_in_rows_and_columns_stay_in_line_on_the_marks(
    arrangement: str, count: int
) -> None:
    plan = grouped(a_mount(bar=inches("0.8")), arrangement, count)
    backs = innermost(plan)
    assert off_mark(plan.layout, inches("1/16")) == {0}
    assert len({back.size for back in backs}) == 1
    rows, columns = {back.place.y for back in backs}, {back.place.x for back in backs}
    assert len(rows) * len(columns) == count


def test_several_windows_share_the_settings_of_rows_and_columns() -> None:
    job = a_job(a_mount(bar=inches(1), arrangement=read_arrangement("2x2")), cutter=INCHES)
    files = " | ".join(f"{n}.jpg" for n in range(4))
    plan = plan_entry(job, an_entry("long 4 in", file=files), *[facts()] * 4)
    (kind,) = mount_kinds([at_bench(job, plan, {})])
    lines = kind.mats[0].lines
    # Two on each edge, each for the two windows of a row or a column.
    assert [len(line.strokes) for line in lines] == [2] * 8


def test_pictures_in_one_window_keep_their_places_in_it() -> None:
    mount = a_reveal(inches("1/4"), bar=inches("1/2"), common=True)
    plan = grouped(mount, "row", 2)
    left, right = (picture.image for picture in plan.layout.pictures)
    (window,) = plan.layout.windows
    assert right.place.x - left.right == inches("1/2")
    lies = [image.borders_in(window[0].limiting) for image in (left, right)]
    assert abs((lies[0].left - lies[1].right).nm) <= 1
    assert {p.seen_paper for p in plan.layout.pictures} == {plan.layout.pictures[0].seen_paper}


def test_what_is_cut_as_planned_is_the_plan() -> None:
    plan = a_plan(a_job(DOUBLE), "12x8 in")
    assert with_windows(plan, plan.layout.windows) == plan
    assert with_openings(plan, innermost(plan)) == plan


@pytest.mark.parametrize("mount", WITH_WINDOWS, ids=lambda mount: mount.title)
def test_every_kind_of_mount_recut_as_planned_stays_as_it_is(mount: Mount) -> None:
    plan = a_plan(a_job(mount), "long 9 in")
    assert with_openings(plan, innermost(plan)) == plan


def test_a_smaller_opening_hides_more_and_moves_no_middle() -> None:
    plan = a_plan(a_job(), "12x8 in")
    (old,) = innermost(plan)
    (picture,) = with_openings(plan, [old.grown(-inches("1/8"))]).layout.pictures
    assert picture.hidden == Borders(*[inches("1/4")] * 4)
    assert picture.image == plan.layout.pictures[0].image
    assert picture.sight.size == Size(inches("11.5"), inches("7.5"))


def test_a_float_keeps_its_paper_and_its_middle_when_the_image_came_small() -> None:
    mount = SHIPPED.mount("float-window")
    plan = a_plan(a_job(mount), "10x8 in", 3000, 2400)
    small = with_openings(plan, innermost(plan), [read_size("9 7/8 x 7 7/8 in")])
    (picture,) = small.layout.pictures
    assert picture.paper_edge is not None
    assert picture.image.borders_in(picture.paper_edge).least == mount.paper
    assert small.layout.windows == plan.layout.windows


def test_an_inner_mat_lies_on_the_middle_of_its_board() -> None:
    # 1/8 in smaller on each side: common practice, no source.
    assert mat_board(read_size("16x20 in"), 0) == Opening(read_size("16x20 in"), Place(ZERO, ZERO))
    inner = mat_board(read_size("16x20 in"), 1)
    assert inner.size == read_size("15 3/4 x 19 3/4 in")
    assert inner.place == Place(inches("1/8"), inches("1/8"))
