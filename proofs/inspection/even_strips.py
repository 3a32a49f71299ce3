"""Even strips along one side of a picture: borders, strokes in a margin, and mixed-in hairlines.

The lines of a side run parallel to it, from the edge inwards: line, sample, channel, in codes of
8 bits. Within a border every line has one colour; what a line mixes of border and picture, as
enlarging and turning leave it, is told from the colours on both sides of it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.records.inspections import BorderLimits

Codes = NDArray[np.float32]

_SAME = 4.0  # codes: neighbouring lines of one strip differ by less
_THIN = 3  # lines: as many as enlarging makes of an edge, or of a line of one pixel
_SOFT = 6  # lines: over as many an edge rises that was enlarged twice
_MOST_OF_SIDE = 0.6
_GROUND = 8  # lines from the edge: beyond any hairline, and still like the picture at the edge
_CUT_SHARE = 8  # of the side at each end, at most, where another side's border may lie
_MOST_OPACITY_LEFT = 0.85  # what shows through a hairline; more cannot be told from the picture
_LEAST_LIKE = 0.93  # how like two lines of a picture must be to judge a third by them
_MIXED_RESIDUE = 5.0  # codes
_MORE_THAN_WITHIN = 1.6  # times as unlike as a line as far away inwards, or it is picture
_FALL = 0.6  # of its opacity a hairline loses within three lines, even enlarged three times
_CLEARER = 3.0  # times the residue: a weaker change is one of the picture
_THROUGH = 0.35  # of the step: how uneven a border gets that was enlarged with its picture
_MOST_THROUGH = 0.45  # how much of the picture its outermost line may hold
_PARTS = 8  # of a side, along which a border has one colour
_STEEPER = 1.5  # times as much as what follows as far inwards: a step, and not part of a slope


@dataclass(frozen=True, slots=True)
class Strip:
    """An even strip: lines ``start`` to ``start + width`` from the edge.

    ``codes`` is its colour, ``ground`` that of what follows inwards. ``is_stroke`` is whether a
    margin lies outside it.
    """

    start: float
    width: float
    codes: tuple[float, ...]
    ground: tuple[float, ...]
    is_stroke: bool = False


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
            return _strips_of(runs, end, _median(seen[end + 1 : end + 4]), most_px)
        strokes = _strokes(runs, runs[-1].colour, most_px, is_within=True)
        if strokes:  # whatever follows the margin, a line within it is one
            return strokes
    turned = _turned_strip(seen, limits, most_px) or _hairline(seen)
    return (turned,) if turned else ()


def _line_colours(lines: Codes, limits: BorderLimits) -> _Lines:
    """The colours of the lines; each is cut by its own distance, where other borders cross it."""
    along = lines.shape[1]
    colour = np.empty((len(lines), lines.shape[2]), np.float32)
    is_even = np.zeros(len(lines), np.bool_)
    for n, line in enumerate(lines):
        cut = min(max(n, _GROUND) * along // max(1, 2 * len(lines)) + 1, along // _CUT_SHARE)
        inner = line[cut : along - cut]
        colour[n] = np.median(inner, axis=0)
        off = np.abs(inner - colour[n]).max(axis=1)
        is_even[n] = np.percentile(off, 90) <= limits.most_unevenness_codes
        if n > _GROUND and not is_even[n - _GROUND : n + 1].any():
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
            if uneven > _THIN or not runs:
                break
            continue
        is_next = bool(runs) and runs[-1].end == n
        if is_next and np.abs(lines.colour[n] - lines.colour[n - 1]).max() <= _SAME:
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
        drift = np.abs(_median(own[:third]) - _median(own[-third:])).max()
        if max(drift, np.ptp(_along(own), axis=0).max()) > _SAME:
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
    near = off[: _THIN + 1]
    differs = (near[1:] > limits.least_step_codes).any(axis=0)
    sudden = near[:2].max(axis=0) > 0.6 * near.max(axis=0)
    if differs.mean() >= 0.5 and sudden[differs].mean() >= 0.5:
        return last.end
    main = max(runs, key=lambda run: run.width)
    off = np.abs(seen[main.end : main.end + 2 * _SOFT] - main.colour).max(axis=2)
    differs = off[min(_SOFT, len(off)) - 1] > limits.least_step_codes
    if main.first or main.width < _THIN - 1 or differs.mean() < _MOST_OF_SIDE:
        return None
    half = np.median(off[:, differs], axis=1) > np.median(off[:_SOFT, differs].max(axis=0)) / 2
    return main.end + int(half.argmax()) if half.any() else None


def _strips_of(runs: list[_Run], end: int, ground: Codes, most_px: float) -> tuple[Strip, ...]:
    """The border that the runs make up, and the strokes: what is unlike the most of it."""
    margin = max(runs, key=lambda run: run.width)
    strokes = _strokes(runs, ground, most_px)
    if end > most_px:
        return strokes
    return (Strip(0, end, _plain(margin.colour), _plain(ground)), *strokes)


def _strokes(
    runs: list[_Run], ground: Codes, most_px: float, *, is_within: bool = False
) -> tuple[Strip, ...]:
    """The runs unlike the margin; ``is_within`` asks for those that lie within one colour."""
    margin = max(runs, key=lambda run: run.width)
    strips = []
    for n, run in enumerate(runs):
        inside = runs[n + 1].colour if n + 1 < len(runs) else ground
        outside = runs[n - 1].colour if n else inside
        if is_within and (not n or np.abs(inside - outside).max() > 2 * _SAME):
            continue
        above = run.colour - np.maximum(inside, outside)
        below = np.minimum(inside, outside) - run.colour
        is_apart = max(above.max(), below.max(), _off(run, margin) - _off_ground(margin, ground))
        if run.width <= most_px and _off(run, margin) > 2 * _SAME and is_apart > 2 * _SAME:
            strips.append(Strip(run.first, run.width, _plain(run.colour), _plain(inside), True))
    return tuple(strips)


def _off(run: _Run, margin: _Run) -> float:
    return float(np.abs(run.colour - margin.colour).max())


def _off_ground(margin: _Run, ground: Codes) -> float:
    return float(np.abs(margin.colour - ground).max())


def _turned_strip(seen: Codes, limits: BorderLimits, most_px: float) -> Strip | None:
    """A border whose inner edge is not quite parallel to the side."""
    quarter = max(1, seen.shape[1] // 4)
    for part in (seen[0], seen[0, :quarter], seen[0, -quarter:]):
        colour = np.median(part, axis=0)
        differs = np.abs(seen - colour).max(axis=2) > limits.least_step_codes
        depth = np.where(differs.any(axis=0), differs.argmax(axis=0), len(seen)).astype(float)
        at = np.arange(len(depth)) - (len(depth) - 1) / 2
        third = max(1, len(depth) // 3)
        rise = np.median(depth[-third:]) - np.median(depth[:third])
        slope = rise / max(1, len(depth) - third)
        fitted = np.median(depth - slope * at) + slope * at
        near = (np.abs(depth - np.maximum(fitted, 0)) <= 1.5) & _is_sudden(seen, depth, limits)
        width = float(np.maximum(fitted, 0).mean())
        # Where the picture has the border's colour, the border seems to reach into it.
        too_short = (depth < fitted - 1.5).mean()
        if (
            near.mean() >= 0.5
            and too_short <= 0.05
            and width >= 1
            and fitted.max() < min(most_px, len(seen) - 4)
        ):
            behind, inside = seen[int(fitted.max()) + 2], fitted >= 1
            if _is_plain(seen[0, inside], behind[inside], limits):
                return Strip(0, width, _plain(colour), _plain(_median(behind[None])))
    return None


def _is_sudden(seen: Codes, depth: NDArray[np.float64], limits: BorderLimits) -> NDArray[np.bool_]:
    """Whether each sample changes within a few lines where it ends, and not little by little."""
    at = np.arange(seen.shape[1])
    before, after, beyond = (
        seen[np.clip(depth.astype(int) + lines, 0, len(seen) - 1), at] for lines in (-2, 2, 6)
    )
    change = np.abs(after - before).max(axis=1)
    # Side by side, since single samples of a lively picture change by chance.
    follows = np.abs(np.median(beyond - after, axis=0)).max()
    return np.asarray(change > max(limits.least_step_codes, _STEEPER * float(follows)))


def _is_plain(line: Codes, behind: Codes, limits: BorderLimits) -> bool:
    """Whether samples of the outermost line have one colour, but for what shows through.

    A shadow does not let something through, it is a share of all that it falls on.
    """
    if len(line) < _PARTS:
        return False
    colour = np.median(line, axis=0)
    step = float(np.abs(np.median(behind, axis=0) - colour).max())
    off = np.percentile(np.abs(line - colour).max(axis=1), 90)
    if off > max(limits.most_unevenness_codes, _THROUGH * step):
        return False
    parts, ground = (_along(codes[None]) for codes in (line, behind))
    share = float((parts * ground).sum()) / max(float((ground * ground).sum()), 1e-6)
    if np.ptp(parts, axis=0).max() <= _SAME:
        return True
    return share <= _MOST_THROUGH and bool(np.ptp(parts - share * ground, axis=0).max() <= _SAME)


def _along(lines: Codes) -> Codes:
    """The colours of the parts of some lines along a side, less their mean."""
    parts = np.array_split(lines, min(_PARTS, lines.shape[1]), axis=1)
    colours = np.stack([_median(part) for part in parts])
    return np.asarray(colours - colours.mean(axis=0))


def _hairline(seen: Codes) -> Strip | None:
    """A line at the very edge that is mixed with what is behind it.

    The outermost line is straight in those behind it, but paler or darker than they would have
    it. Compared with the next line it would be missed: enlarging makes it soft.
    """
    if len(seen) <= 2 * _GROUND:
        return None
    tones = seen.mean(axis=2).astype(np.float64)
    ground, beyond = tones[_GROUND], tones[2 * _GROUND]
    if ground.std() < _SAME or _fit(ground, beyond)[1] < _LEAST_LIKE:
        return None
    shares, residues, shifts = [], [], []
    for line in tones[:_GROUND]:
        offset, share = _fit(line, ground)
        shares.append(share)
        residues.append(float(np.median(np.abs(line - offset - share * ground))))
        shifts.append(float(np.abs(line - ground).mean()))
    if not (shares[0] < _MOST_OPACITY_LEFT and residues[0] <= _MIXED_RESIDUE):
        return None
    if shifts[0] <= max(_SAME, _CLEARER * residues[0]) or shares[-1] < _LEAST_LIKE:
        return None
    inwards = tones[_GROUND + 1 : 2 * _GROUND + 1]
    paler = max(1 - _fit(line, ground)[1] for line in inwards)
    further = max(float(np.abs(line - ground).mean()) for line in inwards)
    if 1 - shares[0] < _MORE_THAN_WITHIN * paler or shifts[0] < _MORE_THAN_WITHIN * further:
        return None
    opacity = np.clip(1 - np.array(shares) / shares[-1], 0, 1)
    if (opacity[:-_THIN] - opacity[_THIN:]).max() < _FALL * opacity[0]:
        return None
    width = float(opacity.sum() / opacity.max())
    clear = (seen[0] - shares[0] * seen[_GROUND]) / (1 - shares[0])
    return Strip(
        0, width, _plain(np.clip(np.median(clear, axis=0), 0, 255)), _plain(_median(seen[_GROUND:]))
    )


def _fit(line: NDArray[np.float64], ground: NDArray[np.float64]) -> tuple[float, float]:
    """Offset and share by which a line follows another."""
    middle, spread = ground.mean(), ground.var()
    share = float(((ground - middle) * (line - line.mean())).mean() / spread) if spread else 0.0
    return float(line.mean() - share * middle), share


def _median(lines: Codes) -> Codes:
    return np.asarray(np.median(lines, axis=(0, 1)))


def _plain(colour: Codes) -> tuple[float, ...]:
    return tuple(float(code) for code in colour)
