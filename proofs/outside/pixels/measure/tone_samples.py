"""How light the pixels of a whole picture are, as many of them as its tones need."""

import math

import numpy as np

from proofs.inspection.tones import Lightness
from proofs.outside.pixels import vips
from proofs.outside.pixels.measure.mid_grey import lightness_of_image
from proofs.outside.pixels.source.decode import Photograph

_ENOUGH = 8_000_000  # pixels: shares and percentiles of more differ by less than they are told to


def lightness_samples(photograph: Photograph) -> Lightness:
    """Return the L* of a picture's pixels, from its white; of large ones every second or third.

    Pixels are left out, never mixed: a mixture has tones that the picture has not.
    """
    vips.ready()
    image = photograph.image
    step = math.ceil(math.sqrt(image.width * image.height / _ENOUGH))
    if step > 1 and min(image.width, image.height) >= step:
        image = image.subsample(step, step)
    return lightness_of_image(image, photograph.profile).astype(np.float32)
