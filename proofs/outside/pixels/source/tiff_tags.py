"""Tags of TIFF and EXIF that describe an image.

TIFF 6.0 and EXIF 3.0; ImageSourceData, an editor's layers, is a private tag. All from memory.
"""

from enum import IntEnum


class Tag(IntEnum):
    """The number of a tag."""

    INTEROPERABILITY_INDEX = 1
    NEW_SUBFILE_TYPE = 254
    IMAGE_WIDTH = 256
    IMAGE_LENGTH = 257
    BITS_PER_SAMPLE = 258
    COMPRESSION = 259
    PHOTOMETRIC_INTERPRETATION = 262
    STRIP_OFFSETS = 273
    ORIENTATION = 274
    SAMPLES_PER_PIXEL = 277
    X_RESOLUTION = 282
    Y_RESOLUTION = 283
    PLANAR_CONFIGURATION = 284
    RESOLUTION_UNIT = 296
    TILE_WIDTH = 322
    TILE_OFFSETS = 324
    SUB_IFDS = 330
    EXTRA_SAMPLES = 338
    YCBCR_COEFFICIENTS = 529
    REFERENCE_BLACK_WHITE = 532
    EXIF_IFD = 0x8769
    IMAGE_SOURCE_DATA = 0x935C
    COLOUR_SPACE = 0xA001
    INTEROPERABILITY_IFD = 0xA005


class Photometric(IntEnum):
    """A photometric interpretation: what the samples of an image stand for."""

    WHITE_IS_ZERO = 0
    BLACK_IS_ZERO = 1
    RGB = 2
    PALETTE = 3
    CMYK = 5
    YCBCR = 6
    CIELAB = 8
    ICCLAB = 9


JPEG_COMPRESSION, SEPARATE_PLANES = 7, 2
"""Values of ``COMPRESSION`` and of ``PLANAR_CONFIGURATION``."""
