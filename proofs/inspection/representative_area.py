"""The part of a picture that best represents its tones, for a test strip."""

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.tone_figures import BARE_WHITE, Lightness

Floats = NDArray[np.float64]
Ends = tuple[float, float]  # what is kept clear at the near end, and at the far one

_MIDTONES = (35.0, 65.0)
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
    tones = _tone_masks(lightness, black)
    shares = (np.minimum(_window_means(tone, wide, high) / _ENOUGH, 1) for tone in tones)
    found = np.asarray(sum(shares, np.float64(0)))
    rows, columns = found.shape
    across = _off_edges(columns, edges[0], width)
    down = _off_edges(rows, edges[1], height)
    distance = np.hypot(
        (np.arange(columns) - (columns - 1) / 2)[None, :] / width,
        (np.arange(rows) - (rows - 1) / 2)[:, None] / height,
    )
    allowed = down[:, None] & across[None, :]
    score = np.where(allowed, found - _CENTRE_WEIGHT * distance, -np.inf)
    top, left = np.unravel_index(int(np.argmax(score)), score.shape)
    return (float(left) + wide / 2) / width, (float(top) + high / 2) / height


def _tone_masks(lightness: Lightness, black: float) -> tuple[NDArray[np.bool_], ...]:
    """Where the lightest textured highlight, the darkest textured shadow and midtones are."""
    is_printable = (lightness > black) & (lightness < BARE_WHITE)
    textured = (_local_deviation(lightness) > _TEXTURE) & is_printable
    midtones = (lightness >= _MIDTONES[0]) & (lightness <= _MIDTONES[1])
    if not textured.any():
        return (midtones,)
    low, high = np.percentile(lightness[textured], _EXTREMES)
    highlight = textured & (lightness >= high - _TOLERANCE)
    shadow = textured & (lightness <= low + _TOLERANCE)
    return highlight, shadow, midtones


def _local_deviation(lightness: Lightness) -> Floats:
    """The standard deviation of L* in the three by three pixels around each."""
    around = np.pad(lightness.astype(np.float64), 1, mode="edge")
    mean, mean_square = _window_means(around, 3, 3), _window_means(around * around, 3, 3)
    return np.asarray(np.sqrt(np.maximum(mean_square - mean * mean, 0)))


def _window_means(values: NDArray[np.generic], wide: int, high: int) -> Floats:
    """The mean of every window of this size, by the position of its top left pixel."""
    sums = np.zeros((values.shape[0] + 1, values.shape[1] + 1))
    sums[1:, 1:] = values.astype(np.float64).cumsum(axis=0).cumsum(axis=1)
    windows = sums[high:, wide:] - sums[:-high, wide:] - sums[high:, :-wide] + sums[:-high, :-wide]
    return np.asarray(windows / (wide * high))


def _in_pixels(share: float, pixels: int) -> int:
    return max(1, min(pixels, round(share * pixels)))


def _off_edges(positions: int, ends: Ends, pixels: int) -> NDArray[np.bool_]:
    """Which positions of a window keep away from the edges; if none can, the one between them."""
    near, far = (end * pixels for end in ends)
    if near + far > positions - 1:
        near *= (positions - 1) / (near + far)
        far = positions - 1 - near
    at = np.arange(positions)
    return np.asarray((at >= np.floor(near)) & (at <= np.ceil(positions - 1 - far)))
