"""From the base to the lab's colour space in one pass, the tone curve included."""

from collections.abc import Sequence

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.cielab import ToneAdjustment
from proofs.outside.pixels.colour.matrix_models import MatrixModel, matrix_model
from proofs.outside.pixels.colour.output_space import SCREEN, OutputSpace, output_space_of
from proofs.outside.pixels.conversion.clut import convert_by_clut, most_in_memory
from proofs.outside.pixels.conversion.extended_range import fits_extended_range
from proofs.outside.pixels.conversion.grey import convert_grey, interpretation, with_exact_greys
from proofs.outside.pixels.conversion.matrix import convert_by_matrix
from proofs.outside.pixels.conversion.tone_profile import tone_adjusted_profile
from proofs.outside.pixels.resize.print_size import ProfiledImage, reduced
from proofs.records.labs import Lab, RenderingIntent

__all__ = ["screen_image", "variant_image", "variant_images"]

_CODES = 65536


def variant_image(base: ProfiledImage, lab: Lab, density: float) -> pyvips.Image:
    """Return the base at another density in the lab's colour space, ``lab.bits`` deep.

    The curve acts on the source's own lightness, before colours are fitted into the lab's
    space. Raises ``ValueError`` outside -0.30 to +0.60 D, ``ProfileError`` for a bad profile.
    """
    return converted(base, output_space_of(lab), density)


def variant_images(base: ProfiledImage, lab: Lab, densities: Sequence[float]) -> list[pyvips.Image]:
    """Return what ``variant_image`` returns for each density, sooner.

    Up to ``most_in_memory`` of them are computed together, at once; the others on demand.
    """
    vips.ready()
    target = output_space_of(lab)
    made = _held(base, target, densities) if _goes_by_links(base, target) else {}
    return [made[d] if d in made else converted(base, target, d) for d in densities]


def _held(
    base: ProfiledImage, target: OutputSpace, densities: Sequence[float]
) -> dict[float, pyvips.Image]:
    moved = [d for d in dict.fromkeys(densities) if not _stays(base, target, d)]
    held = moved[: most_in_memory(base.image, target.bits)]
    tones = [_tone(base, target, density) for density in held]
    return dict(zip(held, convert_by_clut(base.image, base.profile, target, tones), strict=True))


def screen_image(base: ProfiledImage, density: float, size: PixelSize) -> NDArray[np.uint8]:
    """Return the base at a density as an array of 8-bit sRGB, reduced to ``size``."""
    pixels: NDArray[np.uint8] = converted(reduced(base, size), SCREEN, density).numpy()
    return pixels


def converted(base: ProfiledImage, target: OutputSpace, density: float) -> pyvips.Image:
    """Return the base in the target's space with the tone curve applied."""
    vips.ready()
    if _stays(base, target, density):
        return to_depth(base.image, target.bits)
    tone = _tone(base, target, density)
    if base.image.bands == 1:
        return convert_grey(base.image, base.profile, target, tone)
    if _goes_by_links(base, target):
        return convert_by_clut(base.image, base.profile, target, [tone])[0]
    source, model = matrix_model(base.profile), _room_model(target)
    if source is None or model is None:
        return _through_engine(base, target, tone)
    codes = convert_by_matrix(base.image, source, model, tone, bits=target.bits)
    return with_exact_greys(codes, base.image, base.profile, target, tone)


def _stays(base: ProfiledImage, target: OutputSpace, density: float) -> bool:
    return not density and same_colour_space(base.profile, target.profile)


def _tone(base: ProfiledImage, target: OutputSpace, density: float) -> ToneAdjustment:
    return ToneAdjustment(density, base.black if target.deepens else 0.0)


def _goes_by_links(base: ProfiledImage, target: OutputSpace) -> bool:
    source, model = matrix_model(base.profile), _room_model(target)
    if base.image.bands == 1 or model is None:
        return False
    return source is None or fits_extended_range(source, model)


def _room_model(target: OutputSpace) -> MatrixModel | None:
    """The target as a matrix, where its colours can be clipped at its own border."""
    if target.intent == RenderingIntent.ABSOLUTE and not _shows_d50(target.profile):
        return None
    return matrix_model(target.profile)


def _shows_d50(profile: bytes) -> bool:
    """Whether white is the connection space's own white, so that absolute means relative."""
    white = icc.tags(profile).get("wtpt", b"")
    return white[8:20] == icc.xyz_tag(icc.D50_XYZ)[8:]


def _through_engine(base: ProfiledImage, target: OutputSpace, tone: ToneAdjustment) -> pyvips.Image:
    source = tone_adjusted_profile(base.profile, tone, intent=target.intent)
    return base.image.icc_transform(
        vips.profile_file(target.profile),
        input_profile=vips.profile_file(source),
        intent=target.intent,
        black_point_compensation=target.black_point_compensation,
        depth=target.bits,
    )


def to_depth(image: pyvips.Image, bits: int) -> pyvips.Image:
    """Return a 16-bit picture ``bits`` deep, correctly rounded."""
    if bits == 16:
        return image
    codes = np.rint(np.arange(_CODES) / 257).astype(np.uint8)[None, :, None]
    small = image.copy(interpretation="multiband").maplut(pyvips.Image.new_from_array(codes))
    return small.copy(interpretation=interpretation(image.bands, bits))


def same_colour_space(one: bytes, other: bytes) -> bool:
    """Return whether two profiles say the same to within a quarter of an 8-bit code."""
    if one == other:
        return True
    a, b = matrix_model(one), matrix_model(other)
    if a is None or b is None or np.abs(a.to_xyz - b.to_xyz).max() > 5e-4:
        return False
    codes = np.repeat(np.linspace(0, 1, 256)[:, None], 3, axis=1)
    nearly = np.abs(spaces.linear_to_srgb(a.light(codes)) - spaces.linear_to_srgb(b.light(codes)))
    return bool(nearly.max() < 0.25 / 255)
