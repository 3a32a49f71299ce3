"""Marks of a picture get their numbers by what they mean; what the mat hides gets none."""

from dataclasses import replace

import pytest

from proofs.inspection.inspected import MOST_FLAWS, is_hidden
from proofs.inspection.marks import Area, Mark, MarkKind
from proofs.lengths import Edge, inches
from proofs.records.mounts import Mount, WindowShape
from tests.looks import RED, a_hair, a_speck, along, looked_at
from tests.workbench import a_job, a_mount, a_plan, a_reveal, no_window

PLAN = a_plan(a_job(), "12x8 in")  # 304.8 x 203.2 mm, of which the mat hides 3.175 mm all round
SIZE = (304.8, 203.2)


def test_numbers_run_from_borders_over_flaws_and_lost_edges_to_tones() -> None:
    border = along(Edge.TOP, SIZE, width=5)
    edge = Mark(MarkKind.LOST_EDGE, Area(0, 20, 1, 90), 2, 1, length_mm=90, side=Edge.LEFT)
    tones = [
        Mark(MarkKind.BLOCKED, Area(50, 50, 9, 9), 0, 1, area_mm2=size, step=step)
        for size, step in ((40.0, "A"), (60.0, "B"))
    ]
    picture = looked_at(PLAN, *tones, edge, a_speck(90, 90), a_hair(50, 80), border)
    kinds = [(seen.number, seen.mark.kind) for seen in picture.numbered]
    assert kinds == [
        (1, MarkKind.BORDER),
        (2, MarkKind.SPECK),
        (3, MarkKind.LINE),
        (4, MarkKind.LOST_EDGE),
        (5, MarkKind.BLOCKED),
    ]
    assert picture.numbered[-1].mark.step == "B"


def test_only_the_ten_surest_flaws_are_numbered() -> None:
    specks = [a_speck(20 + 10 * n, 50, confidence=0.99 - n / 100) for n in range(14)]
    picture = looked_at(PLAN, *reversed(specks))
    assert [seen.mark for seen in picture.numbered] == specks[:MOST_FLAWS]
    assert len(picture.of([MarkKind.SPECK])) == 14


@pytest.mark.parametrize(
    ("area", "hidden"),
    [
        (Area(1, 100, 1, 1), True),
        (Area(2, 100, 1.1, 1), True),
        (Area(2, 100, 1.3, 1), False),
        (Area(303, 100, 1, 1), True),
        (Area(150, 0, 5, 3), True),
        (Area(150, 202, 5, 1), True),
        (Area(0, 0, 304.8, 203.2), False),
        (Area(150, 100, 0, 0), False),
    ],
)
def test_a_mark_is_hidden_if_all_of_it_lies_under_the_mat(area: Area, hidden: bool) -> None:
    assert is_hidden(area, PLAN, 0) == hidden
    (seen,) = looked_at(PLAN, a_speck(0, 0, area=area)).marks
    assert (seen.is_hidden, seen.number) == (hidden, None if hidden else 1)


@pytest.mark.parametrize("mount", [no_window(), a_reveal(inches("1/4"))], ids=lambda m: m.window)
def test_where_no_mat_covers_the_image_nothing_is_hidden(mount: Mount) -> None:
    assert not is_hidden(Area(0, 0, 0.1, 0.1), a_plan(a_job(mount), "12x8 in"), 0)


def test_the_corners_of_an_oval_window_hide_marks() -> None:
    oval = a_plan(a_job(a_mount(shape=WindowShape.OVAL)), "12x8 in")
    corner = Area(15, 15, 1, 1)
    assert is_hidden(corner, oval, 0)
    assert not is_hidden(corner, PLAN, 0)
    assert not is_hidden(Area(150, 5, 1, 1), oval, 0)


def test_an_edge_is_lost_where_the_mat_begins_and_never_hidden() -> None:
    edge = Mark(MarkKind.LOST_EDGE, Area(0, 20, 1, 90), 2, 1, length_mm=90, side=Edge.LEFT)
    assert looked_at(PLAN, edge).marks[0].is_open


def test_small_areas_without_tone_leave_a_picture_calm() -> None:
    small = Mark(MarkKind.BLOCKED, Area(50, 50, 9, 9), 0, 1, area_mm2=60, step="A")
    assert looked_at(PLAN, small).is_calm
    assert not looked_at(PLAN, replace(small, area_mm2=700.0)).is_calm
    assert not looked_at(PLAN, a_speck(50, 50)).is_calm
    assert not looked_at(PLAN, along(Edge.LEFT, SIZE, width=9, colour=RED)).is_calm
