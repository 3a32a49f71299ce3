"""From the numbers of any file to one upright picture, grey or RGB, without alpha."""

from dataclasses import dataclass

import numpy as np
import pyvips

from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.icc import Curve
from proofs.outside.pixels.colour.linear_light import (
    cielab_to_light,
    codes_to_light,
    light_to_codes,
    matrix_rows,
    to_16_bits,
)
from proofs.outside.pixels.colour.matrix_models import MatrixModel, grey_curve, matrix_model
from proofs.outside.pixels.source.cmyk import black_point_of, cmyk_to_rgb
from proofs.outside.pixels.source.flattening import flattened, opacity_of
from proofs.outside.pixels.source.pixel_format import PixelFormat
from proofs.outside.pixels.source.tiff_cielab import samples_to_cielab
from proofs.outside.pixels.source.ycbcr import ycbcr_to_rgb

_LINEAR = 0.35  # light at half the code; 0.5 where codes are light, 0.21 to 0.29 where they are not
_SPREAD = 65537  # 32-bit codes for each 16-bit code


@dataclass(frozen=True, slots=True)
class Working:
    """An upright picture of 8 or 16 bits, what its numbers mean, and the L* of its black."""

    image: pyvips.Image
    profile: bytes
    black: float = 0.0


def worked(pixels: pyvips.Image, kind: PixelFormat) -> Working:
    """Return the picture that prints: upright, grey or RGB, flattened onto paper white."""
    numbers = pixels.extract_band(0, n=kind.channels)
    image, profile = _as_codes(numbers, kind)
    if kind.alpha:
        opacity = opacity_of(pixels[kind.alpha])
        image = flattened(image, opacity, _curves(profile))
    plain = _bare(_named(image).autorot())
    return Working(plain, profile, black_point_of(kind.source.profile))


def _as_codes(numbers: pyvips.Image, kind: PixelFormat) -> tuple[pyvips.Image, bytes]:
    """The colours as 8-bit or 16-bit codes, and the profile that holds for those."""
    profile, wide = kind.source.profile, spaces.built_in_profile("wide")
    if kind.colour == "lab":
        model = _wide_model()
        light = cielab_to_light(samples_to_cielab(numbers, kind), model.to_xyz)
        return light_to_codes(light, model.curves), wide
    if kind.colour == "cmyk":
        return cmyk_to_rgb(numbers, profile), wide
    if kind.is_float:
        return _from_floats(numbers, profile)
    codes = ycbcr_to_rgb(numbers, kind.ycbcr) if kind.ycbcr else numbers
    if codes.format == "uint":
        codes = codes.linear(1 / _SPREAD, 0.5).cast("ushort")
    return _recoded(codes, profile)


def _from_floats(numbers: pyvips.Image, profile: bytes) -> tuple[pyvips.Image, bytes]:
    # What is no number at all is black; what is beyond white is white.
    numbers = (numbers == numbers).ifthenelse(numbers, 0).copy(interpretation="multiband")
    if not _is_linear(profile):
        return (numbers.clamp(min=0, max=1) * 65535).rint().cast("ushort"), profile
    model = matrix_model(profile)
    if model is None:
        return light_to_codes(numbers, [spaces.srgb_to_linear]), spaces.built_in_profile("grey")
    # Light below 0 is colour outside the primaries: the wide space has room for it.
    wide = _wide_model()
    light = numbers.clamp(min=-1, max=1).recomb(
        matrix_rows(np.linalg.inv(wide.to_xyz) @ model.to_xyz)
    )
    return light_to_codes(light, wide.curves), spaces.built_in_profile("wide")


def _recoded(codes: pyvips.Image, profile: bytes) -> tuple[pyvips.Image, bytes]:
    """Codes that are light become codes on the sRGB curve: resampling and tables want those."""
    if not _is_linear(profile):
        return codes, profile
    light = codes_to_light(to_16_bits(codes), _curves(profile))
    codes = light_to_codes(light, [spaces.srgb_to_linear] * codes.bands)
    model = matrix_model(profile)
    if model is None:
        return codes, spaces.built_in_profile("grey")
    return codes, icc.build_matrix_profile("Recoded", model.to_xyz, spaces.srgb_curve())


def _is_linear(profile: bytes) -> bool:
    model, grey = matrix_model(profile), grey_curve(profile)
    if model is None and grey is None:
        return False
    return all(float(curve(np.array(0.5))) > _LINEAR for curve in _curves(profile))


def _curves(profile: bytes) -> tuple[Curve, ...]:
    """The curves to light; for a look-up profile that of sRGB, near enough for flattening."""
    grey, model = grey_curve(profile), matrix_model(profile)
    if grey is not None:
        return (grey,)
    if model is not None:
        return model.curves
    return (spaces.srgb_to_linear,) * icc.read_header(profile).channels


def _wide_model() -> MatrixModel:
    model = matrix_model(spaces.built_in_profile("wide"))
    assert model is not None
    return model


def _named(image: pyvips.Image) -> pyvips.Image:
    eight = image.format == "uchar"
    names = {1: "b-w" if eight else "grey16", 3: "srgb" if eight else "rgb16"}
    return image.copy(interpretation=names[image.bands])


_GEOMETRY = frozenset(
    {"width", "height", "bands", "format", "coding", "interpretation"}
    | {"xoffset", "yoffset", "xres", "yres", "filename"}
)


def _bare(image: pyvips.Image) -> pyvips.Image:
    """The picture without anything its file said beside the pixels."""
    bare = image.copy()
    for field in set(bare.get_fields()) - _GEOMETRY:
        bare.remove(field)
    return bare
