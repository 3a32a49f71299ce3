"""How large the steps of an entry are on their page, and in which rows: one formula, searched."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from proofs.lengths import Size, millimetres
from proofs.pages.wording import typeset
from proofs.plan.checks.outcomes import Outcome, StepOutcome
from proofs.plan.entry.board import Opening
from proofs.plan.entry.planning import Plan

MAT = millimetres(6).points
"""The mat between two neighbours, and below each step, which holds its letter."""
EDGE = millimetres("2.5").points
"""The mat beside and above the outermost steps."""
MORE = 10.5
"""The room for one more line of small words below a step."""

_LEAST_PITCH = 36.0  # the width that a letter and its density need
_LEAST_SCALE = 1.0  # no step is shown larger than life


@dataclass(frozen=True, slots=True)
class StepGrid:
    """The steps in rows, each at 1 to ``scale``; lengths are in points.

    ``box`` is what is shown of the mount: all openings with their bevels. ``band`` is the mat
    below each row.
    """

    count: int
    columns: int
    scale: float
    box: Opening
    band: float

    @property
    def rows(self) -> int:
        """The number of rows."""
        return math.ceil(self.count / self.columns)

    @property
    def cell(self) -> tuple[float, float]:
        """Width and height of one step."""
        size = self.box.size
        return size.width.points / self.scale, size.height.points / self.scale

    @property
    def pitch(self) -> float:
        """From the left edge of one step to that of the next."""
        return max(self.cell[0], _LEAST_PITCH) + MAT

    @property
    def width(self) -> float:
        """The width of all steps with their mat."""
        return self.columns * self.pitch - MAT + 2 * EDGE

    @property
    def height(self) -> float:
        """The height of all steps with their mat."""
        return EDGE + self.rows * (self.cell[1] + self.band)

    @property
    def longest_side(self) -> float:
        """The longer side of one step."""
        return max(self.cell)

    def place(self, n: int) -> tuple[float, float]:
        """Return left and top of step ``n``, counted from 0, from those of the grid."""
        row, column = divmod(n, self.columns)
        return EDGE + column * self.pitch, EDGE + row * (self.cell[1] + self.band)


def best_grid(box: Opening, count: int, room: tuple[float, float], band: float = MAT) -> StepGrid:
    """Return the grid of this many steps that shows them largest in a room, width and height."""
    grids = (
        StepGrid(count, columns, _scale(box.size, count, columns, room, band), box, band)
        for columns in range(1, count + 1)
    )
    return min(grids, key=lambda grid: (round(grid.scale, 6), grid.rows))


def _scale(size: Size, count: int, columns: int, room: tuple[float, float], band: float) -> float:
    rows = math.ceil(count / columns)
    across = max(room[0] - 2 * EDGE - (columns - 1) * MAT, 1.0)
    if columns > 1 and across < columns * _LEAST_PITCH:
        return math.inf
    down = max(room[1] - EDGE - rows * band, 1.0)
    scales = size.width.points * columns / across, size.height.points * rows / down
    return max(_LEAST_SCALE, *scales)


def shown_box(plan: Plan) -> Opening:
    """Return what a step shows of its mount: all openings, or without a mat the prints."""
    line = plan.mount.keyline
    edges = [p.face or (p.outline.grown(line) if line else p.outline) for p in plan.layout.pictures]
    return Opening.around(edges).within(plan.layout.board)


def steps_of(outcome: Outcome, plan: Plan) -> tuple[StepOutcome, ...]:
    """Return the steps of an entry, also of one that came to nothing."""
    return outcome.steps or tuple(StepOutcome(v, v == plan.chosen) for v in plan.variants)


def changing_losses(steps: Iterable[StepOutcome]) -> tuple[tuple[str, ...], ...]:
    """Return what each step loses, of the shares that are not the same at all steps, in words.

    Shares are compared as they are shown, to a tenth of a per cent. Without such a share, or before
    tones are measured, it is empty.

    >>> from proofs.plan.checks.outcomes import Tones
    >>> from proofs.plan.tones.tone import Variant
    >>> plain = StepOutcome(Variant(0.0, "A"), False, tones=Tones(0.0, 0.0, 0.0, 0.004))
    >>> darker = StepOutcome(Variant(0.1, "B"), False, tones=Tones(0.1, 0.1, 0.012, 0.004))
    >>> changing_losses([plain, darker])
    (('0.0 % shadow lost',), ('1.2 % shadow lost',))
    """
    tones = [step.tones for step in steps if step.tones]
    columns = []
    for name, shares in (
        ("shadow lost", [t.blocked_share for t in tones]),
        ("bare paper", [t.bare_share for t in tones]),
    ):
        texts = [f"{share:.1%}" for share in shares]
        columns += [[f"{typeset(text)} {name}" for text in texts]] if len(set(texts)) > 1 else []
    return tuple(zip(*columns, strict=True))
