"""The drawing of a whole mount: no line runs through a number."""

from collections.abc import Iterator

import pytest

from proofs.measures import read_size
from proofs.pages.drawing import Block, Line, Text
from proofs.pages.proof_sheet.step_grid import steps_of
from proofs.pages.proof_sheet.whole_mount import mount_at, whole_mount
from proofs.pages.typography import Setter
from proofs.plan.entry.facts import PhotoFacts
from tests.pages.marks_on_pages import measure
from tests.pages.outcomes import an_outcome, planned
from tests.pages.proof_sheet.cases import PANORAMA, RULES, SQUARE, UPRIGHT
from tests.workbench import a_job, a_mount, facts

SETTER = Setter(measure, 480.0)
LONGER_THAN_A_TICK = 5.0  # points


def the_mount(board: str, size: str, photo: PhotoFacts) -> Block:
    job = a_job(mount=a_mount(board=read_size(board)), rules=RULES)
    plan = planned(job, size, photo=photo)
    outcome = an_outcome(job, plan)
    drawing = mount_at(job, outcome, plan, 8, SETTER)
    return whole_mount(job, outcome, drawing, SETTER, steps_of(outcome, plan)[0])


def figures_box(text: Text) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of the figures of a text, level or turned a quarter."""
    wide, high = measure(text.text, text.weight, text.size), text.size * 0.72
    if text.angle:
        return text.x - high, text.y - wide, text.x, text.y
    return text.x, text.y - high, text.x + wide, text.y


def crossed(block: Block) -> Iterator[str]:
    """Numbers with a line through them that is no tick."""
    lines = [mark for mark in block.marks if isinstance(mark, Line)]
    for text in (mark for mark in block.marks if isinstance(mark, Text)):
        left, top, right, bottom = figures_box(text)
        for line in lines:
            (x, y), (to_x, to_y) = line.start, line.end
            is_long = abs(to_x - x) + abs(to_y - y) > LONGER_THAN_A_TICK
            meets_across = min(x, to_x) < right and max(x, to_x) > left
            meets_down = min(y, to_y) < bottom and max(y, to_y) > top
            if is_long and meets_across and meets_down:
                yield text.text


@pytest.mark.parametrize("photo", [facts(3600, 2400), UPRIGHT, SQUARE, PANORAMA])
@pytest.mark.parametrize("size", ["long 11 in", "long 13 3/4 in", "short 10 3/4 in", "largest"])
@pytest.mark.parametrize("board", ["16x20 in", "18x22 in", "20x20 in"])
def test_no_line_runs_through_a_number(board: str, size: str, photo: PhotoFacts) -> None:
    assert list(crossed(the_mount(board, size, photo))) == []
