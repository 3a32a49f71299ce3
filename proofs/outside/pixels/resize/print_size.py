"""The photograph at the exact pixels of the print, before tone and colour."""

import pyvips

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.resize.resampling import image_of_codes, resampled
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

    ``turn`` counts quarter turns clockwise, 0 to 3, after the rotation that EXIF asks for.
    ``ppi`` is the resolution of the print.
    Raises ``ValueError`` for a crop that is not within the picture.
    """
    vips.ready()
    image = photograph.image
    if turn % 4:
        image = image.rot(_ROTATIONS[turn % 4])
    if crop is not None:
        image = _cropped(image, crop)
    codes = sharpened(resampled(image, size), photograph.profile, sharpen, ppi)
    return ProfiledImage(image_of_codes(codes), photograph.profile, photograph.black)


def reduced(base: ProfiledImage, size: PixelSize) -> ProfiledImage:
    """Return the image at another size, the common start for several steps of a mock-up."""
    vips.ready()
    # Most of the way by plain averages: for a screen that is as good, and ten times as fast.
    across = max(1, base.image.width // (2 * size.width))
    down = max(1, base.image.height // (2 * size.height))
    codes = resampled(base.image.shrink(across, down), size)
    return ProfiledImage(image_of_codes(codes), base.profile, base.black)


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
