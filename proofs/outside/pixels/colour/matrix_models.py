"""Profiles as numbers: curves from codes to light, and matrices from light to XYZ.

Curve types: ICC.1:2022, 10.6 and 10.18 (from memory).
"""

import struct
from dataclasses import dataclass

import numpy as np

from proofs.outside.pixels.colour.icc import Curve, Floats, tags


@dataclass(frozen=True, slots=True)
class MatrixModel:
    """A matrix profile in float64: a curve to light for each channel, then light to XYZ (D50)."""

    to_xyz: Floats
    curves: tuple[Curve, ...]

    def light(self, codes: Floats) -> Floats:
        """Return the linear light of codes 0 to 1, channels last."""
        return np.stack([curve(codes[..., n]) for n, curve in enumerate(self.curves)], axis=-1)


def matrix_model(profile: bytes) -> MatrixModel | None:
    """Return the profile as curves and a matrix, or None where it needs a look-up table."""
    held = tags(profile)
    names = [f"{c}{kind}" for kind in ("XYZ", "TRC") for c in "rgb"]
    if {"A2B0", "A2B1"} & held.keys() or not all(name in held for name in names):
        return None
    columns = [np.array(struct.unpack_from(">3i", held[name], 8)) / 65536 for name in names[:3]]
    return MatrixModel(np.stack(columns, axis=1), tuple(curve_of(held[name]) for name in names[3:]))


def grey_curve(profile: bytes) -> Curve | None:
    """Return the curve from grey code to light, both 0 to 1, or None without one."""
    held = tags(profile)
    return curve_of(held["kTRC"]) if "kTRC" in held and "A2B0" not in held else None


def curve_of(tag: bytes) -> Curve:
    """Return the curve that a ``curv`` or ``para`` tag holds, from 0 to 1 onto 0 to 1.

    Raises ``ValueError`` for a tag of another type.
    """
    kind = tag[:4]
    if kind == b"para":
        return _parametric(int.from_bytes(tag[8:10], "big"), tag)
    if kind != b"curv":
        raise ValueError(f"a curve of type {kind.decode('latin-1')!r} is unknown")
    count = int.from_bytes(tag[8:12], "big")
    if count == 0:
        return lambda v: np.clip(v, 0, 1)
    values = np.frombuffer(tag, ">u2", count, 12).astype(np.float64)
    if count == 1:
        power = float(values[0]) / 256
        return lambda v: np.asarray(np.clip(v, 0, 1) ** power)
    at = np.linspace(0, 1, count)
    return lambda v: np.interp(v, at, values / 65535)


_PARAMETERS = (1, 3, 4, 5, 7)


def _parametric(kind: int, tag: bytes) -> Curve:
    if kind >= len(_PARAMETERS):
        raise ValueError(f"a parametric curve of type {kind} is unknown")
    given = [v / 65536 for v in struct.unpack_from(f">{_PARAMETERS[kind]}i", tag, 12)]
    g, a, b, c, d, e, f = _named(kind, given)

    def curve(v: Floats) -> Floats:
        v = np.clip(v, 0, 1)
        power = np.maximum(a * v + b, 0) ** g + e
        return np.clip(np.where(v >= d, power, c * v + f), 0, 1)

    return curve


def _named(kind: int, p: list[float]) -> tuple[float, float, float, float, float, float, float]:
    """The parameters of all five types as those of the last: (a v + b)^g + e from d, else c v + f.

    Types 1 and 2 break where a v + b is 0; below that they hold 0 and c (ICC.1:2022, 10.18).
    """
    if kind == 0:
        return p[0], 1, 0, 0, 0, 0, 0
    g, a, b = p[0], p[1], p[2]
    if kind in (1, 2):
        level = p[3] if kind == 2 else 0.0
        return g, a, b, 0, (-b / a if a else 0), level, level
    return g, a, b, p[3], p[4], (p[5] if kind == 4 else 0), (p[6] if kind == 4 else 0)
