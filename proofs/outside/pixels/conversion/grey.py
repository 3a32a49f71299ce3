"""Tone and colour of one-channel pictures: a table of all 65 536 tones, exact and neutral."""

import numpy as np
import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.cielab import (
    ToneAdjustment,
    adjusted,
    cielab_to_xyz,
    xyz_to_cielab,
)
from proofs.outside.pixels.colour.icc import D50_XYZ, Floats
from proofs.outside.pixels.colour.linear_light import CODES, light_to_codes_array
from proofs.outside.pixels.colour.matrix_models import grey_curve, matrix_model
from proofs.outside.pixels.colour.output_space import OutputSpace


def convert_grey(
    image: pyvips.Image, profile: bytes, target: OutputSpace, tone: ToneAdjustment
) -> pyvips.Image:
    """Return a one-channel 16-bit picture in the target's space and depth."""
    return _looked_up(image, adjusted(cielab_of_grey_codes(profile), tone), target)


def lightness_to_codes(image: pyvips.Image, target: OutputSpace) -> pyvips.Image:
    """Return one channel of L*, 65535 for 100, as greys in the target's space and depth."""
    lab = np.zeros((CODES, 3))
    lab[:, 0] = np.linspace(0, 100, CODES)
    return _looked_up(image, lab, target)


def with_exact_greys(
    codes: pyvips.Image,
    image: pyvips.Image,
    profile: bytes,
    target: OutputSpace,
    tone: ToneAdjustment,
) -> pyvips.Image:
    """Return ``codes``, what an RGB picture became, with its greys taken from a table.

    Sums in single precision may turn two neighbouring tones round by one code of 16 bits.
    """
    model = matrix_model(profile)
    if model is None or not (
        equal_channels_are_neutral(profile) and equal_channels_are_neutral(target.profile)
    ):
        return codes
    lab = xyz_to_cielab(model.curves[0](np.linspace(0, 1, CODES))[:, None] * D50_XYZ)
    red, green, blue = image.copy(interpretation="multiband").bandsplit()
    is_grey = (red == green) & (green == blue)
    return is_grey.ifthenelse(_looked_up(red, adjusted(lab, tone), target), codes)


def _looked_up(image: pyvips.Image, lab: Floats, target: OutputSpace) -> pyvips.Image:
    by_rule = equal_channels_are_neutral(target.profile)
    tones = _matrix_table(lab, target) if by_rule else _engine_table(lab, target)
    codes = image.copy(interpretation="multiband").maplut(tones)
    return codes.copy(interpretation=interpretation(codes.bands, target.bits))


def interpretation(bands: int, bits: int) -> str:
    """Return what the library calls a picture of so many channels and bits."""
    wide = bits == 16
    return {1: "grey16" if wide else "b-w", 3: "rgb16" if wide else "srgb", 4: "cmyk"}[bands]


def cielab_of_grey_codes(profile: bytes) -> Floats:
    """Return the Lab of all 65 536 codes of a grey profile."""
    curve = grey_curve(profile)
    if curve is not None:
        return xyz_to_cielab(curve(np.linspace(0, 1, CODES))[:, None] * D50_XYZ)
    codes = np.arange(CODES, dtype=np.uint16)[None, :, None]
    ramp = pyvips.Image.new_from_array(codes, interpretation="grey16")
    lab = ramp.icc_import(input_profile=vips.profile_file(profile), intent="relative", pcs="lab")
    return np.asarray(lab.numpy()[0], dtype=np.float64)


def equal_channels_are_neutral(profile: bytes) -> bool:
    """Whether equal channels are neutral: so in matrix profiles whose three curves agree."""
    model = matrix_model(profile)
    if model is None:
        return False
    codes = np.linspace(0, 1, 256)
    first, *others = [curve(codes) for curve in model.curves]
    return all(np.array_equal(first, other) for other in others)


def _matrix_table(lab: Floats, target: OutputSpace) -> pyvips.Image:
    model = matrix_model(target.profile)
    assert model is not None
    light = np.clip(cielab_to_xyz(lab)[:, 1], 0, 1)
    one = light_to_codes_array(light, model.curves[:1], target.bits)
    return pyvips.Image.new_from_array(np.repeat(one[None], 3, axis=2))


def _engine_table(lab: Floats, target: OutputSpace) -> pyvips.Image:
    tones = pyvips.Image.new_from_array(lab.astype(np.float32)[None], interpretation="lab")
    return tones.icc_export(
        output_profile=vips.profile_file(target.profile),
        intent=target.intent,
        black_point_compensation=target.black_point_compensation,
        depth=target.bits,
    )
