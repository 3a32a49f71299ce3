"""From the samples of any file to one upright image, grey or RGB, without alpha."""

from collections.abc import Sequence

import numpy as np
import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, linear_light, spaces
from proofs.outside.pixels.colour.icc import Curve
from proofs.outside.pixels.colour.matrix_models import (
    grey_curve,
    matrix_model,
    required_matrix_model,
)
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.source.cmyk import black_point_of, cmyk_to_rgb
from proofs.outside.pixels.source.pixel_format import PixelFormat
from proofs.outside.pixels.source.tiff_cielab import samples_to_cielab
from proofs.outside.pixels.source.ycbcr import ycbcr_to_rgb

_LINEAR = 0.35  # light at half the code: linear codes have 0.5, others 0.21 to 0.29
_CODES_32_PER_16 = 65537  # 32-bit codes for each 16-bit code
_OPAQUE = {"uchar": 255, "ushort": 65535, "uint": 2**32 - 1}


def normalised(pixels: pyvips.Image, pixel_format: PixelFormat) -> ProfiledImage:
    """Return the image to print: grey or RGB, flattened onto paper white, not yet upright."""
    samples = pixels.extract_band(0, n=pixel_format.channels)
    image, profile = _as_codes(samples, pixel_format)
    if pixel_format.alpha:
        opacity = _opacity(pixels[pixel_format.alpha])
        image = _flattened(image, opacity, _curves(profile))
    name = vips.interpretation(image.bands, 8 if image.format == "uchar" else 16)
    image = image.copy(interpretation=name)
    return ProfiledImage(image, profile, black_point_of(pixel_format.source.profile))


def upright(image: pyvips.Image, orientation: int) -> pyvips.Image:
    """Return an image turned as its orientation of EXIF, 1 to 8, says."""
    if orientation == 1:
        return image
    turned = image.copy()
    turned.set_type(pyvips.GValue.gint_type, "orientation", orientation)
    return turned.autorot()


def _as_codes(samples: pyvips.Image, pixel_format: PixelFormat) -> tuple[pyvips.Image, bytes]:
    """The colours as 8-bit or 16-bit codes, and the profile of those codes."""
    profile, wide = pixel_format.source.profile, spaces.built_in_profile("wide")
    if pixel_format.colour == "cielab":
        model = required_matrix_model(wide)
        light = linear_light.from_cielab(samples_to_cielab(samples, pixel_format), model.to_xyz)
        return linear_light.to_codes(light, model.curves), wide
    if pixel_format.colour == "cmyk":
        return cmyk_to_rgb(samples, profile), wide
    if pixel_format.is_float:
        return _from_floats(samples, profile)
    codes = ycbcr_to_rgb(samples, pixel_format.ycbcr) if pixel_format.ycbcr else samples
    if codes.format == "uint":
        codes = codes.linear(1 / _CODES_32_PER_16, 0.5).cast("ushort")
    return _gamma_encoded(codes, profile)


def _from_floats(samples: pyvips.Image, profile: bytes) -> tuple[pyvips.Image, bytes]:
    # NaN becomes black, and anything beyond white becomes white.
    samples = (samples == samples).ifthenelse(samples, 0).copy(interpretation="multiband")
    if not _is_linear(profile):
        return (samples.clamp(min=0, max=1) * 65535).rint().cast("ushort"), profile
    model = matrix_model(profile)
    if model is None:
        grey = spaces.built_in_profile("grey")
        return linear_light.to_codes(samples, [spaces.srgb_to_linear]), grey
    # Light below 0 is colour outside the primaries: the wide space has room for it.
    wide_profile = spaces.built_in_profile("wide")
    wide = required_matrix_model(wide_profile)
    to_wide = linear_light.matrix_rows(np.linalg.inv(wide.to_xyz) @ model.to_xyz)
    light = samples.clamp(min=-1, max=1).recomb(to_wide)
    return linear_light.to_codes(light, wide.curves), wide_profile


def _gamma_encoded(codes: pyvips.Image, profile: bytes) -> tuple[pyvips.Image, bytes]:
    """Linear codes, changed to the sRGB curve, which resampling and tables need; others as is."""
    if not _is_linear(profile):
        return codes, profile
    light = linear_light.from_codes(linear_light.to_16_bits(codes), _curves(profile))
    codes = linear_light.to_codes(light, [spaces.srgb_to_linear] * codes.bands)
    model = matrix_model(profile)
    if model is None:
        return codes, spaces.built_in_profile("grey")
    return codes, icc.build_matrix_profile("Recoded", model.to_xyz, spaces.srgb_curve())


def _is_linear(profile: bytes) -> bool:
    if matrix_model(profile) is None and grey_curve(profile) is None:
        return False
    return all(float(curve(np.array(0.5))) > _LINEAR for curve in _curves(profile))


def _curves(profile: bytes) -> tuple[Curve, ...]:
    """The curves to light; a look-up profile gets that of sRGB, near enough for flattening."""
    grey, model = grey_curve(profile), matrix_model(profile)
    if grey is not None:
        return (grey,)
    if model is not None:
        return model.curves
    return (spaces.srgb_to_linear,) * icc.read_header(profile).channels


def _opacity(alpha: pyvips.Image) -> pyvips.Image:
    """The opacity, 0 to 1, of an alpha channel."""
    alpha = alpha.copy(interpretation="multiband")
    if alpha.format not in _OPAQUE:
        return alpha.clamp(min=0, max=1)
    return alpha.linear(1 / _OPAQUE[alpha.format], 0)


def _flattened(image: pyvips.Image, opacity: pyvips.Image, curves: Sequence[Curve]) -> pyvips.Image:
    """A 16-bit image composited onto white.

    It is blended in linear light: blended in codes, translucent edges would come out too dark.
    Opaque pixels keep their codes exactly.
    """
    codes = linear_light.to_16_bits(image)
    light = linear_light.from_codes(codes, curves)
    blended = linear_light.to_codes((light - 1) * opacity + 1, curves)
    return (opacity >= 1).ifthenelse(codes, blended)
