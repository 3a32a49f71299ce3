"""The cut edge of a mat on pixels, straight or oval, with pixels that mix mat, bevel and inside."""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from proofs.lengths import Edge
from proofs.outside.pixels.colour.spaces import linear_to_srgb, srgb_to_linear
from proofs.plan.entry.mockup import Bevel, Box, Colour

Codes = NDArray[np.uint8]
Floats = NDArray[np.float32]
Pixels = NDArray[np.intp]
Strip = tuple[int, int, int, int]

_FINE = 8  # samples across a pixel, each way, for edges that fall between two


@dataclass(frozen=True, slots=True)
class CutStrip:
    """A strip of pixels along a cut edge.

    ``light`` is the light of mat and bevel in each pixel, ``through`` the share of the inside.
    """

    rows: slice
    columns: slice
    light: Floats
    through: Floats


def cut_edge(
    edges: tuple[Box, Box], mat: Colour, bevel: Bevel, *, shape: tuple[int, ...]
) -> tuple[CutStrip, ...]:
    """Return the cut edge of a window, to lay over any picture on a canvas of this shape.

    ``edges`` are the outer and the inner line of the bevel, the same line if no bevel is visible.
    """
    outer, inner = edges
    return tuple(_cut_strip(s, edges, (mat, bevel)) for s in frame_strips(outer, inner, shape))


def lay_cut(canvas: Codes, cut: tuple[CutStrip, ...]) -> None:
    """Lay a cut edge over the canvas, mixed in linear light, as a lens mixes it."""
    for strip in cut:
        region = canvas[strip.rows, strip.columns]
        region[:] = _codes_of(strip.light + _light_of(region) * strip.through)


def frame_strips(outer: Box, inner: Box, shape: tuple[int, ...]) -> list[Strip]:
    """Return the four strips of pixels, as (top, bottom, left, right), from outer to inner."""
    height, width = shape[:2]
    top, bottom = math.floor(outer.top) - 1, math.ceil(outer.bottom) + 1
    left, right = math.floor(outer.left) - 1, math.ceil(outer.right) + 1
    in_top, in_bottom = math.ceil(inner.top) + 1, math.floor(inner.bottom) - 1
    in_left, in_right = math.ceil(inner.left) + 1, math.floor(inner.right) - 1
    strips = (
        (top, in_top, left, right),
        (in_bottom, bottom, left, right),
        (in_top, in_bottom, left, in_left),
        (in_top, in_bottom, in_right, right),
    )
    held = [(max(t, 0), min(b, height), max(x, 0), min(r, width)) for t, b, x, r in strips]
    return [(t, b, x, r) for t, b, x, r in held if t < b and x < r]


def _cut_strip(strip: Strip, edges: tuple[Box, Box], colours: tuple[Colour, Bevel]) -> CutStrip:
    """Mat and bevel over one strip."""
    top, bottom, left, right = strip
    (outer, inner), (mat, bevel) = edges, colours
    shares = _shares(strip, outer, outer.left - inner.left)
    palette = np.array([mat, bevel.top, bevel.right, bevel.bottom, bevel.left], np.uint8)
    light = np.tensordot(np.moveaxis(shares[:5], 0, -1), _light_of(palette), axes=1)
    return CutStrip(slice(top, bottom), slice(left, right), light, shares[5][:, :, None])


def _shares(strip: Strip, outer: Box, inset: float) -> Floats:
    """The shares of each pixel: mat, bevel at top, right, bottom and left, and the inside.

    Between two corners of the cut all lines across it are equal, so one is drawn and repeated.
    """
    top, bottom, left, right = strip
    reach = abs(inset) + 3  # from a corner, in pixels: further along, the same side is the nearest
    columns, column_of = _distinct(np.arange(left, right), outer.left + reach, outer.right - reach)
    rows, row_of = _distinct(np.arange(top, bottom), outer.top + reach, outer.bottom - reach)
    return _shares_at(rows, columns, outer, inset)[:, row_of][:, :, column_of]


def _distinct(pixels: Pixels, first: float, last: float) -> tuple[Pixels, Pixels]:
    """The pixels with one for all between ``first`` and ``last``, and the place of each in them."""
    is_between = (pixels >= first) & (pixels + 1 <= last)
    same = np.where(is_between, math.ceil(first), pixels)
    distinct, place_of = np.unique(same, return_inverse=True)
    return distinct, place_of


def _shares_at(rows: Pixels, columns: Pixels, outer: Box, inset: float) -> Floats:
    """The shares of the pixels in these rows and columns."""
    step = (np.arange(_FINE) + 0.5) / _FINE
    xs = (columns[:, None] + step).ravel().astype(np.float32)
    ys = (rows[:, None] + step).ravel().astype(np.float32)
    across, down = np.meshgrid(xs, ys)
    sides = np.stack(
        [down - outer.top, outer.right - across, outer.bottom - down, across - outer.left]
    )
    depth, nearest = sides.min(axis=0), sides.argmin(axis=0).astype(np.uint8)
    kind = np.where(depth < 0, 0, np.where(depth < -inset, nearest + 1, 5))
    cells = kind.reshape(len(rows), _FINE, len(columns), _FINE)
    return np.stack([(cells == n).mean(axis=(1, 3), dtype=np.float32) for n in range(6)])


def draw_oval_cut(
    canvas: Codes, edges: tuple[Box, Box], mat: Colour, bevel: Bevel, *, shade: tuple[float, float]
) -> None:
    """Draw mat and bevel around an oval, over the canvas.

    ``edges`` bound the outer and the inner line of the bevel. ``shade`` is the depth of the
    mat's shade on the print, and its reach in pixels.
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
    inside = _light_of(region) * (fall**2.2)[:, :, None]
    ring = _ring(xs, ys, inner, bevel)
    mixed = is_mat * _light_of(np.array(mat, np.uint8)) + is_inside * inside
    mixed += (1 - is_mat) * (1 - is_inside) * ring
    region[:] = _codes_of(mixed)


def _beyond(xs: Floats, ys: Floats, box: Box) -> Floats:
    """About how many pixels each place is beyond an oval; negative inside it."""
    half_width, half_height = (box.right - box.left) / 2, (box.bottom - box.top) / 2
    x, y = xs - (box.left + box.right) / 2, ys - (box.top + box.bottom) / 2
    level = np.sqrt((x / half_width) ** 2 + (y / half_height) ** 2)
    slope = np.hypot(x / half_width**2, y / half_height**2) / np.maximum(level, 1e-6)
    return np.asarray((level - 1) / np.maximum(slope, 1e-6), np.float32)


def _ring(xs: Floats, ys: Floats, box: Box, bevel: Bevel) -> Floats:
    """The light of the bevel at each place, blended between the faces of a straight one."""
    half_width, half_height = (box.right - box.left) / 2, (box.bottom - box.top) / 2
    x = (xs - (box.left + box.right) / 2) / half_width**2
    y = (ys - (box.top + box.bottom) / 2) / half_height**2
    share = (x**2 / np.maximum(x**2 + y**2, 1e-20))[:, :, None]
    sides = {name: _light_of(np.array(getattr(bevel, name), np.uint8)) for name in Edge}
    across = np.where((x < 0)[:, :, None], sides[Edge.LEFT], sides[Edge.RIGHT])
    down = np.where((y < 0)[:, :, None], sides[Edge.TOP], sides[Edge.BOTTOM])
    return np.asarray(share * across + (1 - share) * down, np.float32)


@cache
def _light_table() -> Floats:
    return srgb_to_linear(np.arange(256) / 255).astype(np.float32)


def _light_of(codes: Codes) -> Floats:
    """The linear light, 0 to 1, of sRGB codes."""
    return _light_table()[codes]


def _codes_of(light: Floats) -> Codes:
    """The nearest sRGB codes of linear light."""
    return np.rint(linear_to_srgb(np.clip(light, 0, 1)) * 255).astype(np.uint8)
