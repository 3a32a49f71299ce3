"""CIELAB and the tone adjustment, on arrays; CIE 15:2004 with the D50 of ICC."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from proofs.outside.pixels.colour.icc import D50_XYZ, Floats, media_white
from proofs.plan.tones.tone import tone_curve

_BREAK = (6 / 29) ** 3
_SAMPLES = 4097  # between two of them the curve is straight to a millionth of an L*


@dataclass(frozen=True, slots=True)
class ToneAdjustment:
    """What happens to the tones of an image on the way to the print.

    ``density`` is the requested change at L* 50; ``black`` is the L* of the darkest colour
    of the source device, which black point compensation maps to 0 (0: nothing to do).
    """

    density: float = 0.0
    black: float = 0.0

    def curve(self) -> Callable[[Floats], Floats]:
        """Return the density's curve from L* to L* for arrays.

        Raises ``ValueError`` outside -0.30 to +0.60 D.
        """
        exact = tone_curve(self.density)
        at = np.linspace(0, 100, _SAMPLES)
        values = np.array([exact(float(v)) for v in at])
        return lambda lightness: np.interp(lightness, at, values)


def from_xyz(xyz: Floats) -> Floats:
    """Return the CIELAB of XYZ (D50), channels last."""
    f = _f(xyz / D50_XYZ)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def y_to_lightness(y: Floats) -> Floats:
    """Return the L* for luminance ``y`` relative to white."""
    return np.asarray(116 * _f(y) - 16)


def to_xyz(colours: Floats) -> Floats:
    """Return the XYZ (D50) of CIELAB, channels last."""
    y = (colours[..., 0] + 16) / 116
    f = np.stack([y + colours[..., 1] / 500, y, y - colours[..., 2] / 200], axis=-1)
    return np.asarray(np.where(f > 6 / 29, f * f * f, 3 * (6 / 29) ** 2 * (f - 4 / 29)) * D50_XYZ)


def media_relative_to_measured(colours: Floats, profile: bytes) -> Floats:
    """Return the measured CIELAB of colours that are relative to the white of a profile's medium.

    The image library's own absolute intent turns white yellow on import: L* 96, a* 0.4,
    b* -1.8 became 96, 2.8, 15.4 (measured).
    """
    return from_xyz(to_xyz(colours) * (media_white(profile) / D50_XYZ))


def adjusted(colours: Floats, tone: ToneAdjustment) -> Floats:
    """Return CIELAB colours after black point compensation and the tone curve."""
    if tone.black:
        colours = from_xyz(black_point_compensated(to_xyz(colours), tone.black))
    if not tone.density:
        return colours
    return np.asarray(np.concatenate([tone.curve()(colours[..., :1]), colours[..., 1:]], axis=-1))


def black_point_compensated(xyz: Floats, black: float) -> Floats:
    """Return XYZ with the tone of L* ``black`` mapped to 0 and white kept, in linear light.

    Source: ISO 18619:2015, black point compensation (from memory).
    """
    darkest = to_xyz(np.array([black, 0.0, 0.0]))[1]
    return np.asarray(np.maximum((xyz - darkest * D50_XYZ) / (1 - darkest), 0))


def _f(t: Floats) -> Floats:
    return np.asarray(np.where(t > _BREAK, np.cbrt(t), t / (6 / 29) ** 2 / 3 + 4 / 29))
