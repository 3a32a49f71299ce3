"""The pose of a wedge in a scan, where it is and how it is turned, and the light on it."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from proofs.plan.tones.wedge import FRAME_EDGE, UNITS_HIGH, UNITS_WIDE

Floats = NDArray[np.float64]
Luminance = NDArray[np.float32]
Bounds = tuple[float, float, float, float]

_HALF_TURN = np.array([[-1.0, 0, UNITS_WIDE], [0, -1.0, UNITS_HIGH], [0, 0, 1]])
_LEFT, _TOP = FRAME_EDGE, FRAME_EDGE
_RIGHT, _BOTTOM = UNITS_WIDE - FRAME_EDGE, UNITS_HIGH - FRAME_EDGE
_FRAME = np.array([[_LEFT, _TOP], [_RIGHT, _TOP], [_RIGHT, _BOTTOM], [_LEFT, _BOTTOM]], float)


@dataclass(frozen=True, slots=True)
class WedgePose:
    """The pose of a wedge: ``matrix`` maps points on it, in its units, to pixels of the scan.

    Pixels are counted at their centres, from 0. The matrix is a homography, so that a
    photograph taken slightly at an angle works too.
    """

    matrix: Floats

    def pixels(self, units: Floats) -> Floats:
        """Return the pixels of points on the wedge, x and y last."""
        mapped = np.concatenate([units, np.ones_like(units[..., :1])], axis=-1) @ self.matrix.T
        return np.asarray(mapped[..., :2] / mapped[..., 2:])

    def turned(self) -> "WedgePose":
        """Return the pose of the wedge rotated by half a turn."""
        return WedgePose(self.matrix @ _HALF_TURN)

    def magnified(self, factor: int) -> "WedgePose":
        """Return the pose in the full scan, from that in the scan reduced ``factor`` times."""
        shift = (factor - 1) / 2
        scaling = np.array([[factor, 0, shift], [0, factor, shift], [0, 0, 1.0]])
        return WedgePose(scaling @ self.matrix)

    @property
    def frame(self) -> Floats:
        """The outer corners of the frame in pixels, from its top left, clockwise."""
        return self.pixels(_FRAME)

    @property
    def width_px(self) -> float:
        """The width of the whole wedge in pixels."""
        corners = self.frame
        sides = (corners[1] - corners[0], corners[2] - corners[3])
        across = np.mean([math.hypot(*side) for side in sides])
        return float(across * UNITS_WIDE / (UNITS_WIDE - 2 * FRAME_EDGE))

    @property
    def turn_degrees(self) -> float:
        """Its rotation clockwise from dark at the left, above -180 to 180."""
        corners = self.frame
        x, y = corners[1] + corners[2] - corners[0] - corners[3]
        return math.degrees(math.atan2(y, x))


def pose_from_corners(corners: Floats) -> WedgePose:
    """Return the pose of a frame by its outer corners, from its top left, clockwise.

    Raises ``ValueError`` where the corners do not form a quadrilateral.
    """
    rows: list[list[float]] = []
    for (u, v), (x, y) in zip(_FRAME.tolist(), corners.tolist(), strict=True):
        rows.append([u, v, 1, 0, 0, 0, -u * x, -v * x])
        rows.append([0, 0, 0, u, v, 1, -u * y, -v * y])
    try:
        eight = np.linalg.solve(np.array(rows), corners.ravel())
    except np.linalg.LinAlgError:
        raise ValueError("the corners of the frame are on one line") from None
    return WedgePose(np.append(eight, 1.0).reshape(3, 3))


def frame_corners(pixels: Floats, angle: float) -> Floats:
    """Return the four outer corners of an upright or rotated rectangle drawn with these pixels.

    ``angle`` is that of its long sides. The corners run clockwise, as y increases downwards.
    Raises ``ValueError`` where a side cannot be found.
    """
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    a, b = pixels @ along, pixels @ across
    top, bottom = _sides(a, b, 0.90)
    left, right = _sides(b, a, 0.60)
    corners = [_intersection(top, left), _intersection(top, right)]
    corners += [_intersection(bottom, right), _intersection(bottom, left)]
    return np.array([x * along + y * across for x, y in corners])


def _sides(at: Floats, of: Floats, share: float) -> tuple[Floats, Floats]:
    """The lines of least and most ``of`` over the middle ``share`` of ``at``: slope, intercept."""
    bins = np.rint(at - at.min()).astype(int)
    low, high = np.full(bins.max() + 1, np.inf), np.full(bins.max() + 1, -np.inf)
    np.minimum.at(low, bins, of)
    np.maximum.at(high, bins, of)
    positions = np.arange(len(low))
    rim = (1 - share) / 2 * positions[-1]
    inside = (positions > rim) & (positions < positions[-1] - rim) & np.isfinite(low)
    if inside.sum() < 3:
        raise ValueError("a side of the frame is too short")
    where = positions[inside] + at.min()
    # A pixel extends half a pixel beyond its centre on all sides.
    return _robust_line(where, low[inside] - 0.5), _robust_line(where, high[inside] + 0.5)


def _robust_line(x: Floats, y: Floats) -> Floats:
    """Slope and intercept of the line through most of the points; outliers are left out."""
    line = np.polyfit(x, y, 1) if len(x) > 2 else np.array([0.0, np.median(y)])
    for _ in range(3):
        off = np.abs(y - np.polyval(line, x))
        near = off <= max(1.0, 2 * float(np.median(off)))
        line = np.polyfit(x[near], y[near], 1) if near.sum() > 2 else line
    return np.asarray(line)


def _intersection(level: Floats, upright: Floats) -> tuple[float, float]:
    """Where b = m a + c crosses a = n b + d."""
    (m, c), (n, d) = level, upright
    b = (m * d + c) / (1 - m * n)
    return float(n * b + d), float(b)


def sampled(light: Luminance, pixels: Floats) -> Floats:
    """Return the light of the pixels nearest to these positions, x and y last.

    Nothing is averaged here: noise is symmetrical only until it is averaged.
    """
    height, width = light.shape
    x = np.clip(np.rint(pixels[..., 0]).astype(int), 0, width - 1)
    y = np.clip(np.rint(pixels[..., 1]).astype(int), 0, height - 1)
    return np.asarray(light[y, x], dtype=np.float64)


def grid_points(box: Bounds, across: int, down: int) -> Floats:
    """Return points evenly spread over a box in units, edges included, as rows of x, y."""
    left, top, right, bottom = box
    x, y = np.meshgrid(np.linspace(left, right, across), np.linspace(top, bottom, down))
    return np.stack([x.ravel(), y.ravel()], axis=1)


def outline_points(box: Bounds, count: int) -> Floats:
    """Return points along the four sides of a box in units, ``count`` per side."""
    left, top, right, bottom = box
    corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
    return np.concatenate([np.linspace(a, b, count) for a, b in pairwise(corners)])
