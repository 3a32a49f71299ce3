"""Matrix and grey profiles as numbers: curves from codes to light, matrices from light to XYZ.

Curve types: ICC.1:2022, 10.6 and 10.18 (from memory). Functions that read tags raise
``ValueError`` with a short reason if these are damaged.
"""

import struct
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.icc import Curve, Floats, check_profile, tags

_LEAST_STEP = 5.0  # L*; even on newsprint, mid grey is 20 from black and white (from memory)
_LEAST_VOLUME = 0.01  # the determinant of a matrix to XYZ; sRGB has 0.2


@dataclass(frozen=True, slots=True)
class MatrixModel:
    """A matrix profile in float64: one curve to light per channel, then light to XYZ (D50)."""

    to_xyz: Floats
    curves: tuple[Curve, ...]

    def light(self, codes: Floats) -> Floats:
        """Return the linear light of codes 0 to 1, channels last."""
        return np.stack([curve(codes[..., n]) for n, curve in enumerate(self.curves)], axis=-1)


@lru_cache(maxsize=32)  # the pictures of a run share few profiles
def matrix_model(profile: bytes) -> MatrixModel | None:
    """Return the profile as curves and a matrix, or None if it needs a look-up table.

    Raises ``ValueError`` for tags that are damaged or of another type.
    """
    found = tags(profile)
    names = [f"{c}{suffix}" for suffix in ("XYZ", "TRC") for c in "rgb"]
    if {"A2B0", "A2B1"} & found.keys() or not all(name in found for name in names):
        return None
    columns = [np.array(_numbers(found[name], ">3i", 8)) / 65536 for name in names[:3]]
    tags_of_curves = [found[name] for name in names[3:]]
    curves = {tag: curve_of(tag) for tag in tags_of_curves}  # one for channels that share theirs
    to_xyz = np.stack(columns, axis=1)
    to_xyz.flags.writeable = False  # it is shared
    return MatrixModel(to_xyz, tuple(curves[tag] for tag in tags_of_curves))


def check_colours(profile: bytes, channels: int) -> None:
    """Raise ``ValueError`` for a profile that cannot describe images with this many channels.

    Also for one whose black, mid grey and white look alike: a picture would print black.
    """
    check_profile(profile, channels)
    if channels == 1:
        grey_curve(profile)
    model = matrix_model(profile) if channels == 3 else None
    if model and abs(np.linalg.det(model.to_xyz)) < _LEAST_VOLUME:
        raise ValueError("its primaries enclose no colours")
    low, middle, high = vips.lightness_by_engine(profile, channels)
    if not min(abs(middle - low), abs(high - middle)) >= _LEAST_STEP:  # refuses NaN too
        raise ValueError("its black, mid grey and white hardly differ")


def required_matrix_model(profile: bytes) -> MatrixModel:
    """Return a matrix profile as curves and a matrix. Raises ``ValueError`` for any other."""
    model = matrix_model(profile)
    if model is None:
        raise ValueError("the profile is not a matrix profile")
    return model


def equal_channels_are_neutral(profile: bytes) -> bool:
    """Return whether equal channels are neutral, as in a matrix profile with three equal curves."""
    model = matrix_model(profile)
    if model is None:
        return False
    codes = np.linspace(0, 1, 256)
    red, *others = [curve(codes) for curve in model.curves]
    return all(np.array_equal(red, other) for other in others)


def grey_curve(profile: bytes) -> Curve | None:
    """Return the curve from grey code to light, both 0 to 1, or None if there is none."""
    found = tags(profile)
    return curve_of(found["kTRC"]) if "kTRC" in found and "A2B0" not in found else None


def curve_of(tag: bytes) -> Curve:
    """Return the curve of a ``curv`` or ``para`` tag, from 0 to 1 onto 0 to 1.

    Raises ``ValueError`` for a tag of another type.
    """
    signature = tag[:4]
    if signature == b"para":
        return _parametric(int.from_bytes(tag[8:10], "big"), tag)
    if signature != b"curv":
        raise ValueError(f"a curve of type {signature.decode('latin-1')!r} is not supported")
    count = int.from_bytes(tag[8:12], "big")
    if count == 0:
        return lambda v: np.clip(v, 0, 1)
    if 12 + 2 * count > len(tag):
        raise ValueError("a curve is cut short")
    values = np.frombuffer(tag, ">u2", count, 12).astype(np.float64)
    if count == 1:
        power = float(values[0]) / 256
        return lambda v: np.asarray(np.clip(v, 0, 1) ** power)
    at = np.linspace(0, 1, count)
    return lambda v: np.interp(v, at, values / 65535)


def _numbers(tag: bytes, layout: str, at: int) -> tuple[int, ...]:
    try:
        return struct.unpack_from(layout, tag, at)
    except struct.error:
        raise ValueError(f"its tag of type {tag[:4].decode('latin-1')!r} is cut short") from None


_PARAMETERS = (1, 3, 4, 5, 7)  # by function type


def _parametric(function_type: int, tag: bytes) -> Curve:
    if function_type >= len(_PARAMETERS):
        raise ValueError(f"a parametric curve of type {function_type} is not supported")
    given = _numbers(tag, f">{_PARAMETERS[function_type]}i", 12)
    g, a, b, c, d, e, f = _as_type_4(function_type, [v / 65536 for v in given])

    def curve(v: Floats) -> Floats:
        v = np.clip(v, 0, 1)
        with np.errstate(over="ignore", divide="ignore"):  # infinite values are clipped
            power = np.maximum(a * v + b, 0) ** g + e
        return np.clip(np.where(v >= d, power, c * v + f), 0, 1)

    return curve


def _as_type_4(
    function_type: int, p: list[float]
) -> tuple[float, float, float, float, float, float, float]:
    """The parameters of any type as those of type 4: (a v + b)^g + e from d up, c v + f below.

    Types 1 and 2 break where a v + b is 0; below that they are 0 and c (ICC.1:2022, 10.18).
    """
    if function_type == 0:
        return p[0], 1, 0, 0, 0, 0, 0
    g, a, b = p[0], p[1], p[2]
    if function_type in (1, 2):
        level = p[3] if function_type == 2 else 0.0
        return g, a, b, 0, (-b / a if a else 0), level, level
    e, f = (p[5], p[6]) if function_type == 4 else (0, 0)
    return g, a, b, p[3], p[4], e, f
