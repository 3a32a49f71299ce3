"""The colours of a picture file, measured in its finished file; and codes to test with."""

from pathlib import Path
from typing import Any

import numpy as np

from proofs.outside.pixels.source.decode import decode
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import COLOURS, patches
from tests.outside.pixels.pictures import Array, lab
from tests.outside.pixels.pipeline import pixels_of, written


def colours_in_print(path: Path, space: str = "display-p3") -> Array:
    """The CIELAB of the patches of a picture, measured in its finished 16-bit file."""
    return reference.cielab_of(
        space, patches(pixels_of(written(path, lab(bits=16, space=space)))) / 65535
    )


def assert_colours(path: Path, expected: Any, tolerance: float = near.PATCH) -> None:
    off = np.linalg.norm(colours_in_print(path) - np.asarray(expected), axis=1)
    assert off.max() <= tolerance, off


def codes_found(path: Path) -> list[str]:
    return [finding.code for finding in decode(path).facts.notes]


def grey_cielab(light: Any) -> Array:
    xyz = np.asarray(light, dtype=float)[:, None] * reference.D50
    return reference.cielab_of_xyz(xyz)


def linear_codes() -> Array:
    return np.rint(reference.decoded("srgb", COLOURS / 255) * 65535)
