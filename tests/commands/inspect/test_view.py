"""What lies beside a picture on its mount, which is what an edge can be lost in."""

import pytest

from proofs.commands.inspect.view import print_view
from proofs.inspection.marks import Lab
from proofs.lengths import Edge, inches, millimetres
from proofs.records.mounts import Mat, Mount, WindowKind, WindowShape
from tests.workbench import a_job, a_mount, a_plan, a_reveal, no_window

PAPER = (100.0, 0.0, 0.0)


def beside(mount: Mount) -> set[Lab]:
    """The colours beside a picture, to whole numbers."""
    view = print_view(a_job(mount), a_plan(a_job(mount), "long 8 in"), 0)
    assert set(view.mats) in (set(), set(Edge))
    return {(round(one[0]), round(one[1]) + 0.0, round(one[2]) + 0.0) for one in view.mats.values()}


def lightness_beside(mount: Mount) -> float:
    ((lightness, _, _),) = beside(mount)
    return lightness


@pytest.mark.parametrize(
    ("mount", "least", "most"),
    [
        (a_mount(), 96, 98),
        (a_mount(mat_colour="black"), 10, 15),
        (a_mount(inner=(Mat(inches("1/4"), millimetres("1.4"), "black"),)), 10, 15),
        (no_window(backing_colour="grey"), 55, 60),
    ],
    ids=["white mat", "black mat", "black bottom mat", "grey backing"],
)
def test_beside_a_picture_lies_the_board_that_meets_it(
    mount: Mount, least: float, most: float
) -> None:
    assert least <= lightness_beside(mount) <= most


def test_where_paper_shows_round_a_picture_it_meets_the_paper() -> None:
    assert beside(a_reveal(inches("1/4"), mat_colour="black")) == {PAPER}


def test_an_oval_has_no_edge_along_its_sides() -> None:
    assert beside(a_mount(shape=WindowShape.OVAL)) == set()


def test_a_keyline_keeps_a_picture_from_its_surround() -> None:
    bare = no_window(window=WindowKind.SURROUND, surround_colour="black")
    assert lightness_beside(bare) < 15
    assert beside(no_window(window=WindowKind.SURROUND, keyline=millimetres(1))) == set()


def test_the_steps_and_the_black_of_the_paper_are_those_of_the_entry() -> None:
    job = a_job()
    view = print_view(job, a_plan(job), 0)
    assert dict(view.steps) == {v.step: v.density for v in a_plan(job).variants}
    assert view.black_lightness == job.paper.black_lightness
    assert view.ppi == 300
