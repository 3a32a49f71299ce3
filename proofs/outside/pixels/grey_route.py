"""Tone and colour of one-channel pictures: a table of all 65 536 tones, exact and neutral."""

import numpy as np
import pyvips

from proofs.outside.pixels import icc, library
from proofs.outside.pixels.icc import WHITE, Floats
from proofs.outside.pixels.light import CODES, codes_table
from proofs.outside.pixels.lightness import Tone, lab_of, toned, xyz_of
from proofs.outside.pixels.targets import Target


def through_grey(image: pyvips.Image, profile: bytes, target: Target, tone: Tone) -> pyvips.Image:
    """Return a one-channel 16-bit picture in the target's space and depth."""
    lab = toned(lab_of_tones(profile), tone)
    table = _matrix_table(lab, target) if _neutral_by_rule(target.profile) else None
    tones = _engine_table(lab, target) if table is None else table
    codes = image.copy(interpretation="multiband").maplut(tones)
    wide = target.bits == 16
    name = {1: "grey16" if wide else "b-w", 3: "rgb16" if wide else "srgb", 4: "cmyk"}[codes.bands]
    return codes.copy(interpretation=name)


def lab_of_tones(profile: bytes) -> Floats:
    """Return the Lab of all 65 536 codes of a grey profile."""
    curve = icc.grey_curve(profile)
    if curve is not None:
        return lab_of(curve(np.linspace(0, 1, CODES))[:, None] * WHITE)
    codes = np.arange(CODES, dtype=np.uint16)[None, :, None]
    ramp = pyvips.Image.new_from_array(codes, interpretation="grey16")
    lab = ramp.icc_import(input_profile=library.profile_file(profile), intent="relative", pcs="lab")
    return np.asarray(lab.numpy()[0], dtype=np.float64)


def _neutral_by_rule(profile: bytes) -> bool:
    """Whether equal channels are neutral: so in matrix profiles whose three curves agree."""
    model = icc.matrix_model(profile)
    if model is None:
        return False
    codes = np.linspace(0, 1, 256)
    first, *others = [curve(codes) for curve in model.curves]
    return all(np.array_equal(first, other) for other in others)


def _matrix_table(lab: Floats, target: Target) -> pyvips.Image:
    model = icc.matrix_model(target.profile)
    assert model is not None
    light = np.clip(xyz_of(lab)[:, 1], 0, 1)
    one = codes_table(light, model.curves[:1], target.bits)
    return pyvips.Image.new_from_array(np.repeat(one[None], 3, axis=2))


def _engine_table(lab: Floats, target: Target) -> pyvips.Image:
    tones = pyvips.Image.new_from_array(lab.astype(np.float32)[None], interpretation="lab")
    return tones.icc_export(
        output_profile=library.profile_file(target.profile),
        intent=target.intent,
        black_point_compensation=target.black_point_compensation,
        depth=target.bits,
    )
