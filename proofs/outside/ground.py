"""The ground that a mount is shown on, with the soft shadow that its board casts."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.bevels import Codes, Strip
from proofs.plan.entry.mockup import GROUND, GROUND_PX, Box, Colour

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Shadow:
    """A soft shadow: ``depth`` is how dark it is below the middle of a large board, 0 to 1.

    ``blur`` is how far its edge reaches, as a standard deviation; it lies ``right`` and ``down`` of
    what casts it. These three are lengths, in pixels once it is drawn.
    """

    depth: float
    blur: float
    right: float
    down: float


# Light from the top left, as on the bevels: a thin shadow where the board touches the ground, and
# a wide one. Both end within the ground.
BOARD_SHADOWS = (Shadow(0.34, 3.0, 1.5, 3.0), Shadow(0.36, 20.0, 8.0, 16.0))


def on_ground(board: PixelSize) -> tuple[Codes, Codes]:
    """Return the pixels of a mock-up with ground and shadow, and those of its board.

    The second array is a part of the first, so what is drawn on the board is on the mock-up. It
    holds anything until it is filled.
    """
    width, height = board.width + 2 * GROUND_PX, board.height + 2 * GROUND_PX
    canvas = np.empty((height, width, 3), np.uint8)
    for (top, bottom, left, right), codes in _ground(board):
        canvas[top:bottom, left:right] = codes
    return canvas, board_of(canvas)


@lru_cache(maxsize=4)  # about 2 MB each; the mounts of a run are often of one size
def _ground(board: PixelSize) -> tuple[tuple[Strip, Codes], ...]:
    """The four strips of ground round a board."""
    size = PixelSize(board.width + 2 * GROUND_PX, board.height + 2 * GROUND_PX)
    box = Box(GROUND_PX, GROUND_PX, GROUND_PX + board.width, GROUND_PX + board.height)
    grey = np.full((size.height, size.width, 1), GROUND[0], np.uint8)
    cast_shadow(grey, box, BOARD_SHADOWS, reach=GROUND_PX)
    whole = (0, size.height, 0, size.width)
    # With all three channels, so that they are only copied, which takes a tenth of the time.
    return tuple(
        ((t, b, x, r), grey[t:b, x:r].repeat(3, axis=2)) for t, b, x, r in _round(box, whole)
    )


def board_of(mockup: Codes) -> Codes:
    """Return the part of a mock-up that shows its board."""
    return mockup[GROUND_PX:-GROUND_PX, GROUND_PX:-GROUND_PX]


def fill(region: Codes, colour: Colour) -> None:
    """Fill a region with a colour: one row, repeated, which is ten times as fast as pixels."""
    row = np.empty(region.shape[1:], np.uint8)
    row[:] = colour
    region[:] = row


def cast_shadow(canvas: Codes, box: Box, shadows: Sequence[Shadow], *, reach: int) -> None:
    """Darken an even grey canvas by the shadows of a box, whose edges are taken as whole pixels.

    The canvas has one channel or more. ``reach`` is how far round the box the shadows are drawn.
    What is below the box stays as it is.
    """
    height, width = canvas.shape[:2]
    x0, y0, x1, y1 = (round(edge) for edge in (box.left, box.top, box.right, box.bottom))
    for strip, light in _lights(PixelSize(x1 - x0, y1 - y0), tuple(shadows), reach):
        top, bottom, left, right = strip
        t, b = max(0, y0 + top), min(height, y0 + bottom)
        x, r = max(0, x0 + left), min(width, x0 + right)
        if t >= b or x >= r:
            continue
        region, rows, columns = canvas[t:b, x:r], slice(t - y0 - top, b - y0 - top), x - x0 - left
        # One channel stands for all three: a grey ground stays grey.
        dark = np.rint(region[:, :, 0] * light[rows, columns : columns + r - x]).astype(np.uint8)
        for channel in range(canvas.shape[2]):  # all at once would take five times as long
            region[:, :, channel] = dark


@lru_cache(maxsize=2)  # 3 MB for a mock-up, less on a wall; the mounts of a run are often alike
def _lights(
    size: PixelSize, shadows: tuple[Shadow, ...], reach: int
) -> tuple[tuple[Strip, Floats], ...]:
    """The light that shadows leave on the four strips round a box, counted from its top left."""
    width, height = size.width, size.height
    columns, rows = np.arange(-reach, width + reach), np.arange(-reach, height + reach)
    across = [_spread(columns, s.right, width + s.right, s) for s in shadows]
    down = [_spread(rows, s.down, height + s.down, s) for s in shadows]
    within = (-reach, height + reach, -reach, width + reach)
    found = []
    for t, b, x, r in _round(Box(0, 0, width, height), within):
        light = np.ones((b - t, r - x), np.float32)
        for shadow, along, beside in zip(shadows, across, down, strict=True):
            shares = shadow.depth * beside[t + reach : b + reach]
            light *= 1 - np.outer(shares, along[x + reach : r + reach])
        found.append(((t, b, x, r), light))
    return tuple(found)


def _round(box: Box, within: Strip) -> list[Strip]:
    """The four strips round a box, as (top, bottom, left, right)."""
    top, bottom, left, right = within
    x0, y0, x1, y1 = (round(edge) for edge in (box.left, box.top, box.right, box.bottom))
    level = [(top, y0, left, right), (y1, bottom, left, right)]
    return [*level, (y0, y1, left, x0), (y0, y1, x1, right)]


def _spread(pixels: NDArray[np.intp], start: float, end: float, shadow: Shadow) -> Floats:
    """How much of a shadow from start to end falls on each pixel of a line, 0 to 1."""
    steep = shadow.blur * math.sqrt(2)
    shares = [
        (math.erf((x + 0.5 - start) / steep) - math.erf((x + 0.5 - end) / steep)) / 2
        for x in pixels.tolist()
    ]
    return np.array(shares, np.float32)
