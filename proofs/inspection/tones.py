"""Judgements on the tones of a picture: what is lost in black or white, and where to look."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.plan.tones.tone import tone_curve

Lightness = NDArray[np.float32]
Sums = NDArray[np.float64]

BARE_WHITE = 99.5  # L* from which paper shows bare; common practice, no source
_MIDTONES = (35.0, 65.0)
_TEXTURE = 0.6  # L* of local scatter that an eye still takes for texture; common practice
_REACH = 5.0  # L* from the lightest textured highlight, or the darkest shadow, that still counts
_ENOUGH = 0.03  # of a step: as much of a tone as can be judged; more of it is no better
_EXTREMES = (0.5, 99.5)  # per cent of the textured tones: beyond lie specks
_CENTRED = 0.02  # how little a place near the middle weighs beside tones


@dataclass(frozen=True, slots=True)
class Shares:
    """The shares of an image, 0 to 1, that are blocked shadow and bare paper white."""

    blocked: float
    bare: float


def shares(lightness: Lightness, black: float, bare: float = BARE_WHITE) -> Shares:
    """Return how much of an image is darker than ``black``, and how much is ``bare`` or lighter.

    All are in L*.
    """
    return Shares(float((lightness < black).mean()), float((lightness >= bare).mean()))


def shares_at(lightness: Lightness, density: float, black: float) -> Shares:
    """Return the same once the tone curve has printed the image ``density`` darker.

    The two limits are taken back through the curve, which is quicker than every pixel forth.
    """
    curve = tone_curve(density)
    at = np.linspace(0, 100, 1001)
    limits = np.interp((black, BARE_WHITE), [curve(float(v)) for v in at], at)
    return shares(lightness, float(limits[0]), float(limits[1]))


def telling_place(
    lightness: Lightness, window: tuple[float, float], *, edge: tuple[float, float], black: float
) -> tuple[float, float]:
    """Return the centre of the part of a picture that tells most of its tones.

    It holds the lightest textured highlight, the darkest textured shadow and midtones, as many
    of the three as one window can, and of equals the one nearest to the middle. ``window``
    (its width and height) and ``edge`` (what to keep away from at the sides, and at top and
    bottom) are shares of the picture; so is the centre, from the left and the top.
    """
    height, width = lightness.shape
    wide, high = _span(window[0], width), _span(window[1], height)
    tones = _tones(lightness, black)
    found = sum((np.minimum(_inside(t, wide, high) / _ENOUGH, 1) for t in tones), np.float64(0))
    rows, columns = np.asarray(found).shape
    across = _kept_away(columns, edge[0], width)
    down = _kept_away(rows, edge[1], height)
    away = np.hypot(
        (np.arange(columns) - (columns - 1) / 2)[None, :] / width,
        (np.arange(rows) - (rows - 1) / 2)[:, None] / height,
    )
    score = np.where(down[:, None] & across[None, :], found - _CENTRED * away, -np.inf)
    top, left = np.unravel_index(int(np.argmax(score)), score.shape)
    return (float(left) + wide / 2) / width, (float(top) + high / 2) / height


def _tones(lightness: Lightness, black: float) -> tuple[NDArray[np.bool_], ...]:
    """Where the lightest textured highlight, the darkest textured shadow and midtones lie."""
    textured = (_scatter(lightness) > _TEXTURE) & (lightness > black) & (lightness < BARE_WHITE)
    midtones = (lightness >= _MIDTONES[0]) & (lightness <= _MIDTONES[1])
    if not textured.any():
        return (midtones,)
    low, high = np.percentile(lightness[textured], _EXTREMES)
    return textured & (lightness >= high - _REACH), textured & (lightness <= low + _REACH), midtones


def _scatter(lightness: Lightness) -> Sums:
    """The standard deviation of L* in the three by three pixels round each."""
    around = np.pad(lightness.astype(np.float64), 1, mode="edge")
    mean, square = _inside(around, 3, 3), _inside(around * around, 3, 3)
    return np.asarray(np.sqrt(np.maximum(square - mean * mean, 0)))


def _inside(values: NDArray[np.generic], wide: int, high: int) -> Sums:
    """The mean of every window of so many pixels, by the place of its top left."""
    sums = np.zeros((values.shape[0] + 1, values.shape[1] + 1))
    sums[1:, 1:] = values.astype(np.float64).cumsum(axis=0).cumsum(axis=1)
    whole = sums[high:, wide:] - sums[:-high, wide:] - sums[high:, :-wide] + sums[:-high, :-wide]
    return np.asarray(whole / (wide * high))


def _span(share: float, pixels: int) -> int:
    return max(1, min(pixels, round(share * pixels)))


def _kept_away(places: int, edge: float, pixels: int) -> NDArray[np.bool_]:
    """Which places of a window keep away from the edges; the middle one where none can."""
    margin = min(edge * pixels, (places - 1) / 2)
    at = np.arange(places)
    return np.asarray((at >= np.floor(margin)) & (at <= np.ceil(places - 1 - margin)))
