"""From the base to the lab's colour space in one pass, the tone curve included."""

from collections.abc import Sequence

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import curves, icc, spaces, vips
from proofs.outside.pixels.base import Base, reduced
from proofs.outside.pixels.curves import MatrixModel
from proofs.outside.pixels.grey_route import name_of, through_grey, with_exact_greys
from proofs.outside.pixels.lightness import Tone
from proofs.outside.pixels.links import linked, most_held
from proofs.outside.pixels.matrix_route import through_matrices
from proofs.outside.pixels.reach import reaches
from proofs.outside.pixels.targets import SCREEN, Target, lab_profile, target_of
from proofs.outside.pixels.tone_profile import baked
from proofs.records.labs import Lab, RenderingIntent

__all__ = ["lab_profile", "screen_image", "variant_image", "variant_images"]

_CODES = 65536


def variant_image(base: Base, lab: Lab, density: float) -> pyvips.Image:
    """Return the base at another density in the lab's colour space, ``lab.bits`` deep.

    The curve acts on the source's own lightness, before colours are fitted into the lab's
    space. Raises ``ValueError`` outside -0.30 to +0.60 D, ``ProfileError`` for a bad profile.
    """
    return converted(base, target_of(lab), density)


def variant_images(base: Base, lab: Lab, densities: Sequence[float]) -> list[pyvips.Image]:
    """Return what ``variant_image`` returns for each density, sooner.

    As many as ``most_held`` says are worked out together, here and now; the others when asked for.
    """
    vips.ready()
    target = target_of(lab)
    made = _held(base, target, densities) if _goes_by_links(base, target) else {}
    return [made[d] if d in made else converted(base, target, d) for d in densities]


def _held(base: Base, target: Target, densities: Sequence[float]) -> dict[float, pyvips.Image]:
    moved = [d for d in dict.fromkeys(densities) if not _stays(base, target, d)]
    held = moved[: most_held(base.image, target.bits)]
    tones = [_tone(base, target, density) for density in held]
    return dict(zip(held, linked(base.image, base.profile, target, tones), strict=True))


def screen_image(base: Base, density: float, size: PixelSize) -> NDArray[np.uint8]:
    """Return the base at a density as an array of 8-bit sRGB, reduced to ``size``."""
    pixels: NDArray[np.uint8] = converted(reduced(base, size), SCREEN, density).numpy()
    return pixels


def converted(base: Base, target: Target, density: float) -> pyvips.Image:
    """Return the base in the target's space with the tone curve applied."""
    vips.ready()
    if _stays(base, target, density):
        return in_depth(base.image, target.bits)
    tone = _tone(base, target, density)
    if base.image.bands == 1:
        return through_grey(base.image, base.profile, target, tone)
    if _goes_by_links(base, target):
        return linked(base.image, base.profile, target, [tone])[0]
    source, model = curves.matrix_model(base.profile), _room_model(target)
    if source is None or model is None:
        return _through_engine(base, target, tone)
    codes = through_matrices(base.image, source, model, tone, bits=target.bits)
    return with_exact_greys(codes, base.image, base.profile, target, tone)


def _stays(base: Base, target: Target, density: float) -> bool:
    return not density and same_space(base.profile, target.profile)


def _tone(base: Base, target: Target, density: float) -> Tone:
    return Tone(density, base.black if target.deepens else 0.0)


def _goes_by_links(base: Base, target: Target) -> bool:
    source, model = curves.matrix_model(base.profile), _room_model(target)
    if base.image.bands == 1 or model is None:
        return False
    return source is None or reaches(source, model)


def _room_model(target: Target) -> MatrixModel | None:
    """The target as a matrix, where its colours can be clipped at its own border."""
    if target.intent == RenderingIntent.ABSOLUTE and not _shows_d50(target.profile):
        return None
    return curves.matrix_model(target.profile)


def _shows_d50(profile: bytes) -> bool:
    """Whether white is the connection space's own white, so that absolute means relative."""
    white = icc.tags(profile).get("wtpt", b"")
    return white[8:20] == icc.xyz_tag(icc.WHITE)[8:]


def _through_engine(base: Base, target: Target, tone: Tone) -> pyvips.Image:
    source = baked(base.profile, tone, intent=target.intent)
    return base.image.icc_transform(
        vips.profile_file(target.profile),
        input_profile=vips.profile_file(source),
        intent=target.intent,
        black_point_compensation=target.black_point_compensation,
        depth=target.bits,
    )


def in_depth(image: pyvips.Image, bits: int) -> pyvips.Image:
    """Return a 16-bit picture ``bits`` deep, correctly rounded."""
    if bits == 16:
        return image
    codes = np.rint(np.arange(_CODES) / 257).astype(np.uint8)[None, :, None]
    small = image.copy(interpretation="multiband").maplut(pyvips.Image.new_from_array(codes))
    return small.copy(interpretation=name_of(image.bands, bits))


def same_space(one: bytes, other: bytes) -> bool:
    """Return whether two profiles say the same to within a quarter of an 8-bit code."""
    if one == other:
        return True
    a, b = curves.matrix_model(one), curves.matrix_model(other)
    if a is None or b is None or np.abs(a.to_xyz - b.to_xyz).max() > 5e-4:
        return False
    codes = np.repeat(np.linspace(0, 1, 256)[:, None], 3, axis=1)
    nearly = np.abs(spaces.srgb_codes(a.light(codes)) - spaces.srgb_codes(b.light(codes)))
    return bool(nearly.max() < 0.25 / 255)
