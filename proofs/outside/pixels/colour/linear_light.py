"""Conversions between codes, linear light and CIELAB for whole images, by tables and matrices."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels.colour.icc import D50_XYZ, Curve, Floats

CODES = 65536
_D65 = [95.0470, 100.0, 108.8827]  # the white point of the image library's own CIELAB
_D50_TO_D65 = np.diag(np.array(_D65) / D50_XYZ)


def to_16_bits(image: pyvips.Image) -> pyvips.Image:
    """Return an 8-bit or 16-bit image with 16-bit codes; 255 becomes 65535."""
    if image.format == "ushort":
        return image.copy(interpretation="multiband")
    return looked_up(image, np.arange(256, dtype=np.uint16)[:, None] * 257)


def looked_up(image: pyvips.Image, table: NDArray[Any]) -> pyvips.Image:
    """Return an image whose code n becomes row n of a table, with one column per channel or one."""
    return image.copy(interpretation="multiband").maplut(pyvips.Image.new_from_array(table[None]))


def from_codes(image: pyvips.Image, curves: Sequence[Curve]) -> pyvips.Image:
    """Return the linear light, in float, of a 16-bit image whose channels follow these curves."""
    codes = np.linspace(0, 1, CODES)
    return looked_up(image, np.stack([c(codes) for c in curves], axis=-1).astype(np.float32))


def to_codes(light: pyvips.Image, curves: Sequence[Curve], bits: int = 16) -> pyvips.Image:
    """Return the codes of light, clipped to 0 and 1, whose channels follow these curves."""
    # Indexed by the square root: its steps are as fine near black as those of the codes.
    root = light.clamp(min=0, max=1).math2_const("pow", [0.5])
    table = to_code_array(np.linspace(0, 1, CODES) ** 2, curves, bits)
    return looked_up(root.linear(CODES - 1, 0.5).cast("ushort"), table)


def to_code_array(
    light: Floats, curves: Sequence[Curve], bits: int
) -> NDArray[np.uint8] | NDArray[np.uint16]:
    """Return the codes of these values of light, one column per curve."""
    at = np.linspace(0, 1, 4 * CODES) ** 2  # densest near black, where curves are flat
    columns = {curve: np.interp(light, curve(at), at) for curve in dict.fromkeys(curves)}
    shares = np.stack([columns[curve] for curve in curves], axis=-1)
    codes = np.asarray(np.rint(shares * (2**bits - 1)))
    return codes.astype(np.uint8) if bits == 8 else codes.astype(np.uint16)


def to_cielab(light: pyvips.Image, to_xyz: Floats) -> pyvips.Image:
    """Return the CIELAB (D50) of linear RGB with these primaries."""
    xyz = light.recomb(matrix_rows(_D50_TO_D65 @ to_xyz)).copy(interpretation="xyz")
    return xyz.XYZ2Lab(temp=_D65)


def from_cielab(cielab: pyvips.Image, to_xyz: Floats) -> pyvips.Image:
    """Return the linear RGB with these primaries, unclipped, of CIELAB (D50)."""
    xyz = cielab.copy(interpretation="lab").Lab2XYZ(temp=_D65)
    return xyz.recomb(matrix_rows(np.linalg.inv(_D50_TO_D65 @ to_xyz)))


def matrix_rows(matrix: NDArray[np.floating]) -> list[list[float]]:
    """Return a matrix in the form that the image library takes."""
    return [[float(v) for v in row] for row in matrix]
