"""The cut edge of an oval window on pixels: mat, a bevel that turns with the light, the inside."""

import math

import numpy as np
from numpy.typing import NDArray

from proofs.lengths import Edge
from proofs.outside.bevels import Codes, codes_of, light_of
from proofs.plan.entry.mockup import Bevel, Box, Colour

Floats = NDArray[np.float32]


def draw_oval_cut(
    canvas: Codes, edges: tuple[Box, Box], mat: Colour, bevel: Bevel, *, shade: tuple[float, float]
) -> None:
    """Draw mat and bevel round what the canvas holds inside an oval.

    ``edges`` bound the outer and the inner line of the bevel. ``shade`` is how deep the mat's
    shade on the print is at its edge, and how far it reaches, in pixels.
    """
    outer, inner = edges
    top, left = max(0, math.floor(outer.top) - 1), max(0, math.floor(outer.left) - 1)
    bottom, right = math.ceil(outer.bottom) + 1, math.ceil(outer.right) + 1
    region = canvas[top:bottom, left:right]
    ys = (np.arange(top, top + region.shape[0])[:, None] + 0.5).astype(np.float32)
    xs = (np.arange(left, left + region.shape[1])[None, :] + 0.5).astype(np.float32)
    beyond_outer, beyond_inner = _beyond(xs, ys, outer), _beyond(xs, ys, inner)
    is_mat = np.clip(beyond_outer + 0.5, 0, 1)[:, :, None]
    is_inside = np.clip(0.5 - beyond_inner, 0, 1)[:, :, None]
    depth, reach = shade
    fall = 1 - depth * np.exp(np.minimum(beyond_inner, 0) / reach)
    inside = light_of(region) * (fall**2.2)[:, :, None]
    ring = _ring(xs, ys, inner, bevel)
    mixed = is_mat * light_of(np.array(mat, np.uint8)) + is_inside * inside
    mixed += (1 - is_mat) * (1 - is_inside) * ring
    region[:] = codes_of(mixed)


def _beyond(xs: Floats, ys: Floats, box: Box) -> Floats:
    """About how many pixels each place lies beyond an oval; below nothing inside it."""
    half_width, half_height = (box.right - box.left) / 2, (box.bottom - box.top) / 2
    x, y = xs - (box.left + box.right) / 2, ys - (box.top + box.bottom) / 2
    level = np.sqrt((x / half_width) ** 2 + (y / half_height) ** 2)
    slope = np.hypot(x / half_width**2, y / half_height**2) / np.maximum(level, 1e-6)
    return np.asarray((level - 1) / np.maximum(slope, 1e-6), np.float32)


def _ring(xs: Floats, ys: Floats, box: Box, bevel: Bevel) -> Floats:
    """The light of the bevel at each place: it turns from face to face of a straight one."""
    half_width, half_height = (box.right - box.left) / 2, (box.bottom - box.top) / 2
    x = (xs - (box.left + box.right) / 2) / half_width**2
    y = (ys - (box.top + box.bottom) / 2) / half_height**2
    share = (x**2 / np.maximum(x**2 + y**2, 1e-20))[:, :, None]
    sides = {name: light_of(np.array(getattr(bevel, name), np.uint8)) for name in Edge}
    across = np.where((x < 0)[:, :, None], sides[Edge.LEFT], sides[Edge.RIGHT])
    down = np.where((y < 0)[:, :, None], sides[Edge.TOP], sides[Edge.BOTTOM])
    return np.asarray(share * across + (1 - share) * down, np.float32)
