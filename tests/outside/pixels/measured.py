"""What a picture file becomes, measured in its finished file; and codes to begin with."""

from pathlib import Path
from typing import Any

import numpy as np

from proofs.outside.pixels.source.decode import decode
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import COLOURS, patches
from tests.outside.pixels.pictures import Array, lab
from tests.outside.pixels.route import pixels_of, written


def colours_in_print(path: Path, space: str = "display-p3") -> Array:
    """The Lab of the patches of a picture, measured in its finished 16-bit file."""
    return reference.lab_of(
        space, patches(pixels_of(written(path, lab(bits=16, space=space)))) / 65535
    )


def assert_colours(path: Path, expected: Any, tolerance: float = near.PATCH) -> None:
    off = np.linalg.norm(colours_in_print(path) - np.asarray(expected), axis=1)
    assert off.max() <= tolerance, off


def codes_found(path: Path) -> list[str]:
    return [finding.code for finding in decode(path).facts.notes]


def grey_lab(light: Any) -> Array:
    xyz = np.asarray(light, dtype=float)[:, None] * reference.D50
    return reference.lab_of_xyz(xyz)


def linear_codes() -> Array:
    return np.rint(reference.decoded("srgb", COLOURS / 255) * 65535)
