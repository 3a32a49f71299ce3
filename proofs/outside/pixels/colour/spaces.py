"""The built-in colour spaces as profiles: those that labs ask for, and a wide working space.

Primaries and whites: IEC 61966-2-1 (sRGB), Adobe RGB (1998), SMPTE EG 432-1 with the sRGB
curve (Display P3, as CSS Color 4 defines it), ISO 22028-2 (the wide primaries).
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.colour.icc import Floats

Chromaticity = tuple[float, float]

D65: Chromaticity = (0.3127, 0.3290)
D50: Chromaticity = (0.3457, 0.3585)
A98_GAMMA = 563 / 256  # Adobe RGB (1998), 4.3.1.2: 2.19921875
_CURVE_ENTRIES = 1024  # 2 kB; between entries off by less than 1/1000 of an 8-bit code

BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)


@dataclass(frozen=True, slots=True)
class Primaries:
    """The chromaticities of red, green, blue and white."""

    red: Chromaticity
    green: Chromaticity
    blue: Chromaticity
    white: Chromaticity


SRGB = Primaries((0.64, 0.33), (0.30, 0.60), (0.15, 0.06), D65)
A98 = Primaries((0.64, 0.33), (0.21, 0.71), (0.15, 0.06), D65)
P3 = Primaries((0.680, 0.320), (0.265, 0.690), (0.150, 0.060), D65)
WIDE = Primaries((0.7347, 0.2653), (0.1596, 0.8404), (0.0366, 0.0001), D50)


def rgb_to_xyz(primaries: Primaries) -> Floats:
    """Return the matrix from linear RGB to XYZ under D50, by Bradford adaptation.

    >>> np.round(rgb_to_xyz(SRGB)[1], 4).tolist()
    [0.2225, 0.7169, 0.0606]
    """
    white = _xyz(primaries.white)
    columns = np.stack([_xyz(p) for p in (primaries.red, primaries.green, primaries.blue)], axis=1)
    matrix = columns * np.linalg.solve(columns, white)
    cones = np.diag((BRADFORD @ icc.D50_XYZ) / (BRADFORD @ white))
    return np.asarray(np.linalg.inv(BRADFORD) @ cones @ BRADFORD @ matrix)


def _xyz(chromaticity: Chromaticity) -> Floats:
    x, y = chromaticity
    return np.array([x / y, 1.0, (1 - x - y) / y])


def srgb_to_linear(codes: Floats) -> Floats:
    """Return the linear light, 0 to 1, of sRGB codes 0 to 1 (IEC 61966-2-1)."""
    return np.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4)


def linear_to_srgb(light: Floats) -> Floats:
    """Return the sRGB codes, 0 to 1, of linear light 0 to 1 (IEC 61966-2-1)."""
    return np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)


@cache
def srgb_curve() -> bytes:
    """Return the sRGB curve as a sampled curve tag, which every version 2 reader supports."""
    return icc.curve_tag(srgb_to_linear(np.linspace(0, 1, _CURVE_ENTRIES)))


@cache
def built_in_profile(name: str) -> bytes:
    """Return the profile of a built-in space. Raises ``KeyError`` for an unknown name."""
    description, primaries, gamma = _SPACES[name]
    curve = icc.gamma_tag(gamma) if gamma else srgb_curve()
    if primaries is None:
        return icc.build_grey_profile(description, curve)
    return icc.build_matrix_profile(description, rgb_to_xyz(primaries), curve)


# Each with its description, its primaries (a grey has none), and its gamma (else the sRGB curve).
_SPACES: dict[str, tuple[str, Primaries | None, float | None]] = {
    "srgb": ("sRGB IEC61966-2-1", SRGB, None),
    "a98-rgb": ("Compatible with Adobe RGB (1998)", A98, A98_GAMMA),
    "display-p3": ("Display P3", P3, None),
    "wide": ("Wide working RGB", WIDE, None),
    "linear-srgb": ("Linear sRGB primaries", SRGB, 1.0),
    "linear-display-p3": ("Linear Display P3 primaries", P3, 1.0),
    "grey": ("Grey with the sRGB curve", None, None),
    "linear-grey": ("Linear grey", None, 1.0),
}
