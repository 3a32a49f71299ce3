"""The grey wedge: eleven steps inside a frame, which identifies it in a scan.

From the outside in: a rim of paper white, a black frame, a gap of paper white, and inside it
eleven steps of equal width side by side, from L* 0 on the left to L* 100 on the right, as values
in the file. Everything is in proportion to the width, so large and small wedges look the same.

How it is read: the frame is the only dark shape in a scan that encloses white in its proportions.
Its four corners give the place of each step, however the wedge is turned. The white gap shows how
evenly the light fell. The steps show which end is which: they rise from black to white.
"""

from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import Length, Place, Size

STEPS = tuple(float(tone) for tone in range(0, 101, 10))
"""The L* of the steps, from left to right."""

UNITS_WIDE, UNITS_HIGH = 100, 16
"""The wedge in units: one is a hundredth of its width."""

FRAME_EDGE, FRAME_LINE, GAP = 1, 2, 3
"""In units: the white rim, the width of the black frame's line, and the white gap inside it."""

STEP_WIDE, STEP_HIGH = 8, 4
"""A step, in units."""

STEPS_EDGE = FRAME_EDGE + FRAME_LINE + GAP
"""In units: from the edge of the wedge to the steps, on all four sides."""

_BLACK, _WHITE = 0.0, 100.0


@dataclass(frozen=True, slots=True)
class Patch:
    """A rectangle of one tone; ``place`` is its top left on the wedge."""

    lightness: float
    place: Place
    size: Size


def wedge_size(width: Length) -> Size:
    """Return the size of a wedge of this width, with its white rim.

    A wedge 1.5 in wide fits into a margin of 1/4 in.

    >>> wedge_size(Length(38_100_000)).height.inches
    0.24
    """
    return Size(width, width * _share(UNITS_HIGH))


def wedge(width: Length) -> tuple[Patch, ...]:
    """Return the patches of a wedge of this width, to be drawn on top of each other in this order.

    The rim, the frame and the gap come first, as filled rectangles of L* 100, 0 and 100; the last
    eleven are the steps.
    """
    around = tuple(
        _patch(tone, (edge, edge, UNITS_WIDE - edge, UNITS_HIGH - edge), width)
        for tone, edge in ((_WHITE, 0), (_BLACK, FRAME_EDGE), (_WHITE, FRAME_EDGE + FRAME_LINE))
    )
    return around + tuple(
        _patch(tone, step_box(number), width) for number, tone in enumerate(STEPS)
    )


def step_box(number: int) -> tuple[int, int, int, int]:
    """Return left, top, right and bottom of a step, 0 to 10 from the left, in units."""
    left = STEPS_EDGE + STEP_WIDE * number
    return left, STEPS_EDGE, left + STEP_WIDE, STEPS_EDGE + STEP_HIGH


def _patch(tone: float, box: tuple[int, int, int, int], width: Length) -> Patch:
    """The patch of a box in units; its edges are rounded, not its size, so that no gap shows."""
    left, top, right, bottom = (width * _share(units) for units in box)
    return Patch(tone, Place(left, top), Size(right - left, bottom - top))


def _share(units: int) -> Fraction:
    return Fraction(units, UNITS_WIDE)
