"""The curves of every bracket on the proof sheet, small, each bracket once."""

from collections.abc import Sequence

from proofs.densities import signed
from proofs.pages.drawing import Block, in_rows, stacked
from proofs.pages.tone_curves import curves_plot
from proofs.pages.typography import ASIDE, BODY, CAPTION, COLUMNS, TITLE, Setter, rule
from proofs.pages.wording import typeset
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.tones.tone import Variant

Bracket = tuple[Variant, ...]

_MOST_NAMED = 6  # steps of a bracket, each named below its plot
_ON_CURVES = (
    "Across: tone in, up: tone out, both from black to white. The lower the curve, the darker the"
    " step."
)


def curve_blocks(outcomes: Sequence[Outcome], setter: Setter) -> tuple[Block, ...]:
    """Return the plots of all brackets that the entries compare, a block for each row.

    Entries that share a bracket share its plot. An entry whose only step is the plain picture
    has none.
    """
    numbers: dict[Bracket, list[str]] = {}
    for outcome in outcomes:
        if outcome.plan is not None:
            numbers.setdefault(outcome.plan.variants, []).append(outcome.entry.number)
    compared = {steps: of for steps, of in numbers.items() if len(steps) > 1}
    plots = [
        _plot(steps, _entries(of, are_all=len(numbers) == 1), setter)
        for steps, of in compared.items()
    ]
    rows = in_rows(plots, COLUMNS, setter.pitch)
    if not rows:
        return ()
    words = (("Tone curves of the steps", TITLE), (_ON_CURVES, ASIDE))
    head = setter.stack(words, setter.width, gap=1)
    return (stacked([rule(setter.width), head, rows[0]], 7), *rows[1:])


def _plot(steps: Bracket, entries: str, setter: Setter) -> Block:
    """One bracket: its curves, its steps, and the entries that compare them."""
    named = setter.stack([(_steps(steps), BODY), (entries, CAPTION)], setter.column, most=3)
    return stacked([curves_plot(steps, setter, side=setter.column * 0.8), named], 3)


def _steps(steps: Bracket) -> str:
    named = [typeset(f"{step.step} {signed(step.density)}") for step in steps]
    if len(steps) > _MOST_NAMED:
        return f"{named[0]} to {named[-1]}"
    return ", ".join(named)


def _entries(numbers: Sequence[str], *, are_all: bool) -> str:
    if len(numbers) == 1:
        return f"entry {numbers[0]}"
    return "all entries" if are_all else f"entries {', '.join(numbers)}"
