"""The tones of a picture in a few figures: densities relative to its own white, clipped shares."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.plan.tones.tone import reflectance, tone_curve

Lightness = NDArray[np.float32]

BARE_WHITE = 99.5  # L* from which bare paper shows; common practice, no source
DENSEST = 4.0  # no print is half as dense; a file's black has infinite density
_LIGHTEST, _DARKEST = 99, 1  # per cent of the tones, from the darkest up
_STEPS = 2001  # between two of them the light of L* is straight to a millionth


@dataclass(frozen=True, slots=True)
class ToneFigures:
    """Densities above white, at most ``DENSEST``, and shares of the picture, 0 to 1.

    ``mean`` is that of the mean light, which a meter reads that sees the whole picture. The
    lightest hundredth of the picture is at ``lightest`` or less, the darkest at ``darkest``
    or more. ``blocked_share`` is darker than the paper's black, ``bare_share`` is bare white.
    """

    mean: float
    median: float
    lightest: float
    darkest: float
    blocked_share: float
    bare_share: float


@dataclass(frozen=True, slots=True)
class ClippedShares:
    """The shares of an image, 0 to 1, that are blocked shadow and bare paper white."""

    blocked: float
    bare: float


def tone_figures(lightness: Lightness, black: float) -> ToneFigures:
    """Return the figures of a picture from the L* of its pixels, for a paper's ``black``.

    >>> grey = tone_figures(np.full((2, 2), 50, np.float32), 9)
    >>> round(grey.mean, 4), round(grey.median, 4), grey.blocked_share
    (0.7347, 0.7347, 0.0)
    """
    darkest, median, lightest = np.percentile(lightness, (_DARKEST, 50, _LIGHTEST))
    at = np.linspace(0, 100, _STEPS)
    light = np.interp(lightness, at, [reflectance(float(tone)) for tone in at])
    clipped = clipped_shares(lightness, black)
    return ToneFigures(
        mean=_density(float(light.mean())),
        median=_density(reflectance(float(median))),
        lightest=_density(reflectance(float(lightest))),
        darkest=_density(reflectance(float(darkest))),
        blocked_share=clipped.blocked,
        bare_share=clipped.bare,
    )


def clipped_shares(lightness: Lightness, black: float, bare: float = BARE_WHITE) -> ClippedShares:
    """Return the shares of an image darker than ``black``, and ``bare`` or lighter, all in L*."""
    blocked, white = np.count_nonzero(lightness < black), np.count_nonzero(lightness >= bare)
    return ClippedShares(float(blocked / lightness.size), float(white / lightness.size))


def clipped_shares_at(lightness: Lightness, density: float, black: float) -> ClippedShares:
    """Return the same once the tone curve has printed the image ``density`` darker.

    The inverse curve is applied to the two limits, which is quicker than the curve on every pixel.
    """
    curve = tone_curve(density)
    at = np.linspace(0, 100, 1001)
    limits = np.interp((black, BARE_WHITE), [curve(float(v)) for v in at], at)
    return clipped_shares(lightness, float(limits[0]), float(limits[1]))


def _density(light: float) -> float:
    """The density of relative light, 0 to ``DENSEST``."""
    return max(0.0, -math.log10(max(light, 10**-DENSEST)))
