"""A small picture, drawn by formula and printed, by which two computers can be compared."""

import hashlib

import numpy as np
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.conversion.convert import screen_pictures, variant_images
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.prints.encoding import encoded, preview_jpeg
from proofs.outside.pixels.resize.print_size import sized_for_print
from proofs.outside.pixels.resize.screen_size import reduced_for_screen
from proofs.outside.pixels.source.decode import Photograph
from proofs.outside.png import rgb_png
from proofs.plan.entry.facts import PhotoFacts
from proofs.records.labs import Lab
from proofs.records.papers import Sharpening

_DRAWN = PixelSize(640, 420)
_PRINTED = PixelSize(517, 339)  # in no simple ratio to it
_SHOWN = PixelSize(211, 138)
_DENSITIES = 0.0, 0.1, 0.25
_PPI = 300


def specimen_sha256(lab: Lab) -> str:
    """Return the digest of the specimen's files, as this computer makes them for a lab.

    It goes through resampling, sharpening, tone curve, colour, the encoder of the lab and that of
    mock-ups, and is read once. Raises ``ProfileError`` if the lab's profile cannot be used.
    """
    vips.prepare(threads=1)
    digest = hashlib.sha256()
    base = sized_for_print(
        _photograph(), turn=1, crop=None, size=_PRINTED.turned, ppi=_PPI, sharpen=Sharpening.LOW
    )
    for image in variant_images(base, lab, _DENSITIES):
        content = encoded(image, lab)
        digest.update(content)
        digest.update(preview_jpeg(content, _SHOWN.height))
    for codes in screen_pictures(reduced_for_screen(base, _SHOWN.turned), _DENSITIES):
        digest.update(rgb_png(codes, _PPI))
    return digest.hexdigest()


def _photograph() -> Photograph:
    image = vips.image_of_codes(_codes())
    facts = PhotoFacts(_DRAWN, 16, 3)
    return Photograph(facts, image, spaces.built_in_profile("display-p3"), 0.0, "", Metadata())


def _codes() -> NDArray[np.uint16]:
    """Slopes in each channel with fine texture over them, in whole numbers, so exact anywhere."""
    rows, columns = np.mgrid[0 : _DRAWN.height, 0 : _DRAWN.width].astype(np.int64)
    slopes = (rows * 140, columns * 92, (rows + columns) * 55)
    texture = (rows * rows * 37 + columns * columns * 53 + rows * columns * 29) % 4001
    return np.stack([(slope + texture) % 65536 for slope in slopes], axis=-1).astype(np.uint16)
