"""The steps of an entry side by side on one mat, each with its letter and density below."""

from collections.abc import Iterable, Sequence

from proofs.densities import signed
from proofs.pages.drawing import Block, Mark, frame, rectangle
from proofs.pages.mount_drawing import Shown, ground_of, windows_drawn
from proofs.pages.proof_sheet.step_grid import MAT, StepGrid, changing_losses, steps_of
from proofs.pages.setting import shortened
from proofs.pages.typography import (
    HAIR,
    HAIRLINE,
    REGULAR,
    SEMIBOLD,
    Setter,
    Style,
    text_at,
)
from proofs.pages.wording import typeset
from proofs.plan.checks.outcomes import Outcome, StepOutcome
from proofs.plan.entry.mockup import Colour, front_colour, ink_on, is_dark
from proofs.plan.entry.planning import Plan

_LETTER, _DENSITY, _SMALL = 12.0, 11.0, 7.5  # type sizes, in points
_NARROW = 62.0  # below this width the letter and its density are small
_GAP = 5.0
_BASELINE = 12.4  # of the letter, below a step
_ON_LIGHT: Colour = (32, 31, 30)
_ON_DARK: Colour = (240, 238, 234)


def pictures_shown(step: StepOutcome) -> tuple[Shown, ...]:
    """Return the small pictures of a step, for ``windows_drawn``; empty if none were made."""
    return tuple(Shown(name) for name in step.small_pictures)


def steps_block(outcome: Outcome, plan: Plan, grid: StepGrid, setter: Setter) -> Block:
    """Return all steps on one mat."""
    steps, ground = steps_of(outcome, plan), ground_of(plan)
    marks: list[Mark] = [rectangle(0, 0, grid.width, grid.height, ground)]
    losses = changing_losses(steps)
    for n, step in enumerate(steps):
        left, top = grid.place(n)
        x, y = grid.box.left.points / grid.scale, grid.box.top.points / grid.scale
        drawn = windows_drawn(plan, grid.scale, pictures_shown(step))
        marks += [mark.moved(left - x, top - y) for mark in drawn]
        height = grid.cell[1]
        width = grid.pitch - MAT
        words = _label(outcome, plan, step, width, setter)
        if losses:
            words = (*words, _lost(losses[n], plan, width, setter))
        marks += [mark.moved(left, top + height) for mark in words]
    if not is_dark(front_colour(plan.mount)):
        marks += frame(0, 0, grid.width, grid.height, line=HAIRLINE, colour=HAIR)
    return Block(grid.height, tuple(marks))


def _label(
    outcome: Outcome, plan: Plan, step: StepOutcome, width: float, setter: Setter
) -> tuple[Mark, ...]:
    """Letter and density, and at the right what becomes of the step if there is room."""
    ink = _ON_DARK if is_dark(front_colour(plan.mount)) else _ON_LIGHT
    is_narrow = width < _NARROW
    letter = Style(SEMIBOLD, _SMALL if is_narrow else _LETTER, ink)
    weight = SEMIBOLD if step.is_chosen else REGULAR
    density = Style(weight, _SMALL if is_narrow else _DENSITY, ink)
    start = setter.wide(step.variant.step, letter) + (2.5 if is_narrow else _GAP)
    words = typeset(signed(step.variant.density)) + ("" if is_narrow else " D")
    marks: list[Mark] = [
        text_at(step.variant.step, letter, 0, _BASELINE),
        text_at(words, density, start, _BASELINE),
    ]
    end = start + setter.wide(words, density) + _GAP
    small = Style(SEMIBOLD, 9, ink)
    for standing in _standings(outcome, step):
        if end + setter.wide(standing, small) <= width:
            marks.append(setter.ending(standing, small, width, _BASELINE))
            break
    if step.is_chosen:  # a bar, so that the chosen step is found without reading
        marks.append(rectangle(0, 1.6, width, 1.6, ink))
    return tuple(marks)


def _standings(outcome: Outcome, step: StepOutcome) -> Iterable[str]:
    """Whether a step is chosen, or printed because none is: in full, and short."""
    if step.is_chosen:
        return ("chosen",)
    undecided = len(outcome.steps) > 1 and not any(s.is_chosen for s in outcome.steps)
    if undecided and step.variant.is_plain and outcome.is_printed:
        return ("printed, undecided", "printed")
    return ()


def _lost(shares: Sequence[str], plan: Plan, width: float, setter: Setter) -> Mark:
    """The shares of lost shadow and of bare paper that change from step to step."""
    style = Style(REGULAR, _SMALL, ink_on(front_colour(plan.mount)))
    text = shortened(" · ".join(shares), width, lambda line: setter.wide(line, style))
    return text_at(text, style, 0, _BASELINE + 10)
