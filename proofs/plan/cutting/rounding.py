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
from proofs.plan.cutting.openings import Window, given_windows, with_windows
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
    that meets the rules and covers the print better. An opening that is given stays as it is.
    """
    if all(given_windows(plan)):
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


def opening_sides(plan: Plan, marks: Marks) -> tuple[tuple[Length, ...], tuple[Length, ...]]:
    """Return the widths and the heights that openings can have with every border on a mark.

    They run upwards. Those are the marks, unless the board is no whole number of marks.
    """
    mat = mat_board(plan.layout.board, len(plan.layout.windows[0]) - 1).size
    return _sides(mat.width, marks), _sides(mat.height, marks)


def settled(plan: Plan, number: int, size: Size, marks: Marks) -> Window:
    """Return a plan's window with an innermost opening of this size, its borders on the marks.

    The opening stays on its middle, as near as the marks allow; the other cuts of the window keep
    their distance from it.
    """
    board, window = plan.layout.board, plan.layout.windows[number]
    mat, exact = mat_board(board, len(window) - 1), window[-1].back
    own = exact.counted_from(mat)
    x = _start(own.left, own.size.width, size.width, marks)
    y = _start(own.top, own.size.height, size.height, marks)
    back = Opening(size, Place(x + mat.left, y + mat.top))
    cuts = []
    for n, cut in enumerate(window[:-1]):
        upper = mat_board(board, n)
        outer = cut.back.counted_from(upper)
        across = marks.nearest(own.left - outer.left) + mat.left - upper.left
        down = marks.nearest(own.top - outer.top) + mat.top - upper.top
        cuts.append(cut.moved_to(back.bordered(Borders(down, across, down, across))))
    return (*cuts, window[-1].moved_to(back))


def _sides(board: Length, marks: Marks) -> tuple[Length, ...]:
    return tuple(board - marks.step * n for n in range((board.nm - 1) // marks.step.nm, -1, -1))


def _rounded(plan: Plan, marks: Marks, ways: tuple[Count, Count]) -> Plan:
    windows = [
        window if given else settled(plan, n, _size(plan.layout.board, window, marks, ways), marks)
        for n, (window, given) in enumerate(
            zip(plan.layout.windows, given_windows(plan), strict=True)
        )
    ]
    return with_windows(plan, windows)


def _size(board: Size, window: Window, marks: Marks, ways: tuple[Count, Count]) -> Size:
    """The size of a window's innermost opening, the borders of its own mat on marks."""
    mat, exact = mat_board(board, len(window) - 1).size, window[-1].back.size
    return Size(
        _side(mat.width, exact.width, marks, ways[0]),
        _side(mat.height, exact.height, marks, ways[1]),
    )


def _side(board: Length, exact: Length, marks: Marks, count: Count) -> Length:
    """A side of an opening; ``count`` rounds how many steps its two borders take together."""
    return board - marks.step * count(Fraction(board.nm - exact.nm, marks.step.nm))


def _start(start: Length, size: Length, rounded: Length, marks: Marks) -> Length:
    """Where a side of an opening begins when it is rounded, its border on a mark.

    The middle stays as near to its place as the marks allow; the far border takes what is left.
    """
    middle = Fraction(2 * start.nm + size.nm - rounded.nm, 2 * marks.step.nm)
    return marks.step * -half_up(-middle)
