"""The part of a picture that best represents its tones, for a test strip."""

import math

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.tone_figures import BARE_WHITE, Lightness

Mask = NDArray[np.bool_]
Ends = tuple[float, float]  # what is kept clear at the near end, and at the far one

_MIDTONES = (35.0, 65.0)
_MIDDLE = np.float32(50)  # L*; squares of differences from it are exact enough in single precision
_TEXTURE = 0.6  # standard deviation of L* that an eye still sees as texture; common practice
_TOLERANCE = 5.0  # L* from the lightest textured highlight, or the darkest shadow
_ENOUGH = 0.03  # share of a window: as much of a tone as can be judged; more is no better
_EXTREMES = (0.5, 99.5)  # per cent of the textured tones: beyond are specks
_CENTRE_WEIGHT = 0.02  # how little a position near the middle counts next to tones


def representative_centre(
    lightness: Lightness, window: tuple[float, float], *, edges: tuple[Ends, Ends], black: float
) -> tuple[float, float]:
    """Return the centre of the part of a picture that shows most of its tones.

    It contains the lightest textured highlight, the darkest textured shadow and midtones, as
    many of the three as one window can; among equals it is the one nearest to the middle.
    ``window`` (its width and height) and ``edges`` (the distances to keep from left and right, and
    from top and bottom) are shares of the picture; so is the centre, from the left and the top.
    """
    height, width = lightness.shape
    wide, high = _in_pixels(window[0], width), _in_pixels(window[1], height)
    rows = _off_edges(height - high + 1, edges[1], height)
    columns = _off_edges(width - wide + 1, edges[0], width)
    enough = max(1, round(_ENOUGH * wide * high))
    found = np.zeros((rows.stop - rows.start, columns.stop - columns.start), np.int32)
    for tone in _tone_masks(lightness, black):
        found += np.minimum(_window_counts(tone, wide, high)[rows, columns], enough)
    off_middle_x = (np.arange(columns.start, columns.stop) - (width - wide) / 2) / width
    off_middle_y = (np.arange(rows.start, rows.stop) - (height - high) / 2) / height
    distance = np.sqrt(off_middle_y[:, None] ** 2 + off_middle_x**2)
    score = found - enough * _CENTRE_WEIGHT * distance
    row, column = np.unravel_index(int(np.argmax(score)), score.shape)
    left, top = columns.start + int(column), rows.start + int(row)
    return (left + wide / 2) / width, (top + high / 2) / height


def _tone_masks(lightness: Lightness, black: float) -> tuple[Mask, ...]:
    """Where the lightest textured highlight, the darkest textured shadow and midtones are."""
    is_printable = (lightness > black) & (lightness < BARE_WHITE)
    textured = _is_textured(lightness) & is_printable
    midtones = (lightness >= _MIDTONES[0]) & (lightness <= _MIDTONES[1])
    if not textured.any():
        return (midtones,)
    low, high = np.percentile(lightness[textured], _EXTREMES)
    highlight = textured & (lightness >= high - _TOLERANCE)
    shadow = textured & (lightness <= low + _TOLERANCE)
    return highlight, shadow, midtones


def _is_textured(lightness: Lightness) -> Mask:
    """Where L* varies visibly in the three by three pixels around each."""
    around = np.pad(lightness - _MIDDLE, 1, mode="edge")
    sums, squares = _sums_of_nine(around), _sums_of_nine(around * around)
    return np.asarray(9 * squares - sums * sums > (9 * _TEXTURE) ** 2)


def _sums_of_nine(values: Lightness) -> Lightness:
    columns = values[:-2] + values[1:-1] + values[2:]
    return np.asarray(columns[:, :-2] + columns[:, 1:-1] + columns[:, 2:])


def _window_counts(mask: Mask, wide: int, high: int) -> NDArray[np.int32]:
    """How much of a mask is in every window of this size, by its top left pixel."""
    below = mask.cumsum(axis=0, dtype=np.int32)
    below[high:] -= below[:-high].copy()
    beside = below[high - 1 :].cumsum(axis=1, dtype=np.int32)
    counts = beside[:, wide - 1 :].copy()
    counts[:, 1:] -= beside[:, :-wide]
    return counts


def _in_pixels(share: float, pixels: int) -> int:
    return max(1, min(pixels, round(share * pixels)))


def _off_edges(positions: int, ends: Ends, pixels: int) -> slice:
    """Which positions of a window keep away from the edges; if none can, the one between them."""
    near, far = (end * pixels for end in ends)
    if near + far > positions - 1:
        near *= (positions - 1) / (near + far)
        far = positions - 1 - near
    return slice(math.floor(near), math.ceil(positions - 1 - far) + 1)
