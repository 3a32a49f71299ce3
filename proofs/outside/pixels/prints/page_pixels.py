"""A page drawn in sRGB, brought into a lab's space: for labs that take pictures only."""

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.prints.encoding import check_format_limits, encoded
from proofs.outside.pixels.resize.print_size import ProfiledImage
from proofs.records.labs import Lab


def page_file(page: NDArray[np.uint8], lab: Lab) -> bytes:
    """Return the file that a lab wants of a page, given as rows of 8-bit sRGB.

    Raises ``PhotographError`` for a page too large for the lab's format.
    """
    vips.ready()
    height, width = page.shape[:2]
    check_format_limits(width, height, lab)
    codes = page.astype(np.uint16) * 257
    image = pyvips.Image.new_from_array(codes, interpretation="rgb16")
    base = ProfiledImage(image, spaces.built_in_profile("srgb"))
    return encoded(variant_image(base, lab, 0.0), lab)
