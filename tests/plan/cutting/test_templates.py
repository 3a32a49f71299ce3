"""Which templates a run needs; figures by hand."""

from dataclasses import replace

from proofs.lengths import Place, Size, inches, millimetres
from proofs.plan.cutting.templates import EdgeLine, LineKind, edge_lines, templates_of
from proofs.plan.entry.board import Opening
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import BevelKind, Mat, WindowShape
from tests.workbench import a_job, a_mount, a_plan, no_window


def numbered(plan: Plan, number: str) -> Plan:
    return replace(plan, entry=replace(plan.entry, number=number))


def test_a_window_has_four_lines_the_boards_own_edge_first() -> None:
    lines = edge_lines(a_plan(a_job(), "12x8 in").layout)
    assert [edge.kind for edge in lines] == [
        LineKind.BOARD,
        LineKind.BACK,
        LineKind.FACE,
        LineKind.IMAGE,
    ]
    # By hand: 12 x 8 in in the middle of 20 x 16 in; 1/8 in hidden; 1.4 mm of bevel.
    assert lines[3].line == Opening(Size(inches(12), inches(8)), Place(inches(4), inches(4)))
    assert lines[1].line.place == Place(inches("4.125"), inches("4.125"))
    assert lines[2].line == lines[1].line.grown(millimetres("1.4"))


def test_a_straight_cut_has_one_opening() -> None:
    lines = edge_lines(a_plan(a_job(a_mount(bevel=BevelKind.STRAIGHT)), "12x8 in").layout)
    assert [edge.kind for edge in lines] == [LineKind.BOARD, LineKind.BACK, LineKind.IMAGE]


def test_without_a_window_there_are_the_board_and_the_print() -> None:
    lines = edge_lines(a_plan(a_job(no_window()), "12x8 in").layout)
    assert [edge.kind for edge in lines] == [LineKind.BOARD, LineKind.IMAGE]


def test_every_picture_of_a_layout_has_its_lines() -> None:
    layout = a_plan(a_job(), "6x4 in").layout
    (one,) = layout.pictures
    down = inches(5)
    other = replace(
        one,
        image=replace(one.image, place=Place(one.image.place.x, one.image.place.y + down)),
        cuts=(),
    )
    lines = edge_lines(replace(layout, pictures=(one, other)))
    assert [edge.kind for edge in lines] == [
        LineKind.BOARD,
        LineKind.BACK,
        LineKind.FACE,
        LineKind.IMAGE,
        LineKind.IMAGE,
    ]
    assert lines[-1] == EdgeLine(LineKind.IMAGE, other.image)


def test_every_mat_has_its_opening_at_the_back_and_at_the_face() -> None:
    inner = Mat(shows=inches("1/4"), thickness=millimetres("1.4"))
    lines = edge_lines(a_plan(a_job(a_mount(inner=(inner,))), "12x8 in").layout)
    assert [edge.kind for edge in lines] == [
        LineKind.BOARD,
        LineKind.BACK,
        LineKind.FACE,
        LineKind.BACK,
        LineKind.FACE,
        LineKind.IMAGE,
    ]
    # By hand: 1/4 in of the inner mat is seen, and 1.4 mm of bevel at each mat.
    inside, outside = lines[3].line, lines[1].line
    assert outside == inside.grown(millimetres("1.4") + inches("1/4"))


def test_an_oval_window_is_oval_and_its_image_is_not() -> None:
    lines = edge_lines(a_plan(a_job(a_mount(shape=WindowShape.OVAL)), "12x8 in").layout)
    assert [(edge.kind, edge.is_oval) for edge in lines] == [
        *(
            (LineKind.BOARD, False),
            (LineKind.BACK, True),
            (LineKind.FACE, True),
            (LineKind.IMAGE, False),
        )
    ]


def test_mounts_that_are_alike_share_a_template() -> None:
    same, other = a_plan(a_job(), "12x8 in"), a_plan(a_job(), "11x8 in")
    plans = [numbered(same, "1"), numbered(other, "2"), numbered(same, "3")]
    assert [t.entries for t in templates_of(plans, ())] == [("1", "3"), ("2",)]


def test_a_template_is_measured_once_all_of_its_prints_are() -> None:
    plan = a_plan(a_job(), "12x8 in")
    plans = [numbered(plan, "1"), numbered(plan, "2")]
    assert [t.measured for t in templates_of(plans, ("1",))] == [False]
    assert [t.measured for t in templates_of(plans, ("1", "2"))] == [True]
