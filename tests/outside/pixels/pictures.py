"""Pictures for the tests: selected colours, real photographs; and labs to send them to."""

from pathlib import Path
from typing import Any

import numpy as np
import skimage.data
import tifffile
from numpy.typing import NDArray

from proofs.lengths import ZERO
from proofs.outside.pixels.colour import icc, spaces
from proofs.records.labs import Compression, FileFormat, Lab, RenderingIntent

Array = NDArray[Any]

ROMM = icc.build_matrix_profile("ROMM class", spaces.rgb_to_xyz(spaces.WIDE), icc.gamma_tag(1.8))


def profile(name: str) -> bytes:
    """Return the profile of a source space that the reference knows too."""
    return ROMM if name == "romm" else spaces.built_in_profile(name)


def lab(
    *,
    format_: FileFormat = FileFormat.TIFF,
    bits: int = 8,
    space: str = "srgb",
    intent: RenderingIntent = RenderingIntent.RELATIVE,
    compensated: bool = True,
    compression: Compression = Compression.LZW,
    ppi: int = 300,
    quality: int = 95,
) -> Lab:
    """Return a lab with these file requirements."""
    return Lab(
        name="test",
        title="Test lab",
        source="made up",
        ppi=ppi,
        format=format_,
        bits=bits,
        quality=quality,
        compression=compression,
        colour_profile=space,
        intent=intent,
        black_point_compensation=compensated,
        sharpens=False,
        sheets=(),
        margin=ZERO,
        edge_loss=ZERO,
        scale_error=0.0,
    )


def photograph(name: str) -> NDArray[np.uint8]:
    """Return a real photograph from scikit-image: ``astronaut``, ``chelsea`` or ``coffee``."""
    return np.asarray(getattr(skimage.data, name)(), dtype=np.uint8)


def random_colours(count: int = 20_000) -> NDArray[np.uint16]:
    """Return random colours of the RGB cube, the same every time."""
    return np.random.default_rng(20260101).integers(0, 65536, (count, 3)).astype(np.uint16)


def natural_colours(step: int = 2) -> NDArray[np.uint16]:
    """Return the different colours of three real photographs, every ``step``-th pixel of a row."""
    pictures = [photograph(name) for name in ("astronaut", "chelsea", "coffee")]
    pixels = np.concatenate([p[::step, ::step, :3].reshape(-1, 3) for p in pictures])
    return np.unique(pixels, axis=0).astype(np.uint16) * 257


def as_rows(colours: Array, width: int = 500) -> Array:
    """Return a list of colours as an image, with its last row filled up."""
    missing = -len(colours) % width
    return np.concatenate([colours, colours[:1].repeat(missing, 0)]).reshape(-1, width, 3)


def tiff(
    path: Path,
    pixels: Array,
    *,
    icc_profile: bytes = b"",
    photometric: str | int = "rgb",
    **options: Any,
) -> Path:
    """Write a TIFF file with tifffile and return its path."""
    tags = [(34675, 7, len(icc_profile), icc_profile, True)] if icc_profile else []
    tifffile.imwrite(
        path, pixels, photometric=photometric, extratags=tags, metadata=None, **options
    )
    return path
