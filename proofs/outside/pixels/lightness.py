"""Lightness and what the tone curve does to it, on arrays; CIE 15:2004 with the D50 of ICC."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from proofs.outside.pixels.icc import WHITE, Floats, media_white
from proofs.plan.tones.tone import tone_curve

_BREAK = (6 / 29) ** 3
_SAMPLES = 4097  # between them the curve bends by less than a millionth of an L*


@dataclass(frozen=True, slots=True)
class Tone:
    """What happens to the tones of a picture on their way to the print.

    ``density`` is the change asked for at L* 50; ``black`` is the L* of the darkest colour
    that the source can hold, which black point compensation takes to 0 (0: nothing to do).
    """

    density: float = 0.0
    black: float = 0.0

    @property
    def is_plain(self) -> bool:
        """Whether every tone stays as it came."""
        return not self.density and not self.black

    def curve(self) -> Callable[[Floats], Floats]:
        """Return the curve of the density from L* to L* for arrays.

        Raises ``ValueError`` outside -0.30 to +0.60 D.
        """
        of = tone_curve(self.density)
        at = np.linspace(0, 100, _SAMPLES)
        values = np.array([of(float(v)) for v in at])
        return lambda lightness: np.interp(lightness, at, values)


def lab_of(xyz: Floats) -> Floats:
    """Return the CIELAB of XYZ (D50), channels last."""
    f = _f(xyz / WHITE)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def lightness_of(y: Floats) -> Floats:
    """Return the L* of light that is a share ``y`` of white, all that L* needs of a colour."""
    return np.asarray(116 * _f(y) - 16)


def xyz_of(lab: Floats) -> Floats:
    """Return the XYZ (D50) of CIELAB, channels last."""
    y = (lab[..., 0] + 16) / 116
    f = np.stack([y + lab[..., 1] / 500, y, y - lab[..., 2] / 200], axis=-1)
    return np.asarray(np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29)) * WHITE)


def as_measured(lab: Floats, profile: bytes) -> Floats:
    """Return Lab that is relative to the white of a profile's medium as it is measured there.

    The picture library's own absolute intent turns white yellow on its way in: L* 96, a* 0.4,
    b* -1.8 became 96, 2.8, 15.4 (measured).
    """
    return lab_of(xyz_of(lab) * (media_white(profile) / WHITE))


def toned(lab: Floats, tone: Tone) -> Floats:
    """Return Lab colours with black point compensation and the tone curve applied."""
    if tone.black:
        lab = lab_of(deepened(xyz_of(lab), tone.black))
    if not tone.density:
        return lab
    return np.asarray(np.concatenate([tone.curve()(lab[..., :1]), lab[..., 1:]], axis=-1))


def deepened(xyz: Floats, black: float) -> Floats:
    """Return XYZ with the tone of L* ``black`` taken to 0 and white kept, in linear light.

    Source: ISO 18619:2015, black point compensation (from memory).
    """
    darkest = xyz_of(np.array([black, 0.0, 0.0]))[1]
    return np.asarray(np.maximum((xyz - darkest * WHITE) / (1 - darkest), 0))


def _f(t: Floats) -> Floats:
    return np.asarray(np.where(t > _BREAK, np.cbrt(t), t / (6 / 29) ** 2 / 3 + 4 / 29))
