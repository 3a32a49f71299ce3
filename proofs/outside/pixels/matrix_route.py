"""Tone and colour by explicit matrices in floating point, for spaces too wide for a table.

Half the speed of the engine's table, and exact: most of the steps of that table would lie outside
the print's space there, and the mean error would double.
"""

import numpy as np
import pyvips

from proofs.outside.pixels.curves import MatrixModel
from proofs.outside.pixels.light import (
    CODES,
    codes_of,
    lab_from_light,
    light_from_lab,
    light_of,
    rows,
)
from proofs.outside.pixels.lightness import Tone
from proofs.plan.tones.tone import reflectance


def through_matrices(
    image: pyvips.Image, source: MatrixModel, target: MatrixModel, tone: Tone, *, bits: int
) -> pyvips.Image:
    """Return a 16-bit RGB picture in the target's encoding, ``bits`` deep."""
    light = light_of(image, source.curves)
    if tone.black:
        darkest = reflectance(tone.black)
        light = light.linear(1 / (1 - darkest), -darkest / (1 - darkest))
    if not tone.density:
        light = light.recomb(rows(np.linalg.inv(target.to_xyz) @ source.to_xyz))
    else:
        lab = _toned(lab_from_light(light, source.to_xyz), tone)
        light = light_from_lab(lab, target.to_xyz)
    codes = codes_of(light, target.curves, bits)
    return codes.copy(interpretation="srgb" if bits == 8 else "rgb16")


def _toned(lab: pyvips.Image, tone: Tone) -> pyvips.Image:
    codes = lab[0].linear((CODES - 1) / 100, 0.5).cast("ushort")
    table = tone.curve()(np.linspace(0, 100, CODES)).astype(np.float32)
    lightness = codes.maplut(pyvips.Image.new_from_array(table[None, :, None]))
    return lightness.bandjoin(lab.extract_band(1, n=2))
