"""Borders whose lines hold some of the picture: slightly turned ones, and half-transparent ones.

What a line mixes of border and picture is told from the lines behind it.
"""

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.strip_colours import (
    GROUND,
    PARTS,
    SAME,
    THIN,
    Codes,
    Strip,
    colours_along,
    median_colour,
    plain_colour,
)
from proofs.records.inspections import BorderLimits

_MOST_OPACITY_LEFT = 0.85  # what shows through a hairline; more cannot be told from the picture
_LEAST_LIKE = 0.93  # how like two lines of a picture must be to judge a third by them
_MIXED_RESIDUE = 5.0  # codes
_MORE_THAN_WITHIN = 1.6  # times as unlike as a line as far away inwards, or it is picture
_FALL = 0.6  # of its opacity a hairline loses within three lines, even enlarged three times
_CLEARER = 3.0  # times the residue: a weaker change is one of the picture
_THROUGH = 0.35  # of the step: how uneven a border gets that was enlarged with its picture
_MOST_THROUGH = 0.45  # how much of the picture its outermost line may hold
_STEEPER = 1.5  # times as much as what follows as far inwards: a step, and not part of a slope
_FINE_PX = 15  # of a side: what changes within them is detail
_CARRIED = 0.5  # how like the detail of two lines must be to look for it in a third
_SHOWN = 0.5  # of that likeness: what shows through a hairline keeps its detail
_ROUNDING = 1.5  # codes: what rounding and compression add to a line


def turned_strip(seen: Codes, limits: BorderLimits, most_px: float) -> Strip | None:
    """Return a border whose inner edge is not quite parallel to the side."""
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
                ground = median_colour(behind[None])
                return Strip(0, width, plain_colour(colour), plain_colour(ground))
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
    if len(line) < PARTS:
        return False
    colour = np.median(line, axis=0)
    step = float(np.abs(np.median(behind, axis=0) - colour).max())
    off = np.percentile(np.abs(line - colour).max(axis=1), 90)
    if off > max(limits.most_unevenness_codes, _THROUGH * step):
        return False
    parts, ground = (colours_along(codes[None]) for codes in (line, behind))
    share = float((parts * ground).sum()) / max(float((ground * ground).sum()), 1e-6)
    if np.ptp(parts, axis=0).max() <= SAME:
        return True
    return share <= _MOST_THROUGH and bool(np.ptp(parts - share * ground, axis=0).max() <= SAME)


def hairline(seen: Codes) -> Strip | None:
    """Return a line at the very edge that is mixed with what is behind it.

    The outermost line is straight in those behind it, but paler or darker than they would have
    it. Compared with the next line it would be missed: enlarging makes it soft.
    """
    if len(seen) <= 2 * GROUND:
        return None
    tones = seen.mean(axis=2).astype(np.float64)
    ground, beyond = tones[GROUND], tones[2 * GROUND]
    if ground.std() < SAME or _fit(ground, beyond)[1] < _LEAST_LIKE:
        return None
    shares, residues, shifts = [], [], []
    for line in tones[:GROUND]:
        shares.append(_fit(line, ground)[1])
        residues.append(_residue(line, ground))
        shifts.append(float(np.abs(line - ground).mean()))
    if not (shares[0] < _MOST_OPACITY_LEFT and residues[0] <= _MIXED_RESIDUE):
        return None
    if shifts[0] <= max(SAME, _CLEARER * residues[0]) or shares[-1] < _LEAST_LIKE:
        return None
    if not _lets_through(tones, shares[0], residues[0]):
        return None
    inwards = tones[GROUND + 1 : 2 * GROUND + 1]
    paler = max(1 - _fit(line, ground)[1] for line in inwards)
    further = max(float(np.abs(line - ground).mean()) for line in inwards)
    if 1 - shares[0] < _MORE_THAN_WITHIN * paler or shifts[0] < _MORE_THAN_WITHIN * further:
        return None
    opacity = np.clip(1 - np.array(shares) / shares[-1], 0, 1)
    if (opacity[:-THIN] - opacity[THIN:]).max() < _FALL * opacity[0]:
        return None
    width = float(opacity.sum() / opacity.max())
    clear = np.median((seen[0] - shares[0] * seen[GROUND]) / (1 - shares[0]), axis=0)
    ground = median_colour(seen[GROUND:])
    return Strip(0, width, plain_colour(np.clip(clear, 0, 255)), plain_colour(ground))


def _lets_through(tones: NDArray[np.float64], share: float, residue: float) -> bool:
    """Whether the outermost line may be a share of the picture: along most of the side, and even.

    What shows through is no more uneven than the picture is itself.
    """
    ground, beyond = tones[GROUND], tones[2 * GROUND]
    own = _MORE_THAN_WITHIN * max(share, 0.0) * _residue(ground, beyond)
    differs = float(np.median(np.abs(tones[0] - ground))) > SAME
    return differs and residue <= _ROUNDING + own and _shows_detail(tones)


def _shows_detail(tones: NDArray[np.float64]) -> bool:
    """Whether the outermost line has the detail of the picture, where that runs across lines.

    What lets something through lets all of it through. A joint between boards, or a shadow's
    edge, follows only the broad tones beside it.
    """
    outer, inner, beyond = (_detail(tones[n]) for n in (0, GROUND // 2, GROUND))
    carried = _likeness(inner, beyond)
    return carried < _CARRIED or _likeness(outer, inner) >= _SHOWN * carried


def _detail(line: NDArray[np.float64]) -> NDArray[np.float64]:
    """A line less its mean over some samples around each."""
    total = np.cumsum(np.concatenate([[0.0], line]))
    around = (total[_FINE_PX:] - total[:-_FINE_PX]) / _FINE_PX
    cut = _FINE_PX // 2
    return np.asarray(line[cut : cut + len(around)] - around)


def _likeness(one: NDArray[np.float64], other: NDArray[np.float64]) -> float:
    """The correlation of two lines; 0 where one of them has no detail."""
    if not len(one):
        return 0.0
    spread = float(np.sqrt((one * one).mean() * (other * other).mean()))
    return float((one * other).mean()) / spread if spread else 0.0


def _residue(line: NDArray[np.float64], ground: NDArray[np.float64]) -> float:
    """What a line typically has of its own, beside what follows another."""
    offset, share = _fit(line, ground)
    return float(np.median(np.abs(line - offset - share * ground)))


def _fit(line: NDArray[np.float64], ground: NDArray[np.float64]) -> tuple[float, float]:
    """Offset and share by which a line follows another."""
    middle, spread = ground.mean(), ground.var()
    share = float(((ground - middle) * (line - line.mean())).mean() / spread) if spread else 0.0
    return float(line.mean() - share * middle), share
