"""A mount's two sides, drawn small; laws of geometry, no outside source."""

from typing import Any

import pytest

from proofs.lengths import Edge
from proofs.pages.drawing import Block, Shape, Text
from proofs.pages.labels.front_and_back import front_and_back
from proofs.pages.typography import Setter
from proofs.plan.bench.labels import label_of
from proofs.plan.entry.planning import Plan, plan_entry
from tests.pages.marks_on_pages import box_of, measure
from tests.workbench import a_job, an_entry, facts

WIDTH = 150.0
Box = tuple[float, float, float, float]
THREE: dict[str, Any] = {"file": "a.jpg | b.jpg | c.jpg", "bracket": (0.0,)}


def drawn(plan: Plan) -> Block:
    return front_and_back(plan, label_of(plan.entry), None, WIDTH, Setter(measure, 500))


def hung(top_edge: Edge, size: str, **cells: Any) -> Plan:
    entry = an_entry(size, top_edge=top_edge, **cells)
    return plan_entry(a_job(), entry, *[facts()] * len(entry.pictures))


def words(block: Block) -> list[Text]:
    return [mark for mark in block.marks if isinstance(mark, Text)]


def pictures(block: Block) -> list[Box]:
    """Return the filled rectangles on the front; lines are filled as well, but thin."""
    corners = [m.points for m in block.marks if isinstance(m, Shape) and len(m.points) == 4]
    boxes = [(*points[0], *points[2]) for points in corners]
    return [box for box in boxes if min(box[2] - box[0], box[3] - box[1]) > 5 and box[2] < 70]


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
