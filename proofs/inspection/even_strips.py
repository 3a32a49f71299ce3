"""Even strips along one side of a picture: borders, strokes in a margin, and mixed-in hairlines.

The lines of a side run parallel to it, from the edge inwards: line, sample, channel, in codes of
8 bits. Within a border every line has one colour; what a line mixes of border and picture, as
enlarging and turning leave it, is told from the colours on both sides of it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.mixed_strips import hairline, turned_strip
from proofs.inspection.strip_colours import (
    GROUND,
    SAME,
    THIN,
    Codes,
    Strip,
    colours_along,
    median_colour,
    plain_colour,
)
from proofs.records.inspections import BorderLimits

_SOFT = 6  # lines: over as many an edge rises that was enlarged twice
_MOST_OF_SIDE = 0.6
_CUT_SHARE = 8  # of the side at each end, at most, where another side's border may lie


@dataclass(frozen=True, slots=True)
class _Lines:
    """The colour of each line, and whether it has only that one."""

    colour: Codes
    is_even: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class _Run:
    """Lines ``first`` to ``end`` of one colour."""

    first: int
    end: int
    colour: Codes

    @property
    def width(self) -> int:
        return self.end - self.first


def even_strips(lines: Codes, limits: BorderLimits, most_px: float) -> tuple[Strip, ...]:
    """Return the even strips along a side, from the edge inwards: a border, and strokes in it.

    ``most_px`` is the width up to which an even strip is a border. A wider one is a margin, and
    only the strokes in it are returned.
    """
    seen = _without_corners(lines)
    runs = _plain_runs(_even_runs(_line_colours(lines, limits), limits), lines)
    if runs and runs[-1].end < len(lines):
        end = _end_of(seen, runs, limits)
        if end is not None:
            return _strips_of(runs, end, median_colour(seen[end + 1 : end + 4]), most_px)
        strokes = _strokes(runs, runs[-1].colour, most_px, is_within=True)
        if strokes:  # whatever follows the margin, a line within it is one
            return strokes
    turned = turned_strip(seen, limits, most_px) or hairline(seen)
    return (turned,) if turned else ()


def _line_colours(lines: Codes, limits: BorderLimits) -> _Lines:
    """The colours of the lines; each is cut by its own distance, where other borders cross it."""
    along = lines.shape[1]
    colour = np.empty((len(lines), lines.shape[2]), np.float32)
    is_even = np.zeros(len(lines), np.bool_)
    for n, line in enumerate(lines):
        cut = min(max(n, GROUND) * along // max(1, 2 * len(lines)) + 1, along // _CUT_SHARE)
        inner = line[cut : along - cut]
        colour[n] = np.median(inner, axis=0)
        off = np.abs(inner - colour[n]).max(axis=1)
        is_even[n] = np.percentile(off, 90) <= limits.most_unevenness_codes
        if n > GROUND and not is_even[n - GROUND : n + 1].any():
            break  # in the picture
    return _Lines(colour, is_even)


def _without_corners(lines: Codes) -> Codes:
    cut = lines.shape[1] // _CUT_SHARE // 2
    return lines[:, cut : lines.shape[1] - cut]


def _even_runs(lines: _Lines, limits: BorderLimits) -> list[_Run]:
    """The runs of even lines of one colour, up to where the picture begins."""
    runs: list[_Run] = []
    first, uneven = 0, 0
    for n in range(len(lines.colour)):
        if not lines.is_even[n]:
            uneven += 1
            if uneven > THIN or not runs:
                break
            continue
        is_next = bool(runs) and runs[-1].end == n
        if is_next and np.abs(lines.colour[n] - lines.colour[n - 1]).max() <= SAME:
            runs[-1] = _Run(first, n + 1, np.median(lines.colour[first : n + 1], axis=0))
        else:
            first, uneven = n, 0
            runs.append(_Run(n, n + 1, lines.colour[n]))
    return runs


def _plain_runs(runs: list[_Run], lines: Codes) -> list[_Run]:
    """The runs up to the first that is picture: one that changes, however slowly, is no border.

    The light of a sky changes from line to line, and that of a shadow along its length.
    """
    cut = lines.shape[1] // _CUT_SHARE
    inner = lines[:, cut : lines.shape[1] - cut]
    for n, run in enumerate(runs):
        own = inner[run.first : run.end]
        third = max(1, run.width // 3)
        drift = np.abs(median_colour(own[:third]) - median_colour(own[-third:])).max()
        if max(drift, np.ptp(colours_along(own), axis=0).max()) > SAME:
            return runs[:n]
    return runs


def _end_of(seen: Codes, runs: list[_Run], limits: BorderLimits) -> int | None:
    """The line where the picture begins: where half of the side differs, and all at once.

    A border that was enlarged together with its picture ends little by little, over as many lines
    as ``_SOFT``; then it has to be of one colour up to there.
    """
    last = runs[-1]
    behind = seen[last.end : last.end + _SOFT]
    if len(behind) < 2:
        return None
    off = np.abs(behind - last.colour).max(axis=2)
    near = off[: THIN + 1]
    differs = (near[1:] > limits.least_step_codes).any(axis=0)
    sudden = near[:2].max(axis=0) > 0.6 * near.max(axis=0)
    if differs.mean() >= 0.5 and sudden[differs].mean() >= 0.5:
        return last.end
    main = max(runs, key=lambda run: run.width)
    off = np.abs(seen[main.end : main.end + 2 * _SOFT] - main.colour).max(axis=2)
    differs = off[min(_SOFT, len(off)) - 1] > limits.least_step_codes
    if main.first or main.width < THIN - 1 or differs.mean() < _MOST_OF_SIDE:
        return None
    half = np.median(off[:, differs], axis=1) > np.median(off[:_SOFT, differs].max(axis=0)) / 2
    return main.end + int(half.argmax()) if half.any() else None


def _strips_of(runs: list[_Run], end: int, ground: Codes, most_px: float) -> tuple[Strip, ...]:
    """The border that the runs make up, and the strokes: what is unlike the most of it."""
    margin = max(runs, key=lambda run: run.width)
    strokes = _strokes(runs, ground, most_px)
    if end > most_px:
        return strokes
    return (Strip(0, end, plain_colour(margin.colour), plain_colour(ground)), *strokes)


def _strokes(
    runs: list[_Run], ground: Codes, most_px: float, *, is_within: bool = False
) -> tuple[Strip, ...]:
    """The runs unlike the margin; ``is_within`` asks for those that lie within one colour."""
    margin = max(runs, key=lambda run: run.width)
    strips = []
    for n, run in enumerate(runs):
        inside = runs[n + 1].colour if n + 1 < len(runs) else ground
        outside = runs[n - 1].colour if n else inside
        if is_within and (not n or np.abs(inside - outside).max() > 2 * SAME):
            continue
        above = run.colour - np.maximum(inside, outside)
        below = np.minimum(inside, outside) - run.colour
        is_apart = max(above.max(), below.max(), _off(run, margin) - _off_ground(margin, ground))
        if run.width <= most_px and _off(run, margin) > 2 * SAME and is_apart > 2 * SAME:
            colours = plain_colour(run.colour), plain_colour(inside)
            strips.append(Strip(run.first, run.width, *colours, True))
    return tuple(strips)


def _off(run: _Run, margin: _Run) -> float:
    return float(np.abs(run.colour - margin.colour).max())


def _off_ground(margin: _Run, ground: Codes) -> float:
    return float(np.abs(margin.colour - ground).max())
