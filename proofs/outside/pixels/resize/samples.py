"""Patches of a print, by which the bytes of its file can be told before it is made."""

from math import ceil

import pyvips

from proofs.lengths import PixelSize
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.resize.print_size import sized_for_print
from proofs.outside.pixels.source.decode import Photograph
from proofs.pixel_areas import Area
from proofs.records.papers import Sharpening

_ACROSS, _DOWN = 3, 9  # columns, and rows of patches: each row has one patch, by turns
_ROWS = 48  # of pixels in a patch: whole blocks of a JPEG
_SMALL = _DOWN * _ROWS  # a print with fewer pixels on a side is taken as a whole
_REACH_PX = 6  # beyond a patch, for the filters of resampling and sharpening


def sampled_for_print(
    photograph: Photograph,
    *,
    turn: int,
    crop: Area | None,
    size: PixelSize,
    ppi: int,
    sharpen: Sharpening = Sharpening.OFF,
) -> ProfiledImage:
    """Return a small part of what ``sized_for_print`` returns for the same arguments.

    It is nine patches, spread evenly over the print, one below the other: usually about a
    fifteenth of all pixels. A small print is returned as a whole.
    """

    def sized(part: Area | None, pixels: PixelSize) -> pyvips.Image:
        return sized_for_print(
            photograph, turn=turn, crop=part, size=pixels, ppi=ppi, sharpen=sharpen
        ).image

    if min(size.height, size.width) < _SMALL:
        return ProfiledImage(sized(crop, size), photograph.profile, photograph.black)
    whole = crop or _whole(photograph, turn)
    across = whole.width // _ACROSS
    patches = []
    for n in range(_DOWN):
        first, last, rows, above = _rows(n, whole.height, size.height)
        left = whole.left + (n % _ACROSS) * across
        area = Area(left, whole.top + first, across, last - first)
        patch = sized(area, PixelSize(size.width // _ACROSS, rows))
        patches.append(patch.crop(0, above, patch.width, _ROWS))
    joined = pyvips.Image.arrayjoin(patches, across=1).copy_memory()
    return ProfiledImage(joined, photograph.profile, photograph.black)


def _rows(n: int, of_source: int, of_print: int) -> tuple[int, int, int, int]:
    """Return the first and last row in the source for a patch, and what they are in the print.

    They become so many rows, of which some are above the patch.
    """
    scale = of_print / of_source
    top = (of_print - _ROWS) * (n + 0.5) / _DOWN
    first = max(0, int((top - _REACH_PX) / scale) - 1)
    last = min(of_source, ceil((top + _ROWS + _REACH_PX) / scale) + 1)
    rows = max(_ROWS, round((last - first) * scale))
    above = min(max(0, round(top - first * scale)), rows - _ROWS)
    return first, last, rows, above


def _whole(photograph: Photograph, turn: int) -> Area:
    size = PixelSize(photograph.image.width, photograph.image.height)
    return Area.of(size.turned if turn % 2 else size)
