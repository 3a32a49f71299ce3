"""From the base to the lab's colour space in one pass, the tone curve included."""

from functools import cache

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import icc, library, spaces
from proofs.outside.pixels.base import Base
from proofs.outside.pixels.grey_route import through_grey
from proofs.outside.pixels.lightness import Tone
from proofs.outside.pixels.matrix_route import through_matrices
from proofs.outside.pixels.resampling import resampled, rounded
from proofs.outside.pixels.targets import SCREEN, Target, lab_profile, target_of
from proofs.outside.pixels.tone_profile import baked
from proofs.records.labs import Lab

__all__ = ["lab_profile", "screen_image", "variant_image"]

_CODES = 65536
_STEEP = 1e-4  # light at code 1/255; below it a curve starts so flat that a table misses it


def variant_image(base: Base, lab: Lab, density: float) -> pyvips.Image:
    """Return the base at another density in the lab's colour space, ``lab.bits`` deep.

    The curve acts on the source's own lightness, before colours are fitted into the lab's
    space. Raises ``ValueError`` outside -0.30 to +0.60 D, ``ProfileError`` for a bad profile.
    """
    return converted(base, target_of(lab), density)


def screen_image(base: Base, density: float, size: PixelSize) -> NDArray[np.uint8]:
    """Return the base at a density as an array of 8-bit sRGB, reduced to ``size``."""
    small = rounded(resampled(base.image, size))
    smaller = Base(small, base.profile, base.black)
    pixels: NDArray[np.uint8] = converted(smaller, SCREEN, density).numpy()
    return pixels


def converted(base: Base, target: Target, density: float) -> pyvips.Image:
    """Return the base in the target's space with the tone curve applied."""
    library.ready()
    tone = Tone(density, base.black if target.deepens else 0.0)
    if tone.is_plain and same_space(base.profile, target.profile):
        return in_depth(base.image, target.bits)
    if base.image.bands == 1:
        return through_grey(base.image, base.profile, target, tone)
    models = icc.matrix_model(base.profile), icc.matrix_model(target.profile)
    if models[0] and models[1] and target.intent != "absolute" and _is_very_wide(models[0]):
        return through_matrices(base.image, models[0], models[1], tone, bits=target.bits)
    source = baked(base.profile, tone, intent=target.intent)
    return _through_engine(base.image, source, target, models[1])


def in_depth(image: pyvips.Image, bits: int) -> pyvips.Image:
    """Return a 16-bit picture ``bits`` deep, correctly rounded."""
    if bits == 16:
        return image
    codes = np.rint(np.arange(_CODES) / 257).astype(np.uint8)[None, :, None]
    small = image.copy(interpretation="multiband").maplut(pyvips.Image.new_from_array(codes))
    names = {1: "b-w", 3: "srgb", 4: "cmyk"}
    return small.copy(interpretation=names[image.bands])


def _through_engine(
    image: pyvips.Image, source: bytes, target: Target, model: icc.MatrixModel | None
) -> pyvips.Image:
    def passed(profile: bytes, depth: int) -> pyvips.Image:
        return image.icc_transform(
            library.profile_file(profile),
            input_profile=library.profile_file(source),
            intent=target.intent,
            black_point_compensation=target.black_point_compensation,
            depth=depth,
        )

    if model is None or _starts_steeply(model):
        return passed(target.profile, target.bits)
    # The engine's own table misses the first codes of a pure power curve (measured: the 99th
    # percentile of the error doubles). It gets the space with a straighter curve instead.
    straight = icc.matrix_profile("Straighter", model.to_xyz, spaces.srgb_curve())
    codes = passed(straight, 16).copy(interpretation="multiband")
    curved = codes.maplut(pyvips.Image.new_from_array(_recoding(target.profile, target.bits)))
    return curved.copy(interpretation="srgb" if target.bits == 8 else "rgb16")


@cache
def _recoding(profile: bytes, bits: int) -> NDArray[np.uint8 | np.uint16]:
    """The table from codes on the sRGB curve to codes of this matrix profile."""
    model = icc.matrix_model(profile)
    assert model is not None
    light = spaces.srgb_light(np.linspace(0, 1, _CODES))
    codes = np.linspace(0, 1, 16 * _CODES) ** 2
    table = np.stack([np.interp(light, curve(codes), codes) for curve in model.curves], axis=-1)
    kind = np.uint8 if bits == 8 else np.uint16
    return np.asarray(np.rint(table * (2**bits - 1)), dtype=kind)[None]


def _starts_steeply(model: icc.MatrixModel) -> bool:
    return bool(model.light(np.full(3, 1 / 255)).min() >= _STEEP)


def _is_very_wide(model: icc.MatrixModel) -> bool:
    """Whether half the space or more lies outside what prints hold, as with ROMM primaries.

    Judged by the volume of its linear RGB: 1 for sRGB, 1.4 Adobe RGB, 1.2 Display P3, 2.9 ROMM.
    """
    own = abs(float(np.linalg.det(model.to_xyz)))
    return own > 2 * abs(float(np.linalg.det(spaces.to_connection(spaces.SRGB))))


def same_space(one: bytes, other: bytes) -> bool:
    """Return whether two profiles say the same to within a quarter of an 8-bit code."""
    if one == other:
        return True
    a, b = icc.matrix_model(one), icc.matrix_model(other)
    if a is None or b is None or np.abs(a.to_xyz - b.to_xyz).max() > 5e-4:
        return False
    codes = np.repeat(np.linspace(0, 1, 256)[:, None], 3, axis=1)
    nearly = np.abs(spaces.srgb_codes(a.light(codes)) - spaces.srgb_codes(b.light(codes)))
    return bool(nearly.max() < 0.25 / 255)
