"""What one page of a template shows, as marks; figures by hand."""

import pytest

from proofs.lengths import inches, millimetres
from proofs.measures import read_size
from proofs.outside.fonts import load_fonts
from proofs.pages.drawing import Line, Point
from proofs.pages.templates.tile import STROKES, part_block
from proofs.pages.typography import Setter
from proofs.plan.cutting.templates import LineKind, Template, templates_of
from proofs.plan.cutting.tiling import BEYOND, tiled
from proofs.records.mounts import WindowShape
from tests.workbench import a_job, a_mount, a_plan

SETTER = Setter(load_fonts().width, 500)
# A chord of an oval of 3 in is 0.3 mm long; its ends miss the widest place by far less.
CHORD = millimetres("0.05").points


def ends_of(kind: LineKind, template: Template, room: str) -> list[Point]:
    """The ends of all lines of a kind on the first page, from the board's top left."""
    tiling = tiled(template.layout.board, read_size(room))
    block = part_block(template, tiling.tiles[0].area, tiling.marks, SETTER)
    off = BEYOND.points
    return [
        (x - off, y - off)
        for mark in block.marks
        if isinstance(mark, Line) and mark.width == STROKES[kind][0]
        for x, y in (mark.start, mark.end)
    ]


def test_an_oval_touches_all_sides_of_its_opening() -> None:
    plan = a_plan(
        a_job(a_mount(board=read_size("5x7 in"), shape=WindowShape.OVAL)), "4x3 in", 4000, 3000
    )
    ends = ends_of(LineKind.BACK, templates_of([plan], ())[0], "8x10 in")
    # 4 x 3 in less 1/8 in all round, in the middle of 7 x 5 in.
    xs, ys = [x for x, _ in ends], [y for _, y in ends]
    wanted = (inches("1.625").points, inches("5.375").points)
    assert (min(xs), max(xs)) == pytest.approx(wanted, abs=CHORD)
    wanted = (inches("1.125").points, inches("3.875").points)
    assert (min(ys), max(ys)) == pytest.approx(wanted, abs=CHORD)


def test_no_line_is_drawn_past_the_tile() -> None:
    plan = a_plan(a_job(a_mount(shape=WindowShape.OVAL)), "12x8 in")
    template = templates_of([plan], ())[0]
    tile = tiled(template.layout.board, read_size("7x10 in")).tiles[0]
    right, bottom = tile.area.right.points, tile.area.bottom.points
    ends = [end for kind in STROKES for end in ends_of(kind, template, "7x10 in")]
    assert max(x for x, _ in ends) <= right + 1e-6
    assert max(y for _, y in ends) <= bottom + 1e-6
