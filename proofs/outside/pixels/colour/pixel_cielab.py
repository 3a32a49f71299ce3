"""The CIELAB, or only the L*, of whole images by their profile; exact if the profile allows it."""

from collections.abc import Callable
from functools import lru_cache

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import cielab, icc
from proofs.outside.pixels.colour.icc import D50_XYZ, Curve, Floats
from proofs.outside.pixels.colour.linear_light import CODES
from proofs.outside.pixels.colour.matrix_models import grey_curve, matrix_model
from proofs.records.labs import RenderingIntent

_QUICK_STEPS = 2**18  # of light: the darkest two are 0.003 L* apart

Codes = NDArray[np.uint8] | NDArray[np.uint16]
Lightness = NDArray[np.float32]


def cielab_of_image(
    image: pyvips.Image, profile: bytes, *, intent: RenderingIntent = RenderingIntent.RELATIVE
) -> Floats:
    """Return the CIELAB (D50) of an 8-bit or 16-bit image, (rows, columns, 3).

    ``intent`` selects among the tables of a look-up profile; a matrix profile has a single
    transform, which is relative to its white.
    """
    vips.ready()
    codes = image.numpy().reshape(image.height, image.width, image.bands)
    most = 65535 if image.format == "ushort" else 255
    if image.bands == 1 and icc.read_header(profile).channels == 1:
        tones = cielab_of_grey_codes(profile)[:: 65535 // most]
        return np.asarray(tones[codes[..., 0]])
    model = matrix_model(profile)
    if model is None:
        return table_cielab(image, profile, intent)
    steps = np.linspace(0, 1, most + 1)
    light = [curve(steps)[codes[..., n]] for n, curve in enumerate(model.curves)]
    return cielab.from_xyz(np.stack(light, axis=-1) @ model.to_xyz.T)


def table_cielab(image: pyvips.Image, profile: bytes, intent: RenderingIntent) -> Floats:
    """Return the CIELAB (D50) of an image by a look-up profile's table for an intent."""
    is_absolute = intent == RenderingIntent.ABSOLUTE
    table = RenderingIntent.RELATIVE if is_absolute else intent
    file = vips.profile_file(profile)
    imported = image.icc_import(input_profile=file, intent=table, pcs="lab")
    colours = np.asarray(imported.numpy(), dtype=np.float64)
    return cielab.media_relative_to_measured(colours, profile) if is_absolute else colours


def lightness_of_image(image: pyvips.Image, profile: bytes) -> Floats:
    """Return the L* of each pixel of an 8-bit or 16-bit image, relative to its profile's white."""
    vips.ready()
    codes, most = image.numpy(), 65535 if image.format == "ushort" else 255
    if image.bands == 1:
        tones = cielab_of_grey_codes(profile)[:: 65535 // most, 0]
        return np.asarray(tones[codes.reshape(codes.shape[:2])])
    model = matrix_model(profile)
    if model is None:
        return np.asarray(table_cielab(image, profile, RenderingIntent.RELATIVE)[..., 0])
    # By a table per channel: computing the power for each pixel took a second (measured).
    ramp = np.linspace(0, 1, most + 1)
    shares = model.light(np.repeat(ramp[:, None], 3, axis=1)) * model.to_xyz[1]
    y = sum(shares[:, channel][codes[..., channel]] for channel in range(3))
    return cielab.y_to_lightness(np.asarray(y))


@lru_cache(maxsize=4)  # 3 MB each; the pictures of a run share few profiles
def quick_lightness(
    profile: bytes, most: int, black: float = 0.0
) -> Callable[[Codes], Lightness] | None:
    """Return a quick way to the L* of RGB codes up to ``most``, None if there is no exact one.

    ``black`` is the L* that black point compensation maps to 0. By tables in single precision,
    three times as fast, and off by 0.01 L* at most.
    """
    model = matrix_model(profile)
    if model is None:
        return None
    ramp = np.linspace(0, 1, most + 1)
    light = model.light(np.repeat(ramp[:, None], 3, axis=1)) * model.to_xyz[1] * _QUICK_STEPS
    shares = np.ascontiguousarray(light.T.astype(np.float32))
    y = (np.arange(_QUICK_STEPS + 2) + 0.5) / _QUICK_STEPS
    if black:
        y = cielab.black_point_compensated(y[:, None] * D50_XYZ, black)[:, 1]
    tones = cielab.y_to_lightness(y).astype(np.float32)

    def lightness(codes: Codes) -> Lightness:
        y = shares[0][codes[..., 0]]
        y += shares[1][codes[..., 1]]
        y += shares[2][codes[..., 2]]
        np.clip(y, 0, _QUICK_STEPS, out=y)
        return np.asarray(tones[y.astype(np.int32)])

    return lightness


def cielab_of_grey_codes(profile: bytes) -> Floats:
    """Return the CIELAB of all 65 536 codes of a grey profile."""
    curve = grey_curve(profile)
    if curve is not None:
        return cielab_of_curve(curve)
    ramp = vips.image_of_codes(np.arange(CODES, dtype=np.uint16)[None, :, None])
    return np.asarray(table_cielab(ramp, profile, RenderingIntent.RELATIVE)[0])


def cielab_of_curve(curve: Curve) -> Floats:
    """Return the CIELAB of all 65 536 codes of a grey with this curve."""
    return cielab.from_xyz(curve(np.linspace(0, 1, CODES))[:, None] * D50_XYZ)
