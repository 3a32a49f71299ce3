"""The photograph at the exact size of the print in pixels, before tone and colour."""

import pyvips

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.resize.resampling import resampled
from proofs.outside.pixels.resize.sharpening import sharpened
from proofs.outside.pixels.source.decode import Photograph
from proofs.pixel_areas import Area
from proofs.records.papers import Sharpening

_ROTATIONS = {1: "d90", 2: "d180", 3: "d270"}


def sized_for_print(
    photograph: Photograph,
    *,
    turn: int,
    crop: Area | None,
    size: PixelSize,
    ppi: int,
    sharpen: Sharpening = Sharpening.OFF,
) -> ProfiledImage:
    """Return the photograph, 16 bits deep, rotated, cropped and resampled to exactly ``size``.

    ``turn`` is the number of quarter turns clockwise, 0 to 3, after the rotation by EXIF.
    ``ppi`` is the resolution of the print.
    Raises ``ValueError`` for a crop that is not within the picture.
    """
    vips.ready()
    image = photograph.image
    if turn:
        image = image.rot(_ROTATIONS[turn])
    if crop is not None:
        image = _cropped(image, crop)
    codes = sharpened(resampled(image, size), photograph.profile, sharpen, ppi)
    return ProfiledImage(vips.image_of_codes(codes), photograph.profile, photograph.black)


def reduced(base: ProfiledImage, size: PixelSize) -> ProfiledImage:
    """Return the image reduced to ``size``, for a mock-up of one or several steps."""
    vips.ready()
    # Plain averages do most of it: on a screen that looks as good, and is ten times as fast.
    across = max(1, base.image.width // (2 * size.width))
    down = max(1, base.image.height // (2 * size.height))
    codes = resampled(base.image.shrink(across, down), size)
    return ProfiledImage(vips.image_of_codes(codes), base.profile, base.black)


def _cropped(image: pyvips.Image, crop: Area) -> pyvips.Image:
    is_inside = (
        crop.left >= 0
        and crop.top >= 0
        and 0 < crop.width <= image.width - crop.left
        and 0 < crop.height <= image.height - crop.top
    )
    if not is_inside:
        raise ValueError(f"{crop} is not within {image.width} x {image.height} pixels")
    return image.crop(crop.left, crop.top, crop.width, crop.height)
