"""The lightness of pictures: on the way to a lab, sampled, and what becomes of mid grey."""

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import cielab
from proofs.outside.pixels.colour.output_space import lab_icc_profile, output_space_of
from proofs.outside.pixels.colour.pixel_cielab import lightness_of_image, quick_lightness
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import variant_images
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.source.decode import Photograph
from proofs.plan.tones.tone import MID_LIGHTNESS, density
from proofs.records.labs import Lab

_RAMP = 4097  # codes; between two of them L* is straight to a millionth
_PATCH_PX = 32  # whole blocks of a JPEG
_ENOUGH = 8_000_000  # pixels: with more, shares and percentiles change by less than is reported


def lightness_map(base: ProfiledImage, lab: Lab) -> NDArray[np.float32]:
    """Return the L* of each pixel as the tone curve receives it on the way to a lab.

    It is off by 0.01 at most.
    """
    vips.ready()
    black = base.black if output_space_of(lab).compensates_black else 0.0
    image, most = base.image, 65535 if base.image.format == "ushort" else 255
    quick = quick_lightness(base.profile, most, black) if image.bands == 3 else None
    if quick is not None:
        return quick(image.numpy())
    tones = lightness_of_image(image, base.profile)
    if black:
        neutral = np.stack([tones, np.zeros_like(tones), np.zeros_like(tones)], axis=-1)
        xyz = cielab.black_point_compensated(cielab.to_xyz(neutral), black)
        tones = cielab.from_xyz(xyz)[..., 0]
    return tones.astype(np.float32)


def lightness_samples(photograph: Photograph) -> NDArray[np.float32]:
    """Return the L* of a picture's pixels, relative to its white.

    Of a large picture, only every second or third pixel each way is used. Pixels are skipped, not
    averaged, because an average has tones that the picture does not have.
    """
    vips.ready()
    image = photograph.image
    step = math.ceil(math.sqrt(image.width * image.height / _ENOUGH))
    if step > 1 and min(image.width, image.height) >= step:
        image = image.subsample(step, step)
    return lightness_of_image(image, photograph.profile).astype(np.float32)


def mid_grey_shifts(base: ProfiledImage, lab: Lab, changes: Sequence[float]) -> tuple[float, ...]:
    """Return the density that each change really adds to mid grey on its way to a lab's file.

    A patch of L* 50 in the image's own encoding goes through the tone curve, the lab's space and
    the lab's encoder. The result is its density as read back from there, less that of L* 50.
    """
    return _mid_grey_shifts(base.profile, base.black, base.image.bands, lab, tuple(changes))


@lru_cache(maxsize=16)  # one for the brackets of a run, unless the pictures' profiles differ
def _mid_grey_shifts(
    profile: bytes, black: float, bands: int, lab: Lab, changes: tuple[float, ...]
) -> tuple[float, ...]:
    vips.ready()
    patch = _mid_grey_patch(profile, black, bands, lab)
    before = float(lightness_map(patch, lab)[0, 0])
    files = [encoded(image, lab) for image in variant_images(patch, lab, changes)]
    read = [pyvips.Image.new_from_buffer(file, "") for file in files]
    after = [lightness_of_image(image, lab_icc_profile(lab)).mean() for image in read]
    return tuple(density(float(tone)) - density(before) for tone in after)


@lru_cache(maxsize=8)
def _mid_grey_patch(profile: bytes, black: float, bands: int, lab: Lab) -> ProfiledImage:
    """A patch of equal channels whose lightness is as near to L* 50 as codes allow."""

    def in_all_channels(codes: NDArray[np.uint16]) -> ProfiledImage:
        image = vips.image_of_codes(np.repeat(codes[..., None], bands, axis=2))
        return ProfiledImage(image, profile, black)

    codes = np.rint(np.linspace(0, 65535, _RAMP)).astype(np.uint16)
    tones = lightness_map(in_all_channels(codes[None, :]), lab)[0]
    code = round(float(np.interp(MID_LIGHTNESS, tones, codes)))
    return in_all_channels(np.full((_PATCH_PX, _PATCH_PX), code, np.uint16))
