"""Room on an entry's page for what is written by hand: the ruler's readings, and the choice."""

from collections.abc import Sequence

from proofs.pages.drawing import Block, Line, Mark, frame, in_rows, stacked
from proofs.pages.typography import (
    BODY,
    CAPTION,
    FIGURE_STRONG,
    HAIRLINE,
    QUIET,
    Setter,
    baseline,
    text_at,
)
from proofs.plan.checks.outcomes import StepOutcome
from proofs.plan.entry.planning import Plan

_LINE_HIGH = 24.0  # of one reading: room for handwriting
_BOX = 10.0
_TICK_PITCH = 30.0
_TWO_COLUMNS = 250.0  # the width from which two readings share a line
_GAP = 14.0


def ruler_block(plan: Plan, setter: Setter, width: float) -> Block:
    """Return blanks for the visible size of each picture, as the ruler reads it."""
    count = len(plan.parts)
    names = [f"picture {n}" if count > 1 else "" for n in range(1, count + 1)]
    columns = 2 if count > 1 and width >= _TWO_COLUMNS else 1
    each = (width - (columns - 1) * _GAP) / columns
    blanks = [_blanks(name, setter, each) for name in names]
    head = setter.paragraph("Visible size by the ruler", CAPTION, width)
    return stacked([head, *in_rows(blanks, columns, each + _GAP)])


def _blanks(name: str, setter: Setter, width: float) -> Block:
    """Two lines to write on, with a cross between them."""
    y = _LINE_HIGH - 5
    start = setter.wide(name, BODY) + 6 if name else 0.0
    half = (width - start - 16) / 2
    middle = start + half + 8
    marks: list[Mark] = [
        Line((start, y), (start + half, y), HAIRLINE * 1.5, QUIET),
        setter.centred("×", BODY, middle, y - 1),
        Line((middle + 8, y), (width, y), HAIRLINE * 1.5, QUIET),
    ]
    if name:
        marks.append(text_at(name, BODY, 0, y - 1))
    return Block(_LINE_HIGH, tuple(marks))


def choice_block(steps: Sequence[StepOutcome], setter: Setter, width: float) -> Block:
    """Return a box to tick for each step, and a line for the reason."""
    per_row = max(1, int(width // _TICK_PITCH))
    boxes = [_tick(step, setter) for step in steps]
    head = setter.paragraph("Chosen under the judging light", CAPTION, width)
    rows = in_rows(boxes, per_row, _TICK_PITCH)
    if len(steps) * _TICK_PITCH + 80 <= width:  # the reason has room beside the boxes
        start = len(steps) * _TICK_PITCH + 6
        line = Line((start, 17), (width, 17), HAIRLINE * 1.5, QUIET)
        rows = [Block(rows[0].height, (*rows[0].marks, line))]
    else:
        rows.append(Block(_LINE_HIGH, (Line((0, 19), (width, 19), HAIRLINE * 1.5, QUIET),)))
    return stacked([head, *rows], 2)


def _tick(step: StepOutcome, setter: Setter) -> Block:
    letter = text_at(step.variant.step, FIGURE_STRONG, _BOX + 3, baseline(FIGURE_STRONG) + 2)
    box = frame(0, 4, _BOX, _BOX, line=0.7, colour=QUIET)
    cross: tuple[Mark, ...] = ()
    if step.is_chosen:
        ends = ((2.2, 6.2), (_BOX - 2.2, 1.8 + _BOX)), ((_BOX - 2.2, 6.2), (2.2, 1.8 + _BOX))
        cross = tuple(Line(a, b, 1.2, FIGURE_STRONG.colour) for a, b in ends)
    return Block(20, (*box, letter, *cross))
