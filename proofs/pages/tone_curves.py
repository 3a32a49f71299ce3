"""The tone curves of a bracket, small."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from proofs.pages.drawing import Block, Line, Mark, frame, rectangle, stacked
from proofs.pages.typography import (
    CAPTION,
    HAIR,
    HAIRLINE,
    INK,
    STRONG,
    Setter,
    text_at,
)
from proofs.plan.entry.mockup import PAPER
from proofs.plan.tones.tone import Variant, tone_curve

PLOT_SIDE = 72.0
"""Width and height of the plot, in points."""

_POINTS_OF_CURVE = 25
_LETTERS_FROM = 0.12  # of the side, from both corners, where curves are too near each other
_FEW = 9  # curves that can be distinguished; more of them are drawn finer


def curves_block(variants: Sequence[Variant], chosen: str, setter: Setter) -> Block:
    """Return the curves of steps with a caption; ``chosen`` is as for ``curves_plot``."""
    plot = curves_plot(variants, setter, chosen)
    return stacked([plot, setter.paragraph("tone in, tone out", CAPTION, PLOT_SIDE)], 2)


def curves_plot(
    variants: Sequence[Variant], setter: Setter, chosen: str = "", *, side: float = PLOT_SIDE
) -> Block:
    """Return the curves of steps: tone in from left to right, tone out from the bottom up.

    Each carries its letter, unless they are too many. ``chosen`` is the letter of the step to
    draw stronger, or blank; ``side`` is the width and height, in points.
    """
    are_few = len(variants) <= _FEW
    fine = 0.5 if are_few else 0.2
    marks: list[Mark] = [*frame(0, 0, side, side, line=HAIRLINE, colour=HAIR)]
    marks.append(Line((0, side), (side, 0), HAIRLINE, HAIR))
    for variant in variants:
        weight = 1.0 if variant.step == chosen else fine
        points = list(_curve(variant.density, side))
        marks += [Line(a, b, weight, INK) for a, b in pairwise(points)]
    for n, variant in enumerate(variants if are_few else ()):
        marks += _letter(variant, (n + 1) / (len(variants) + 1), side, setter)
    return Block(side, tuple(marks))


def _letter(variant: Variant, along: float, side: float, setter: Setter) -> Iterable[Mark]:
    """The letter of a curve, on a white ground so that it can be read, along the curve."""
    tone = 100 * (_LETTERS_FROM + along * (1 - 2 * _LETTERS_FROM))
    x, y = tone / 100 * side, side - tone_curve(variant.density)(tone) / 100 * side
    wide = setter.wide(variant.step, STRONG)
    yield rectangle(x - wide / 2 - 0.8, y - 4.6, wide + 1.6, 9.2, PAPER)
    yield text_at(variant.step, STRONG, x - wide / 2, y + 3.2)


def _curve(density: float, side: float) -> Iterable[tuple[float, float]]:
    curve = tone_curve(density)
    for n in range(_POINTS_OF_CURVE):
        tone = 100 * n / (_POINTS_OF_CURVE - 1)
        yield tone / 100 * side, side - curve(tone) / 100 * side
