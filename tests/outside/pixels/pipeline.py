"""The whole conversion of one picture, from source file to finished file."""

import io
from pathlib import Path

import numpy as np
import tifffile
from PIL import Image

from proofs.lengths import PixelSize
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.resize.print_size import sized_for_print
from proofs.outside.pixels.source.decode import decode
from proofs.records.labs import Lab
from proofs.records.papers import Sharpening
from tests.outside.pixels.pictures import Array


def sized(
    path: Path, size: PixelSize | None = None, *, sharpen: Sharpening = Sharpening.OFF
) -> ProfiledImage:
    """Return a file's picture at print size, by default at its own size."""
    photograph = decode(path)
    size = size or photograph.facts.pixels
    return sized_for_print(photograph, turn=0, crop=None, size=size, ppi=300, sharpen=sharpen)


def written(path: Path, lab: Lab, density: float = 0.0, *, size: PixelSize | None = None) -> bytes:
    """Return the finished file made from a picture file."""
    return encoded(variant_image(sized(path, size), lab, density), lab)


def pixels_of(file: bytes) -> Array:
    """Return the pixels of a finished TIFF as tifffile reads them, of others as Pillow does."""
    if file[:2] in (b"II", b"MM"):
        return np.asarray(tifffile.imread(io.BytesIO(file)))
    return np.asarray(Image.open(io.BytesIO(file)))
