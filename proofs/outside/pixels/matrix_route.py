"""Tone and colour by explicit matrices in floating point, for spaces too wide for a table.

Half the speed of the baked profile, and exact: between the nodes of a table, much of which
lies outside the print's space, very wide sources lose up to a colour difference of one.
"""

import numpy as np
import pyvips

from proofs.outside.pixels.icc import WHITE, Floats, MatrixModel
from proofs.outside.pixels.lightness import Tone

_CODES = 65536
_D65 = (95.0470, 100.0, 108.8827)  # the white that the library's own Lab is made for


def through_matrices(
    image: pyvips.Image, source: MatrixModel, target: MatrixModel, tone: Tone, *, bits: int
) -> pyvips.Image:
    """Return a 16-bit RGB picture in the target's encoding, ``bits`` deep."""
    light = image.copy(interpretation="multiband").maplut(_decoding(source))
    if tone.is_plain:
        light = light.recomb(_rows(np.linalg.inv(target.to_xyz) @ source.to_xyz))
    else:
        light = _toned_light(light, source, target, tone)
    # Looked up by the square root of light: its steps are as fine near black as the codes are.
    root = light.clamp(min=0, max=1).math2_const("pow", [0.5])
    codes = root.linear(_CODES - 1, 0.5).cast("ushort").maplut(_encoding(target, bits))
    return codes.copy(interpretation="srgb" if bits == 8 else "rgb16")


def _toned_light(
    light: pyvips.Image, source: MatrixModel, target: MatrixModel, tone: Tone
) -> pyvips.Image:
    to_d65 = np.diag(np.array(_D65) / WHITE)
    lab = (
        light.recomb(_rows(to_d65 @ source.to_xyz))
        .copy(interpretation="xyz")
        .XYZ2Lab(temp=list(_D65))
    )
    lightness = _through_curve(lab[0], tone)
    lab = lightness.bandjoin(lab.extract_band(1, n=2)).copy(interpretation="lab")
    back = np.linalg.inv(target.to_xyz) @ np.linalg.inv(to_d65)
    return lab.Lab2XYZ(temp=list(_D65)).recomb(_rows(back))


def _through_curve(lightness: pyvips.Image, tone: Tone) -> pyvips.Image:
    codes = lightness.linear((_CODES - 1) / 100, 0.5).cast("ushort")
    table = tone.curve()(np.linspace(0, 100, _CODES)).astype(np.float32)
    return codes.maplut(pyvips.Image.new_from_array(table.reshape(1, _CODES, 1)))


def _decoding(source: MatrixModel) -> pyvips.Image:
    codes = np.repeat(np.linspace(0, 1, _CODES)[:, None], 3, axis=1)
    return pyvips.Image.new_from_array(source.light(codes).astype(np.float32)[None])


def _encoding(target: MatrixModel, bits: int) -> pyvips.Image:
    most = 2**bits - 1
    codes = np.linspace(0, 1, 4 * _CODES)
    light = np.linspace(0, 1, _CODES) ** 2
    table = np.stack([np.interp(light, curve(codes), codes) for curve in target.curves], axis=-1)
    kind = np.uint8 if bits == 8 else np.uint16
    return pyvips.Image.new_from_array(np.rint(table * most).astype(kind)[None])


def _rows(matrix: Floats) -> list[list[float]]:
    return [[float(v) for v in row] for row in matrix]
