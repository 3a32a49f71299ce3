"""How sharp a print is where it is sharpest: the width of its edges, as light falls across them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.lightness_levels import Lightness

_EVERY = 4  # lines: neighbours show the same edges
_REACH = 6  # pixels either way in which an edge rises
_LEAST_RANGE = 12.0  # L*: weaker ones are as likely texture
_LEAST_SLOPE = 1.0  # L* a pixel
_CONTRAST_SHARE = 0.8  # a blurred edge does this much of its rise at its steepest slope
_SHARPEST = 10  # per cent of the edges of a part
_TILES = 3  # either way
_AT_ONCE = 64  # lines: what stays in the processor's cache

Edges = tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float32]]


@dataclass(frozen=True, slots=True)
class Sharpness:
    """The width of the sharpest edges in pixels, and the middle of the part that has them."""

    edge_px: float
    x: float
    y: float


def sharpness(lightness: Lightness, least_edges: int) -> Sharpness | None:
    """Return how sharp the sharpest of nine parts is; None if none has that many edges."""
    across, down = _edges(lightness[::_EVERY]), _edges(lightness[:, ::_EVERY].T)
    x = np.concatenate([across[0], down[1] * _EVERY])
    y = np.concatenate([across[1] * _EVERY, down[0]])
    width = np.concatenate([across[2], down[2]])
    height, wide = lightness.shape
    tile = np.minimum(y * _TILES // height, _TILES - 1) * _TILES + x * _TILES // wide
    found = []
    for n in range(_TILES * _TILES):
        own = tile == n
        if own.sum() >= least_edges:
            limit = float(np.percentile(width[own], _SHARPEST))
            sharp = own & (width <= limit)
            found.append(Sharpness(limit, float(np.median(x[sharp])), float(np.median(y[sharp]))))
    return min(found, key=lambda s: (s.edge_px, s.y, s.x), default=None)


def _edges(lines: Lightness) -> Edges:
    """Column, line and width of each edge along the lines, some of them at a time."""
    firsts = range(0, len(lines), _AT_ONCE)
    parts = [_edges_of(np.ascontiguousarray(lines[n : n + _AT_ONCE])) for n in firsts]
    x, y, width = (np.concatenate(values) for values in zip(*parts, strict=True))
    return x, y + np.repeat(firsts, [len(part[1]) for part in parts]), width


def _edges_of(lines: Lightness) -> Edges:
    if lines.shape[1] <= 2 * _REACH + 4:
        nothing = np.empty(0, np.int64)
        return nothing, nothing, np.empty(0, np.float32)
    slope = np.abs(lines[:, 2:] - lines[:, :-2]) / np.float32(2)
    own = slope[:, _REACH:-_REACH]
    is_steepest = own >= _LEAST_SLOPE
    is_steepest &= own > slope[:, _REACH - 1 : -_REACH - 1]
    is_steepest &= own >= slope[:, _REACH + 1 : 1 - _REACH]
    y, x = np.divmod(np.flatnonzero(is_steepest), own.shape[1])
    x += _REACH
    for shift in range(2, _REACH + 1):  # of few, since most are steepest beside their neighbours
        height = slope[y, x]
        keep = (height > slope[y, x - shift]) & (height >= slope[y, x + shift])
        y, x = y[keep], x[keep]
    own, x = slope[y, x], x + 1
    window = lines[y[:, None], np.clip(x[:, None] + np.arange(-_REACH, _REACH + 1), 0, None)]
    rise = np.ptp(window, axis=1)
    is_edge = rise > _LEAST_RANGE
    width = np.float32(_CONTRAST_SHARE) * rise[is_edge] / own[is_edge]
    return x[is_edge], y[is_edge], width
