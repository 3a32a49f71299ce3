"""From an image at print size to a finished file's colour space, the tone curve included."""

from collections.abc import Sequence

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.cielab import ToneAdjustment
from proofs.outside.pixels.colour.linear_light import CODES, looked_up
from proofs.outside.pixels.colour.matrix_models import MatrixModel, matrix_model
from proofs.outside.pixels.colour.output_space import SCREEN, OutputSpace, output_space_of
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion import clut, extended_range, grey, matrix
from proofs.records.labs import Lab, RenderingIntent


def variant_image(base: ProfiledImage, lab: Lab, density: float) -> pyvips.Image:
    """Return the image at another density in the lab's colour space and bit depth.

    The curve acts on the source's own lightness, before colours are mapped into the lab's
    space. Raises ``ValueError`` outside -0.30 to +0.60 D, ``ProfileError`` for a bad profile.
    """
    return converted(base, output_space_of(lab), density)


def variant_images(base: ProfiledImage, lab: Lab, densities: Sequence[float]) -> list[pyvips.Image]:
    """Return the same as ``variant_image`` for each density, but faster.

    As many as fit in memory are computed at once; the others are computed on demand.
    """
    return _all_converted(base, output_space_of(lab), densities)


def screen_pictures(base: ProfiledImage, densities: Sequence[float]) -> list[NDArray[np.uint8]]:
    """Return the image at each density as an array of 8-bit sRGB."""
    return [image.numpy() for image in _all_converted(base, SCREEN, densities)]


def _all_converted(
    base: ProfiledImage, target: OutputSpace, densities: Sequence[float]
) -> list[pyvips.Image]:
    vips.ready()
    ready = _together(base, target, densities) if _fits_clut(base, target) else {}
    return [ready[d] if d in ready else converted(base, target, d) for d in densities]


def _together(
    base: ProfiledImage, target: OutputSpace, densities: Sequence[float]
) -> dict[float, pyvips.Image]:
    changed = [d for d in dict.fromkeys(densities) if not _is_unchanged(base, target, d)]
    fitting = changed[: clut.most_in_memory(base.image, target.bits)]
    tones = [_tone(base, target, density) for density in fitting]
    images = clut.converted(base.image, base.profile, target, tones)
    return dict(zip(fitting, images, strict=True))


def converted(base: ProfiledImage, target: OutputSpace, density: float) -> pyvips.Image:
    """Return the image in the target's space with the tone curve applied."""
    vips.ready()
    if _is_unchanged(base, target, density):
        return to_depth(base.image, target.bits)
    tone = _tone(base, target, density)
    if base.image.bands == 1:
        return grey.converted(base.image, base.profile, target, tone)
    if _fits_clut(base, target):
        return clut.converted(base.image, base.profile, target, [tone])[0]
    source, model = matrix_model(base.profile), _clipping_model(target)
    if source is None or model is None:
        return _through_engine(base, target, tone)
    codes = matrix.converted(base.image, source, model, tone, bits=target.bits)
    return grey.with_exact_greys(codes, base.image, base.profile, target, tone)


def _is_unchanged(base: ProfiledImage, target: OutputSpace, density: float) -> bool:
    return not density and same_colour_space(base.profile, target.profile)


def _tone(base: ProfiledImage, target: OutputSpace, density: float) -> ToneAdjustment:
    return ToneAdjustment(density, base.black if target.compensates_black else 0.0)


def _fits_clut(base: ProfiledImage, target: OutputSpace) -> bool:
    source, model = matrix_model(base.profile), _clipping_model(target)
    if base.image.bands == 1 or model is None:
        return False
    return source is None or extended_range.fits(source, model)


def _clipping_model(target: OutputSpace) -> MatrixModel | None:
    """The target as a matrix, if its colours can be clipped at its own gamut boundary."""
    if target.intent == RenderingIntent.ABSOLUTE and not _has_d50_white(target.profile):
        return None
    return matrix_model(target.profile)


def _has_d50_white(profile: bytes) -> bool:
    """Whether a profile's white is that of the connection space, so absolute equals relative."""
    white = icc.tags(profile).get("wtpt", b"")
    return white[8:20] == icc.xyz_tag(icc.D50_XYZ)[8:]


def _through_engine(base: ProfiledImage, target: OutputSpace, tone: ToneAdjustment) -> pyvips.Image:
    source = clut.tone_adjusted_profile(base.profile, tone, intent=target.intent)
    return base.image.icc_transform(
        vips.profile_file(target.profile),
        input_profile=vips.profile_file(source),
        intent=target.intent,
        black_point_compensation=target.black_point_compensation,
        depth=target.bits,
    )


def to_depth(image: pyvips.Image, bits: int) -> pyvips.Image:
    """Return a 16-bit image at this bit depth, correctly rounded."""
    if bits == 16:
        return image
    narrow = looked_up(image, np.rint(np.arange(CODES) / 257).astype(np.uint8)[:, None])
    return narrow.copy(interpretation=vips.interpretation(image.bands, bits))


def same_colour_space(one: bytes, other: bytes) -> bool:
    """Return whether two profiles agree to within a quarter of an 8-bit code."""
    if one == other:
        return True
    a, b = matrix_model(one), matrix_model(other)
    if a is None or b is None or np.abs(a.to_xyz - b.to_xyz).max() > 5e-4:
        return False
    codes = np.repeat(np.linspace(0, 1, 256)[:, None], 3, axis=1)
    one_srgb, other_srgb = (spaces.linear_to_srgb(model.light(codes)) for model in (a, b))
    return bool(np.abs(one_srgb - other_srgb).max() < 0.25 / 255)
