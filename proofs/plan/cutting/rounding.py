"""Rounding a plan, so that its openings and borders are on the marks of the cutter.

Openings come first, then borders. Together they add up to the board to the nanometre, and the rules
are checked again afterwards.
"""

from collections.abc import Callable, Iterable
from fractions import Fraction
from itertools import product
from math import ceil, floor

from proofs.lengths import Borders, Length, Place, Size, half_up
from proofs.plan.checks.limits import LEAST_SIZES
from proofs.plan.checks.size_checks import badness, cut_findings, size_findings
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.openings import Window, with_windows
from proofs.plan.entry.board import Opening
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

Count = Callable[[Fraction], int]

# Ways to round the number of steps in the two borders together. One more or less than the nearest
# numbers may be better if an odd number leaves one border a step too narrow.
_OUTWARD: tuple[Count, ...] = (floor, ceil, lambda n: ceil(n) + 1, lambda n: floor(n) - 1)
_INWARD: tuple[Count, ...] = (ceil, floor, lambda n: ceil(n) + 1, lambda n: floor(n) - 1)


def on_marks(job: Job, plan: Plan) -> Plan:
    """Return the plan with its openings and borders on the marks of the job's cutter.

    Each border is on a mark, and the opening takes the rest of the board. If rules state a least
    size, the opening is rounded up to that, otherwise it is rounded down; or the other way if
    that meets the rules and covers the print better.
    """
    if not plan.layout.windows:
        return plan
    marks = marks_of(job)
    asks = any(f.code in LEAST_SIZES for f in size_findings(job, plan))
    ways = _OUTWARD if asks else _INWARD
    pairs = sorted(product(range(len(ways)), repeat=2), key=lambda pair: (max(pair), pair))
    return best(job, (_rounded(plan, marks, (ways[a], ways[b])) for a, b in pairs))


def best(job: Job, plans: Iterable[Plan]) -> Plan:
    """Return the plan with the least serious findings; of equals, the first."""
    judged: list[tuple[tuple[int, int], Plan]] = []
    for plan in plans:
        judged.append((badness(cut_findings(job, plan)), plan))
        if judged[-1][0] == (0, 0):
            break
    return min(judged, key=lambda pair: pair[0])[1]


def _rounded(plan: Plan, marks: Marks, ways: tuple[Count, Count]) -> Plan:
    windows = [_window(plan.layout.board, w, marks, ways) for w in plan.layout.windows]
    return with_windows(plan, windows)


def _window(board: Size, window: Window, marks: Marks, ways: tuple[Count, Count]) -> Window:
    """A window with its cuts on marks from the edges of their own mats.

    The innermost cut is rounded; the others keep their distance from it, the same on all sides.
    """
    *uppers, bottom = window
    mat = mat_board(board, len(uppers))
    exact = bottom.back.counted_from(mat)
    x, width = _along(exact.left, exact.size.width, mat.size.width, marks, count=ways[0])
    y, height = _along(exact.top, exact.size.height, mat.size.height, marks, count=ways[1])
    back = Opening(Size(width, height), Place(x + mat.left, y + mat.top))
    cuts = []
    for n, cut in enumerate(uppers):
        upper = mat_board(board, n)
        own = cut.back.counted_from(upper)
        across = marks.nearest(exact.left - own.left) + mat.left - upper.left
        down = marks.nearest(exact.top - own.top) + mat.top - upper.top
        cuts.append(cut.moved_to(back.bordered(Borders(down, across, down, across))))
    return (*cuts, bottom.moved_to(back))


def _along(
    start: Length, size: Length, board: Length, marks: Marks, *, count: Count
) -> tuple[Length, Length]:
    """The start and the size of an opening along one side of its mat, with both borders on marks.

    ``count`` rounds the number of steps in the two borders together. The centre moves as little as
    the marks allow; the far border takes the rest.
    """
    step = marks.step
    both = count(Fraction(board.nm - size.nm, step.nm))
    rounded = board - step * both
    middle = Fraction(2 * start.nm + size.nm - rounded.nm, 2 * step.nm)
    return step * -half_up(-middle), rounded
