"""Where a wedge lies in a scan, and the light of any place on it."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from proofs.plan.tones.wedge import FRAME_EDGE, UNITS_HIGH, UNITS_WIDE

Floats = NDArray[np.float64]
Light = NDArray[np.float32]

_HALF_TURN = np.array([[-1.0, 0, UNITS_WIDE], [0, -1.0, UNITS_HIGH], [0, 0, 1]])
_LEFT, _TOP = FRAME_EDGE, FRAME_EDGE
_RIGHT, _BOTTOM = UNITS_WIDE - FRAME_EDGE, UNITS_HIGH - FRAME_EDGE
_FRAME = np.array([[_LEFT, _TOP], [_RIGHT, _TOP], [_RIGHT, _BOTTOM], [_LEFT, _BOTTOM]], float)


@dataclass(frozen=True, slots=True)
class Seat:
    """Where a wedge lies: ``matrix`` takes places on it, in its units, to pixels of the scan.

    Pixels are counted at their centres, from 0; the matrix is a projective one, so that a
    photograph taken a little askew is followed too.
    """

    matrix: Floats

    def pixels(self, units: Floats) -> Floats:
        """Return the pixels of places on the wedge, x and y last."""
        seen = np.concatenate([units, np.ones_like(units[..., :1])], axis=-1) @ self.matrix.T
        return np.asarray(seen[..., :2] / seen[..., 2:])

    def turned(self) -> "Seat":
        """Return the same place with the wedge's ends changed over."""
        return Seat(self.matrix @ _HALF_TURN)

    def magnified(self, factor: int) -> "Seat":
        """Return the place in the scan of which this one's is reduced ``factor`` times."""
        shift = (factor - 1) / 2
        return Seat(np.array([[factor, 0, shift], [0, factor, shift], [0, 0, 1.0]]) @ self.matrix)

    @property
    def frame(self) -> Floats:
        """The outer corners of the frame in pixels, from its top left, clockwise."""
        return self.pixels(_FRAME)

    @property
    def width_px(self) -> float:
        """How wide the whole wedge is, in pixels."""
        corners = self.frame
        sides = (corners[1] - corners[0], corners[2] - corners[3])
        across = np.mean([math.hypot(*side) for side in sides])
        return float(across * UNITS_WIDE / (UNITS_WIDE - 2 * FRAME_EDGE))

    @property
    def turn_degrees(self) -> float:
        """How far it is turned clockwise from dark at the left, above -180 to 180."""
        corners = self.frame
        x, y = corners[1] + corners[2] - corners[0] - corners[3]
        return math.degrees(math.atan2(y, x))


def seat_at(corners: Floats) -> Seat:
    """Return the seat of a frame by its outer corners, from its top left, clockwise.

    Raises ``ValueError`` where the corners make no four-sided figure.
    """
    rows: list[list[float]] = []
    for (u, v), (x, y) in zip(_FRAME.tolist(), corners.tolist(), strict=True):
        rows.append([u, v, 1, 0, 0, 0, -u * x, -v * x])
        rows.append([0, 0, 0, u, v, 1, -u * y, -v * y])
    try:
        eight = np.linalg.solve(np.array(rows), corners.ravel())
    except np.linalg.LinAlgError:
        raise ValueError("the corners of the frame lie on one line") from None
    return Seat(np.append(eight, 1.0).reshape(3, 3))


def corners_of(pixels: Floats, angle: float) -> Floats:
    """Return the four outer corners of an upright or turned rectangle drawn with these pixels.

    ``angle`` is that of its long sides. The corners go round clockwise, as y runs down.
    Raises ``ValueError`` where a side is not to be seen.
    """
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    a, b = pixels @ along, pixels @ across
    top, bottom = _sides(a, b, 0.90)
    left, right = _sides(b, a, 0.60)
    sides = [_crossing(top, left), _crossing(top, right)]
    sides += [_crossing(bottom, right), _crossing(bottom, left)]
    return np.array([x * along + y * across for x, y in sides])


def _sides(at: Floats, of: Floats, share: float) -> tuple[Floats, Floats]:
    """The lines of least and most ``of`` over the middle ``share`` of ``at``: slope and height."""
    bins = np.rint(at - at.min()).astype(int)
    low, high = np.full(bins.max() + 1, np.inf), np.full(bins.max() + 1, -np.inf)
    np.minimum.at(low, bins, of)
    np.maximum.at(high, bins, of)
    places = np.arange(len(low))
    rim = (1 - share) / 2 * places[-1]
    inside = (places > rim) & (places < places[-1] - rim) & np.isfinite(low)
    if inside.sum() < 3:
        raise ValueError("a side of the frame is too short")
    where = places[inside] + at.min()
    # A pixel is half a pixel larger on all sides than its centre.
    return _line(where, low[inside] - 0.5), _line(where, high[inside] + 0.5)


def _line(x: Floats, y: Floats) -> Floats:
    """Slope and height of the line through most of the points; strays are left out."""
    line = np.polyfit(x, y, 1) if len(x) > 2 else np.array([0.0, np.median(y)])
    for _ in range(3):
        off = np.abs(y - np.polyval(line, x))
        near = off <= max(1.0, 2 * float(np.median(off)))
        line = np.polyfit(x[near], y[near], 1) if near.sum() > 2 else line
    return np.asarray(line)


def _crossing(level: Floats, upright: Floats) -> tuple[float, float]:
    """Where b = m a + c crosses a = n b + d."""
    (m, c), (n, d) = level, upright
    b = (m * d + c) / (1 - m * n)
    return float(n * b + d), float(b)


def sampled(light: Light, pixels: Floats) -> Floats:
    """Return the light of the pixels nearest to these places, x and y last.

    Nothing is averaged here: noise is even-sided only as long as it is left alone.
    """
    height, width = light.shape
    x = np.clip(np.rint(pixels[..., 0]).astype(int), 0, width - 1)
    y = np.clip(np.rint(pixels[..., 1]).astype(int), 0, height - 1)
    return np.asarray(light[y, x], dtype=np.float64)


def spots(box: tuple[float, float, float, float], across: int, down: int) -> Floats:
    """Return so many places evenly spread over a box in units, edges included, as rows of x, y."""
    left, top, right, bottom = box
    x, y = np.meshgrid(np.linspace(left, right, across), np.linspace(top, bottom, down))
    return np.stack([x.ravel(), y.ravel()], axis=1)


def outline(box: tuple[float, float, float, float], count: int) -> Floats:
    """Return places along the four sides of a box in units, ``count`` a side."""
    left, top, right, bottom = box
    corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
    return np.concatenate([np.linspace(a, b, count) for a, b in pairwise(corners)])
