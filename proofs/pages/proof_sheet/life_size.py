"""The part of a print that all steps show at life size, in a row."""

from proofs.lengths import Size, millimetres
from proofs.pages.drawing import Block, Mark, Placed
from proofs.pages.mount_drawing import WHOLE
from proofs.pages.proof_sheet.step_grid import steps_of
from proofs.pages.typography import CAPTION, STRONG, Setter, text_at
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan

_LARGEST = ("40", "30")
_SIZES = {5: ("32", "24"), 6: ("26", "19.5"), 7: ("22", "16.5"), 8: ("19", "14.25")}
_LABEL = 12.0
_LETTER_GAP = 5.0
_ONE_TO_ONE = "at life size, 1:1"


def part_size(plan: Plan, n: int) -> Size | None:
    """Return the part of picture ``n`` to show at each step: as large as a row of them can be.

    It is no larger than what is seen of the picture. None if there are too many steps for a row.
    """
    count = len(plan.variants)
    if count > max(_SIZES):
        return None
    width, height = (millimetres(side) for side in _SIZES.get(count, _LARGEST))
    sight = plan.layout.pictures[n].sight.size
    return Size(min(width, sight.width), min(height, sight.height))


def largest_picture(plan: Plan) -> int:
    """Return which picture of a plan is shown at life size: the largest, the first of equals."""
    areas = [picture.sight.size.square_nm for picture in plan.layout.pictures]
    return areas.index(max(areas))


def row_height(plan: Plan) -> float:
    """Return the height of the row with its letters, 0 if there is none."""
    size = part_size(plan, largest_picture(plan))
    return size.height.points + _LABEL if size else 0.0


def life_size_block(outcome: Outcome, plan: Plan, setter: Setter) -> Block:
    """Return the parts of all steps side by side, each with its letter above it."""
    part = outcome.life_size
    if part is None:
        return Block(row_height(plan))
    steps = steps_of(outcome, plan)
    size = part.place.size
    width, height = size.width.points, size.height.points
    gap = (setter.width - len(steps) * width) / max(len(steps) - 1, 1)
    pitch = width + min(gap, 20.0)
    marks: list[Mark] = []
    for n, step in enumerate(steps):
        left = n * pitch
        letter = step.variant.step
        marks.append(text_at(letter, STRONG, left, 9))
        if n == 0:
            words = _ONE_TO_ONE
            if len(plan.parts) > 1:
                words = f"picture {part.picture + 1} {words}"
            start = left + setter.wide(letter, STRONG) + _LETTER_GAP
            if start + setter.wide(words, CAPTION) <= pitch or len(steps) == 1:
                marks.append(text_at(words, CAPTION, start, 9))
        if step.life_size:
            marks.append(Placed(step.life_size, left, _LABEL, width, height, WHOLE))
    return Block(row_height(plan), tuple(marks))
