"""The tone curves of a bracket, small."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from proofs.pages.drawing import Block, Line, Mark, frame, stacked
from proofs.pages.typography import CAPTION, HAIR, HAIRLINE, INK, Setter
from proofs.plan.tones.tone import Variant, tone_curve

PLOT_SIDE = 72.0
"""Width and height of the plot, in points."""

_POINTS_OF_CURVE = 25
_FEW = 9  # curves that can be distinguished; more of them are drawn finer


def curves_block(variants: Sequence[Variant], chosen: str, setter: Setter) -> Block:
    """Return the curves of steps with a caption; ``chosen`` is as for ``curves_plot``."""
    plot = curves_plot(variants, chosen)
    return stacked([plot, setter.paragraph("tone in, tone out", CAPTION, PLOT_SIDE)], 2)


def curves_plot(variants: Sequence[Variant], chosen: str = "") -> Block:
    """Return the curves of steps: tone in from left to right, tone out from the bottom up.

    ``chosen`` is the letter of the step to draw stronger, or blank.
    """
    fine = 0.5 if len(variants) <= _FEW else 0.2
    marks: list[Mark] = [*frame(0, 0, PLOT_SIDE, PLOT_SIDE, line=HAIRLINE, colour=HAIR)]
    marks.append(Line((0, PLOT_SIDE), (PLOT_SIDE, 0), HAIRLINE, HAIR))
    for variant in variants:
        weight = 1.0 if variant.step == chosen else fine
        points = list(_curve(variant.density))
        marks += [Line(a, b, weight, INK) for a, b in pairwise(points)]
    return Block(PLOT_SIDE, tuple(marks))


def _curve(density: float) -> Iterable[tuple[float, float]]:
    curve = tone_curve(density)
    for n in range(_POINTS_OF_CURVE):
        tone = 100 * n / (_POINTS_OF_CURVE - 1)
        yield tone / 100 * PLOT_SIDE, PLOT_SIDE - curve(tone) / 100 * PLOT_SIDE
