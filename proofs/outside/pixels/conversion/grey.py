"""Tone and colour of one-channel images: a table of all 65 536 codes, exact and neutral."""

import numpy as np
import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import cielab, linear_light
from proofs.outside.pixels.colour.icc import Floats
from proofs.outside.pixels.colour.matrix_models import (
    equal_channels_are_neutral,
    matrix_model,
    required_matrix_model,
)
from proofs.outside.pixels.colour.output_space import OutputSpace
from proofs.outside.pixels.colour.pixel_cielab import cielab_of_curve, cielab_of_grey_codes


def converted(
    image: pyvips.Image, profile: bytes, target: OutputSpace, tone: cielab.ToneAdjustment
) -> pyvips.Image:
    """Return a one-channel 16-bit image in the target's space and bit depth."""
    return _looked_up(image, cielab.adjusted(cielab_of_grey_codes(profile), tone), target)


def lightness_to_codes(image: pyvips.Image, target: OutputSpace) -> pyvips.Image:
    """Return one channel of L*, 65535 for 100, as greys in the target's space and bit depth."""
    colours = np.zeros((linear_light.CODES, 3))
    colours[:, 0] = np.linspace(0, 100, linear_light.CODES)
    return _looked_up(image, colours, target)


def with_exact_greys(
    codes: pyvips.Image,
    image: pyvips.Image,
    profile: bytes,
    target: OutputSpace,
    tone: cielab.ToneAdjustment,
) -> pyvips.Image:
    """Return ``codes``, a converted RGB image, with its greys taken from a table instead.

    Sums in single precision can put two neighbouring tones in the wrong order.
    """
    model = matrix_model(profile)
    neutral = equal_channels_are_neutral(profile) and equal_channels_are_neutral(target.profile)
    if model is None or not neutral:
        return codes
    colours = cielab_of_curve(model.curves[0])
    red, green, blue = image.copy(interpretation="multiband").bandsplit()
    is_grey = (red == green) & (green == blue)
    return is_grey.ifthenelse(_looked_up(red, cielab.adjusted(colours, tone), target), codes)


def _looked_up(image: pyvips.Image, colours: Floats, target: OutputSpace) -> pyvips.Image:
    """An image whose code n becomes the colour in row n."""
    neutral = equal_channels_are_neutral(target.profile)
    table = _matrix_table(colours, target) if neutral else _engine_table(colours, target)
    codes = image.copy(interpretation="multiband").maplut(table)
    return codes.copy(interpretation=vips.interpretation(codes.bands, target.bits))


def _matrix_table(colours: Floats, target: OutputSpace) -> pyvips.Image:
    curves = required_matrix_model(target.profile).curves
    light = np.clip(cielab.to_xyz(colours)[:, 1], 0, 1)
    codes = linear_light.to_code_array(light, curves[:1], target.bits)
    return pyvips.Image.new_from_array(np.repeat(codes[None], 3, axis=2))


def _engine_table(colours: Floats, target: OutputSpace) -> pyvips.Image:
    table = pyvips.Image.new_from_array(colours.astype(np.float32)[None], interpretation="lab")
    return table.icc_export(
        output_profile=vips.profile_file(target.profile),
        intent=target.intent,
        black_point_compensation=target.black_point_compensation,
        depth=target.bits,
    )
