"""A mount's two sides, drawn small; laws of geometry, no outside source."""

from typing import Any

import pytest

from proofs.lengths import Edge
from proofs.pages.drawing import Block, Placed, Shape, Text
from proofs.pages.labels.front_and_back import front_and_back
from proofs.pages.typography import Setter
from proofs.plan.bench.labels import BothSides, Labelled, label_of
from proofs.plan.entry.planning import Plan, plan_entry
from tests.pages.marks_on_pages import box_of, measure
from tests.workbench import a_job, an_entry, facts

WIDTH = 230.0  # as below a label on a sheet
Box = tuple[float, float, float, float]
NO_PICTURE = (226, 224, 220)
THREE: dict[str, Any] = {"file": "a.jpg | b.jpg | c.jpg", "bracket": (0.0,)}


def drawn(plan: Plan) -> Block:
    return front_and_back(Labelled(label_of(plan.entry), plan), None, WIDTH, Setter(measure, 500))


def hung(top_edge: Edge, size: str, **cells: Any) -> Plan:
    entry = an_entry(size, top_edge=top_edge, **cells)
    return plan_entry(a_job(), entry, *[facts()] * len(entry.pictures))


def words(block: Block) -> list[Text]:
    return [mark for mark in block.marks if isinstance(mark, Text)]


def pictures(block: Block) -> list[Box]:
    """Return the grey areas that stand for pictures on the front."""
    shapes = [m for m in block.marks if isinstance(m, Shape) and m.fill == NO_PICTURE]
    return [(*shape.points[0], *shape.points[2]) for shape in shapes]


@pytest.mark.parametrize("edge", [Edge.LEFT, Edge.RIGHT, Edge.BOTTOM])
def test_a_picture_with_room_says_where_its_files_top_is(edge: Edge) -> None:
    assert [t.text for t in words(drawn(hung(edge, "long 12 in")))].count("file's top") == 1


@pytest.mark.parametrize("edge", [Edge.LEFT, Edge.RIGHT, Edge.BOTTOM])
def test_words_with_no_room_in_their_picture_are_left_out(edge: Edge) -> None:
    assert "file's top" not in [t.text for t in words(drawn(hung(edge, "long 4 in", **THREE)))]


def test_several_pictures_carry_their_numbers_each_within_its_own() -> None:
    block = drawn(hung(Edge.LEFT, "long 4 in", **THREE))
    numbers = [box_of(t) for t in words(block) if t.text in ("1", "2", "3")][:3]
    boxes = pictures(block)
    assert len(boxes) == 3
    assert [
        left <= number[0] and top <= number[1] and number[2] <= right and number[3] <= bottom
        for number, (left, top, right, bottom) in zip(numbers, boxes, strict=True)
    ] == [True] * 3


def test_one_picture_needs_no_number() -> None:
    plan = hung(Edge.TOP, "long 12 in", number="7Q")
    assert "1" not in [t.text for t in words(drawn(plan))]


def with_pictures(plan: Plan) -> Block:
    names = tuple(BothSides(f"front {n}", f"back {n}") for n in range(len(plan.parts)))
    labelled = Labelled(label_of(plan.entry), plan, names)
    return front_and_back(labelled, None, WIDTH, Setter(measure, 500))


def test_each_picture_is_in_its_opening_and_mirrored_on_the_back() -> None:
    plan = hung(Edge.TOP, "long 4 in", **THREE)
    placed = {m.name: m for m in with_pictures(plan).marks if isinstance(m, Placed)}
    assert len(placed) == 6
    board = (WIDTH - 16) / 2  # points; both are side by side, 16 apart
    fronts, backs = ([placed[f"{side} {n}"] for n in range(3)] for side in ("front", "back"))
    mirrored = [board + 16 + board - (front.x + front.width) for front in fronts]
    assert [back.x for back in backs] == pytest.approx(mirrored)
    assert [back.y for back in backs] == pytest.approx([front.y for front in fronts])
    assert fronts[0].x < fronts[1].x < fronts[2].x
    # 20 in of board are 107 pt; each picture shows 4 in less 1/8 in on both sides.
    assert fronts[0].width == pytest.approx(3.75 * board / 20)


def test_both_sides_stand_one_above_the_other_where_that_makes_them_larger() -> None:
    plan = hung(Edge.TOP, "long 12 in")
    labelled = Labelled(label_of(plan.entry), plan, (BothSides("front 0", "back 0"),))
    block = front_and_back(labelled, None, 136.0, Setter(measure, 500), height=216.0)
    front, back = (m for m in block.marks if isinstance(m, Placed))
    assert back.y > front.y + front.height
    assert block.height <= 216
    beside = front_and_back(labelled, None, 136.0, Setter(measure, 500))
    assert front.width > 1.4 * next(m for m in beside.marks if isinstance(m, Placed)).width


def test_words_on_a_picture_have_white_paper_behind_them() -> None:
    marks = with_pictures(hung(Edge.LEFT, "long 12 in")).marks
    words = next(n for n, m in enumerate(marks) if isinstance(m, Text) and m.text == "file's top")
    plate = marks[words - 1]
    assert isinstance(plate, Shape)
    assert plate.fill == (255, 255, 255)
    picture = next(m for m in marks if isinstance(m, Placed))
    assert picture.x <= min(x for x, _ in plate.points)
