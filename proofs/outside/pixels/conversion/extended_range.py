"""Codes with room beyond the borders of a target space, for the colour engine to work in.

The engine fills a table of 33 steps a side and draws straight lines between them. Where
colours are clipped at the border of the target, those lines cut corners: up to 2 units of
colour difference at saturated reds (measured, Display P3 to sRGB). Here the engine works in
codes that also hold light from -0.5 to 2; the clipping follows pixel by pixel, exactly.
"""

from functools import cache

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.colour.icc import Curve, Floats
from proofs.outside.pixels.colour.linear_light import CODES, light_to_codes_array
from proofs.outside.pixels.colour.matrix_models import MatrixModel, matrix_model

LOWEST_LIGHT, HIGHEST_LIGHT = -0.5, 2.0  # light
_BLACK, _SCALE = 22_500, 29_500  # code of black, and codes from there to white
_LARGER = 1.7
_SNAP = 2  # the engine's last digits: so near to white is white


def fits_extended_range(source: MatrixModel, target: MatrixModel) -> bool:
    """Return whether a source lies near enough to the target for the engine's table.

    Every colour must have light from -0.5 to 2 in the target, and the source must be less than
    1.7 times as large (by the volume of linear RGB; sRGB 1, Display P3 1.39, Adobe RGB 1.46,
    ROMM 2.70): of very wide spaces so few steps of the table lie in a print's space that the
    mean error doubles (measured), hence they go by ``matrix_route``.
    """
    if abs(np.linalg.det(source.to_xyz)) > _LARGER * abs(np.linalg.det(target.to_xyz)):
        return False
    light = np.linalg.inv(target.to_xyz) @ source.to_xyz
    lowest, highest = np.minimum(light, 0).sum(axis=1), np.maximum(light, 0).sum(axis=1)
    return bool(lowest.min() >= LOWEST_LIGHT and highest.max() <= HIGHEST_LIGHT)


def extended_codes(light: Floats) -> NDArray[np.uint16]:
    """Return the codes of linear light, held within -0.5 and 2; black is 22 500, white 52 000."""
    spaced = _both_ways(spaces.linear_to_srgb, np.clip(light, LOWEST_LIGHT, HIGHEST_LIGHT))
    return np.rint(_BLACK + _SCALE * spaced).astype(np.uint16)


@cache
def clipping_table(target: bytes, bits: int, *, times: int) -> pyvips.Image:
    """Return the table from roomy codes to codes of the target's own profile.

    Its bands are the three of the target, so many times over. Raises ``ValueError`` where the
    target is not a matrix profile.
    """
    codes = np.arange(CODES) - _BLACK
    codes = np.where(np.abs(codes - _SCALE) <= _SNAP, _SCALE, codes)
    light = np.clip(_both_ways(spaces.srgb_to_linear, codes / _SCALE), 0, 1)
    own = light_to_codes_array(light, required_matrix_model(target).curves, bits)
    return pyvips.Image.new_from_array(np.tile(own, times)[None])


def required_matrix_model(target: bytes) -> MatrixModel:
    """Return a target's profile as curves and a matrix. Raises ``ValueError`` if it is none."""
    model = matrix_model(target)
    if model is None:
        raise ValueError("only a matrix profile can be given room")
    return model


def _both_ways(curve: Curve, values: Floats) -> Floats:
    """A curve through 0, turned about it for values below."""
    return np.asarray(np.sign(values) * curve(np.abs(values)))
