"""What the strips along a side of a picture are made of: lines of codes, and their colours.

The lines of a side run parallel to it, from the edge inwards: line, sample, channel, in codes of
8 bits.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Codes = NDArray[np.float32]

SAME = 4.0  # codes: neighbouring lines of one strip differ by less
THIN = 3  # lines: as many as enlarging makes of an edge, or of a line of one pixel
PARTS = 8  # of a side, along which a border has one colour
GROUND = 8  # lines from the edge: beyond any hairline, and still like the picture at the edge


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


def median_colour(lines: Codes) -> Codes:
    """Return the colour of most samples of some lines, channel by channel."""
    return np.asarray(np.median(lines, axis=(0, 1)))


def plain_colour(colour: Codes) -> tuple[float, ...]:
    """Return a colour as plain numbers."""
    return tuple(float(code) for code in colour)


def colours_along(lines: Codes) -> Codes:
    """Return the colours of the parts of some lines along a side, less their mean."""
    parts = np.array_split(lines, min(PARTS, lines.shape[1]), axis=1)
    colours = np.stack([median_colour(part) for part in parts])
    return np.asarray(colours - colours.mean(axis=0))
