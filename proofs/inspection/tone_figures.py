"""The tones of a picture in a few figures, as densities relative to its own white."""

import math
from dataclasses import dataclass

import numpy as np

from proofs.inspection.tones import Lightness, shares
from proofs.plan.tones.tone import reflectance

DENSEST = 4.0  # no print is half as dense; a file's black has no density at all
_LIGHTEST, _DARKEST = 99, 1  # per cent of the tones, from the darkest up
_STEPS = 2001  # between them the light of L* is straight to a millionth


@dataclass(frozen=True, slots=True)
class ToneFigures:
    """Densities from white down, none above ``DENSEST``, and shares of the picture, 0 to 1.

    ``mean`` is that of all its light together, what a meter reads that sees the whole of it.
    The lightest hundredth of the picture is at ``lightest`` or less, the darkest at ``darkest``
    or more. ``blocked_share`` is darker than the paper's black, ``bare_share`` bare white.
    """

    mean: float
    median: float
    lightest: float
    darkest: float
    blocked_share: float
    bare_share: float


def tone_figures(lightness: Lightness, black: float) -> ToneFigures:
    """Return the figures of a picture given by the L* of its pixels, for a paper's ``black``.

    >>> grey = tone_figures(np.full((2, 2), 50, np.float32), 9)
    >>> round(grey.mean, 4), round(grey.median, 4), grey.blocked_share
    (0.7347, 0.7347, 0.0)
    """
    darkest, median, lightest = np.percentile(lightness, (_DARKEST, 50, _LIGHTEST))
    at = np.linspace(0, 100, _STEPS)
    light = np.interp(lightness, at, [reflectance(float(tone)) for tone in at])
    lost = shares(lightness, black)
    return ToneFigures(
        mean=_density(float(light.mean())),
        median=_density(reflectance(float(median))),
        lightest=_density(reflectance(float(lightest))),
        darkest=_density(reflectance(float(darkest))),
        blocked_share=lost.blocked,
        bare_share=lost.bare,
    )


def _density(light: float) -> float:
    """The density of a share of light, 0 to ``DENSEST``."""
    return max(0.0, -math.log10(max(light, 10**-DENSEST)))
