"""Tone and colour by explicit matrices in floating point, for spaces too wide for a table.

This is half as fast as the colour engine's table, but exact. Of such a space, most nodes of the
table would be outside the print's space, and the mean error would double.
"""

import numpy as np
import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import linear_light
from proofs.outside.pixels.colour.cielab import ToneAdjustment
from proofs.outside.pixels.colour.matrix_models import MatrixModel
from proofs.plan.tones.tone import reflectance


def converted(
    image: pyvips.Image,
    source: MatrixModel,
    target: MatrixModel,
    tone: ToneAdjustment,
    *,
    bits: int,
) -> pyvips.Image:
    """Return a 16-bit RGB image in the target's encoding at this bit depth."""
    light = linear_light.from_codes(image, source.curves)
    if tone.black:
        darkest = reflectance(tone.black)
        light = light.linear(1 / (1 - darkest), -darkest / (1 - darkest))
    if not tone.density:
        light = light.recomb(linear_light.matrix_rows(np.linalg.inv(target.to_xyz) @ source.to_xyz))
    else:
        colours = _with_tone_curve(linear_light.to_cielab(light, source.to_xyz), tone)
        light = linear_light.from_cielab(colours, target.to_xyz)
    codes = linear_light.to_codes(light, target.curves, bits)
    return codes.copy(interpretation=vips.interpretation(3, bits))


def _with_tone_curve(colours: pyvips.Image, tone: ToneAdjustment) -> pyvips.Image:
    codes = colours[0].linear((linear_light.CODES - 1) / 100, 0.5).cast("ushort")
    table = tone.curve()(np.linspace(0, 100, linear_light.CODES)[:, None]).astype(np.float32)
    lightness = linear_light.looked_up(codes, table)
    return lightness.bandjoin(colours.extract_band(1, n=2))
