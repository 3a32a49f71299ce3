"""Output sharpening: compensates in advance for the softening by ink and paper."""

from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache, reduce

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.colour.matrix_models import matrix_model
from proofs.outside.pixels.resize.separable_filters import (
    FilterBlock,
    Kernel,
    Singles,
    filter_blocks,
    filter_rows,
)
from proofs.records.papers import Sharpening

# Common practice, no source: half the difference from a blurred copy makes a print look crisp, no
# more; the whole difference is as much as a portrait can take.
AMOUNTS = {Sharpening.OFF: 0.0, Sharpening.LOW: 0.5, Sharpening.STANDARD: 1.0}
_PPI_PER_RADIUS = 200  # a radius of 1.5 pixels at 300 ppi: common practice, no source
_THRESHOLD = np.float32(65535 * 2.5 / 255)  # smaller differences are noise or smooth tone
_WHITE = np.float32(65535)
_SUPPORT = 3  # standard deviations: beyond them a blur adds less than one code


def sharpened(
    codes: NDArray[np.uint16], profile: bytes, strength: Sharpening, ppi: int
) -> NDArray[np.uint16]:
    """Return the same array of codes, sharpened in lightness.

    It is changed in place: a second copy of a large print would not fit in memory. All channels
    of a pixel change by the same amount, so hues stay. Flat areas and differences below 2.5 codes
    of 255 do not change; the lines along edges approach black and white but never reach them.
    """
    amount = np.float32(AMOUNTS[strength])
    if not amount:
        return codes
    height, width, bands = codes.shape
    weights = _luminance_weights(profile, bands)
    tones = np.empty((height, width), dtype=np.uint16)
    blur = _gaussian(ppi / _PPI_PER_RADIUS)
    columns = filter_blocks(width, width, blur)
    strips = filter_blocks(height, height, blur)

    def weigh(strip: FilterBlock) -> None:
        rows = slice(strip.first, strip.last)
        tones[rows] = codes[rows] @ weights + np.float32(0.5)

    def sharpen(strip: FilterBlock) -> None:
        rows = slice(strip.first, strip.last)
        near = tones[strip.source_first : strip.source_last].astype(np.float32)
        blurred = np.empty((strip.last - strip.first, width), np.float32)
        filter_rows(strip.weights.T @ near, columns, blurred)
        _add(codes[rows], tones[rows] - blurred, amount)

    with ThreadPoolExecutor(pyvips.concurrency_get()) as pool:
        list(pool.map(weigh, strips))
        list(pool.map(sharpen, strips))
    return codes


def _add(codes: NDArray[np.uint16], difference: Singles, amount: np.float32) -> None:
    """Change the pixels whose tone differs enough from its surroundings, in place."""
    change = (difference - np.clip(difference, -_THRESHOLD, _THRESHOLD)) * amount
    channels = [codes[..., n].astype(np.float32) for n in range(codes.shape[-1])]
    # How far the channel nearest to white, or to black, can still change.
    room = np.where(change > 0, _WHITE - reduce(np.maximum, channels), reduce(np.minimum, channels))
    change *= room / (room + np.abs(change) + np.float32(1e-6))
    change += np.float32(0.5)
    for n, channel in enumerate(channels):
        codes[..., n] = channel + change


@lru_cache  # the same kernel each time, so that its filters are found again
def _gaussian(radius: float) -> Kernel:
    """A Gaussian whose standard deviation is the radius, 0 beyond its support.

    Its far tail would be too small for single precision, where products take thirty times as long.
    """
    reach = _SUPPORT * radius
    return Kernel(
        lambda x: np.where(np.abs(x) < reach, np.exp(-((x / radius) ** 2) / 2), 0.0), reach
    )


def _luminance_weights(profile: bytes, bands: int) -> Singles:
    """How much each channel contributes to lightness: the Y of its primary."""
    if bands == 1:
        return np.ones(1, dtype=np.float32)
    model = matrix_model(profile)
    y = np.clip(model.to_xyz[1] if model else spaces.rgb_to_xyz(spaces.SRGB)[1], 0, None)
    return np.asarray(y / y.sum(), dtype=np.float32)
