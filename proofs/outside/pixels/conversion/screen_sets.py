"""Several pictures brought to the screen together: small ones cost more to prepare than to do."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import screen_pictures

_ROW = 1024  # pixels of the sheet on which they lie, one after the other

Codes = NDArray[np.uint8]


def screen_sets(
    bases: Sequence[ProfiledImage], densities: Sequence[float]
) -> list[tuple[Codes, ...]]:
    """Return, for each 16-bit image, what ``screen_pictures`` returns for it.

    Those of one colour space are converted in one pass, pixel by pixel, so each is the same
    whichever others are with it. A pass of four densities takes 25 ms to prepare (measured).
    """
    alike: dict[tuple[bytes, float, int], list[int]] = {}
    for n, base in enumerate(bases):
        alike.setdefault((base.profile, base.black, base.image.bands), []).append(n)
    found: dict[int, tuple[Codes, ...]] = {}
    for places in alike.values():
        made = _in_one_pass([bases[n] for n in places], densities)
        found.update(zip(places, made, strict=True))
    return [found[n] for n in range(len(bases))]


def _in_one_pass(
    bases: Sequence[ProfiledImage], densities: Sequence[float]
) -> list[tuple[Codes, ...]]:
    """The sets of images of one colour space."""
    first, bands = bases[0], bases[0].image.bands
    pixels = [base.image.numpy().reshape(-1, bands) for base in bases]
    ends = np.cumsum([0, *map(len, pixels)])
    filling = np.zeros((-ends[-1] % _ROW, bands), np.uint16)
    sheet = np.concatenate([*pixels, filling]).reshape(-1, _ROW, bands)
    together = ProfiledImage(vips.image_of_codes(sheet), first.profile, first.black)
    steps = [codes.reshape(-1, 3) for codes in screen_pictures(together, densities)]
    return [
        tuple(step[start:end].reshape(base.image.height, base.image.width, 3) for step in steps)
        for base, (start, end) in zip(bases, pairwise(ends.tolist()), strict=True)
    ]
