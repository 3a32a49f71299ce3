"""A page drawn in sRGB, brought into a lab's space: for labs that take pictures only."""

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import spaces, vips
from proofs.outside.pixels.base import Base
from proofs.outside.pixels.colour import variant_image
from proofs.outside.pixels.encoding import check_room, encoded
from proofs.records.labs import Lab


def page_file(page: NDArray[np.uint8], lab: Lab) -> bytes:
    """Return the file that a lab wants of a page, given as rows of 8-bit sRGB.

    Raises ``PhotographError`` for a page too large for the lab's format.
    """
    vips.ready()
    height, width = page.shape[:2]
    check_room(width, height, lab)
    codes = page.astype(np.uint16) * 257
    image = pyvips.Image.new_from_array(codes, interpretation="rgb16")
    base = Base(image, spaces.profile("srgb"))
    return encoded(variant_image(base, lab, 0.0), lab)
