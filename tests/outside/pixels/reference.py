"""The expected colours, computed in double precision with colour-science.

Spaces: the RGB colour spaces of colour-science, named after their standards. CIELAB is the D50
CIELAB of ICC profiles, by Bradford adaptation.
"""

import warnings
from typing import Any

import numpy as np
from numpy.typing import NDArray

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science warns at import of optional packages
    import colour

Floats = NDArray[np.float64]

NAMES = {
    "srgb": "sRGB",
    "a98-rgb": "Adobe RGB (1998)",
    "display-p3": "Display P3",
    "romm": "ProPhoto RGB",
}
D50 = np.array([63190, 65536, 54061]) / 65536  # ICC.1:2022, 7.2.16
D50_XY = colour.XYZ_to_xy(D50)
IN_GAMUT = 1e-4


def _space(name: str) -> Any:
    return colour.RGB_COLOURSPACES[NAMES[name]]


def to_xyz_matrix(name: str) -> Floats:
    """Return the matrix from linear RGB to XYZ under D50."""
    space = _space(name)
    white = colour.xy_to_XYZ(space.whitepoint)
    adapted = colour.adaptation.matrix_chromatic_adaptation_VonKries(white, D50, "Bradford")
    own = colour.normalised_primary_matrix(space.primaries, space.whitepoint)
    return np.asarray(adapted @ own, dtype=np.float64)


def decoded(name: str, codes: Floats) -> Floats:
    """Return the light of codes from 0 to 1."""
    if name == "a98-rgb":
        return codes ** (563 / 256)
    if name == "romm":  # as profiles of this space have it: the power without the toe
        return codes**1.8
    return np.asarray(colour.models.eotf_sRGB(codes), dtype=np.float64)


def coded(name: str, light: Floats) -> Floats:
    """Return the codes, 0 to 1, of light."""
    light = np.clip(light, 0, 1)
    if name == "a98-rgb":
        return light ** (256 / 563)
    if name == "romm":
        return light ** (1 / 1.8)
    return np.asarray(colour.models.eotf_inverse_sRGB(light), dtype=np.float64)


def cielab_of(name: str, codes: Floats) -> Floats:
    """Return the CIELAB of codes from 0 to 1."""
    return cielab_of_xyz(decoded(name, codes) @ to_xyz_matrix(name).T)


def cielab_of_xyz(xyz: Floats) -> Floats:
    """Return the CIELAB of XYZ under D50."""
    return np.asarray(colour.XYZ_to_Lab(xyz, D50_XY), dtype=np.float64)


def xyz_of_cielab(cielab: Floats) -> Floats:
    """Return the XYZ under D50 of CIELAB."""
    return np.asarray(colour.Lab_to_XYZ(cielab, D50_XY), dtype=np.float64)


def codes_of(name: str, cielab: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the exact codes, 0 to 1, of CIELAB colours, and which are in gamut."""
    light = xyz_of_cielab(cielab) @ np.linalg.inv(to_xyz_matrix(name)).T
    held = np.asarray(((light > -IN_GAMUT) & (light < 1 + IN_GAMUT)).all(axis=-1))
    return coded(name, light), held


def darker(cielab: Floats, density: float) -> Floats:
    """Return CIELAB colours with the tone curve applied: T(L*) = L* - k 16 u^2 (1 - u)^2.

    k is such that L* 50 gets exactly the requested density.
    """
    middle = colour.colorimetry.luminance_CIE1976(50.0, 1.0)
    k = 50 - colour.colorimetry.lightness_CIE1976(middle * 10**-density, 1.0)
    u = cielab[..., :1] / 100
    return np.concatenate(
        [cielab[..., :1] - k * 16 * u**2 * (1 - u) ** 2, cielab[..., 1:]], axis=-1
    )


def difference(one: Floats, other: Floats) -> Floats:
    """Return the colour difference CIEDE2000."""
    return np.asarray(colour.delta_E(one, other, method="CIE 2000"))


def colour_checker() -> Floats:
    """Return the CIELAB under D50 of the 24 patches of the ColorChecker of 2005, row by row."""
    checker = colour.CCS_COLOURCHECKERS["ColorChecker 2005"]
    xyz = np.array([colour.xyY_to_XYZ(patch) for patch in checker.data.values()])
    white = colour.xy_to_XYZ(checker.illuminant)
    adapted = colour.adaptation.matrix_chromatic_adaptation_VonKries(white, D50, "Bradford")
    return cielab_of_xyz(xyz @ np.asarray(adapted).T)


def ycbcr_of(codes: Floats, standard: str, bits: int, *, legal_range: bool) -> NDArray[Any]:
    """Return RGB from 0 to 1 as YCbCr with this many bits.

    In the legal range of television, black and white are not the lowest and highest codes.
    """
    found = colour.RGB_to_YCbCr(
        codes,
        K=colour.WEIGHTS_YCBCR[standard],
        in_int=False,
        out_bits=bits,
        out_int=True,
        out_legal=legal_range,
    )
    return np.asarray(np.clip(found, 0, 2**bits - 1)).astype(f"u{bits // 8}")
