"""Codes that reach beyond the gamut of a target space, for the colour engine to work in.

The engine interpolates linearly in a table of 33 steps per axis. If the table held colours already
clipped at the target's gamut boundary, that would cut corners, by up to 2 units of colour
difference at saturated reds (measured, Display P3 to sRGB). So the engine works in codes for light
from -0.5 to 2, and each pixel is clipped afterwards, exactly.
"""

from functools import cache

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels.colour import linear_light, spaces
from proofs.outside.pixels.colour.icc import Curve, Floats
from proofs.outside.pixels.colour.matrix_models import MatrixModel, required_matrix_model

LOWEST_LIGHT, HIGHEST_LIGHT = -0.5, 2.0
_BLACK, _SCALE = 22_500, 29_500  # the code of black, and the number of codes from there to white
_LARGEST_GAMUT_RATIO = 1.7
_SNAP = 2  # codes this close to white become white, because the engine's last digits vary


def fits(source: MatrixModel, target: MatrixModel) -> bool:
    """Return whether a source's gamut is near enough to the target's for the engine's table.

    Each colour must have light from -0.5 to 2 in the target, and the source must be at most 1.7
    times as large (by the volume of linear RGB; sRGB 1, Display P3 1.39, Adobe RGB 1.46, ROMM
    2.70). Of a wider space, too few of the table's steps are within a print's space: the mean error
    doubles (measured), so such a space is converted by matrix.
    """
    largest = _LARGEST_GAMUT_RATIO * abs(np.linalg.det(target.to_xyz))
    if abs(np.linalg.det(source.to_xyz)) > largest:
        return False
    light = np.linalg.inv(target.to_xyz) @ source.to_xyz
    lowest, highest = np.minimum(light, 0).sum(axis=1), np.maximum(light, 0).sum(axis=1)
    return bool(lowest.min() >= LOWEST_LIGHT and highest.max() <= HIGHEST_LIGHT)


def codes_of(light: Floats) -> NDArray[np.uint16]:
    """Return the codes of linear light, clipped to -0.5 and 2; black is 22 500, white 52 000."""
    limited = np.clip(light, LOWEST_LIGHT, HIGHEST_LIGHT)
    return np.rint(_BLACK + _SCALE * _mirrored(spaces.linear_to_srgb, limited)).astype(np.uint16)


@cache
def clipping_table(target: bytes, bits: int, *, times: int) -> pyvips.Image:
    """Return the table from extended codes to codes of the target's own profile.

    It has the target's three bands, repeated ``times`` times, or one for all of them if they are
    equal: a small table stays in the processor's cache. Raises ``ValueError`` if the target is not
    a matrix profile.
    """
    codes = np.arange(linear_light.CODES) - _BLACK
    codes = np.where(np.abs(codes - _SCALE) <= _SNAP, _SCALE, codes)
    light = np.clip(_mirrored(spaces.srgb_to_linear, codes / _SCALE), 0, 1)
    own = linear_light.to_code_array(light, required_matrix_model(target).curves, bits)
    is_one = (own == own[:, :1]).all()
    return pyvips.Image.new_from_array((own[:, :1] if is_one else np.tile(own, times))[None])


def _mirrored(curve: Curve, values: Floats) -> Floats:
    """A curve through 0, extended to negative values by point symmetry."""
    return np.asarray(np.sign(values) * curve(np.abs(values)))
