"""Target spaces with room beyond their borders, for the colour engine to work in.

The engine fills a table of 33 steps a side and draws straight lines between them. Where
colours are clipped at the border of the target, those lines cut corners: up to 2 units of
colour difference at saturated reds (measured, Display P3 to sRGB). Here the engine works in
a space that also holds light from -0.5 to 2; the clipping follows pixel by pixel, exactly.
"""

import struct
from functools import cache

import numpy as np
import pyvips

from proofs.outside.pixels import curves, icc, spaces
from proofs.outside.pixels.curves import MatrixModel
from proofs.outside.pixels.icc import Curve, Floats
from proofs.outside.pixels.light import CODES, codes_table

# Light. Black and white lie at 1/5 and 3/5 of the way, where both the steps of the curve and the
# 16-bit numbers in which the engine looks them up have a step: black comes out as black.
LEAST, MOST = -0.5, 2.0
_BLACK, _SCALE = 22_500, 29_500  # code of black, and codes from there to white
_LARGER = 1.7
_SNAP = 2  # the engine's last digits: so near to white is white
_STEPS = 4096
_PCS_XYZ = 1 + 32767 / 32768  # what 1.0 stands for among connection XYZ (ICC.1:2022, 6.3.4.2)


def reaches(source: MatrixModel, target: MatrixModel) -> bool:
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
    return bool(lowest.min() >= LEAST and highest.max() <= MOST)


@cache
def roomy_profile(profile: bytes) -> bytes:
    """Return a profile of the same primaries whose codes also hold light beyond 0 and 1."""
    model = _model(profile)
    across = MOST - LEAST
    matrix = np.linalg.inv(model.to_xyz) * (_PCS_XYZ / across)
    numbers = [*matrix.ravel(), *np.full(3, -LEAST / across)]
    light = np.linspace(LEAST, MOST, _STEPS)
    codes = np.rint(_BLACK + _SCALE * _both_ways(spaces.srgb_codes, light)).astype(">u2")
    curve = b"curv\0\0\0\0" + struct.pack(">I", _STEPS) + codes.tobytes()
    straight = b"curv\0\0\0\0" + struct.pack(">I", 0)
    place = 32 + 3 * len(straight)
    tag = b"mBA \0\0\0\0\3\3\0\0"
    tag += struct.pack(">5I", 32, place, place + 48, 0, 0) + 3 * straight
    tag += struct.pack(">12i", *(round(float(v) * 65536) for v in numbers)) + 3 * curve
    return icc.built(icc.Header("spac", "RGB ", "XYZ ", 4), "With room", {"B2A0": tag, "B2A1": tag})


@cache
def clipping_table(profile: bytes, bits: int) -> pyvips.Image:
    """Return the table from codes of the roomy profile to codes of the profile itself."""
    model = _model(profile)
    codes = np.arange(CODES) - _BLACK
    codes = np.where(np.abs(codes - _SCALE) <= _SNAP, _SCALE, codes)
    light = np.clip(_both_ways(spaces.srgb_light, codes / _SCALE), 0, 1)
    return pyvips.Image.new_from_array(codes_table(light, model.curves, bits)[None])


def _model(profile: bytes) -> MatrixModel:
    model = curves.matrix_model(profile)
    if model is None:
        raise ValueError("only a matrix profile can be given room")
    return model


def _both_ways(curve: Curve, values: Floats) -> Floats:
    """A curve through 0, turned about it for values below."""
    return np.asarray(np.sign(values) * curve(np.abs(values)))
