"""What the profiles across a line show: how narrow, even and alone it is on its ground."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

ACROSS = 14  # pixels either way
FLANK = (5, 10)  # pixels from the middle: the ground beside a line
FIGURES = (
    *("body", "skirt", "lobe", "varying", "weakest"),
    *("bumps", "dips", "ridge", "trough", "ground_along", "ground_across"),
)
_BODY = 4  # pixels either way that a hair and its flanks take
_LEAST = 0.05  # L*: what contrasts are shares of


def profile_figures(profile: Floats) -> dict[str, Floats]:
    """Return a value for each line and each of ``FIGURES``.

    ``profile`` is L* by line, place along it and pixel across, its crest in the middle, with the
    sign of a light line. All but ``body``, which is in pixels, are shares of the contrast: of the
    typical profile ``body`` is the area, ``skirt`` what is 3 and 4 pixels off, ``lobe`` the least
    beside the middle, ``ridge`` and ``trough`` the most and the least of the ground. Over all
    places, ``bumps`` and ``dips`` are those of the ground, ``varying`` how far the contrast is
    typically off, ``weakest`` the contrast where it is least, and the ground differs by
    ``ground_along`` from place to place and by ``ground_across`` from side to side.
    """
    typical = np.median(profile, axis=1)
    near, far = FLANK
    left, right = ACROSS + 1 - far, ACROSS + far
    beside = np.concatenate(
        [typical[:, left : ACROSS + 1 - near], typical[:, ACROSS + near : right]], axis=1
    )
    level = np.median(beside, axis=1)
    peak = np.maximum(typical[:, ACROSS] - level, _LEAST)
    shape = (typical - level[:, None]) / peak[:, None]
    ground = _ground(profile - level[:, None, None]) / peak[:, None, None]
    of_shape = _ground(shape)
    return {
        "body": shape[:, ACROSS - _BODY : ACROSS + _BODY + 1].sum(axis=1),
        "skirt": shape[:, [ACROSS - 4, ACROSS - 3, ACROSS + 3, ACROSS + 4]].mean(axis=1),
        "lobe": np.minimum(
            shape[:, ACROSS - 5 : ACROSS - 1].min(axis=1),
            shape[:, ACROSS + 2 : ACROSS + 6].min(axis=1),
        ),
        "bumps": np.percentile(ground, 97, axis=(1, 2)),
        "dips": -np.percentile(ground, 3, axis=(1, 2)),
        "ridge": of_shape.max(axis=1),
        "trough": -of_shape.min(axis=1),
        **_along(
            profile,
            profile[:, :, left : ACROSS + 1 - near].mean(axis=2),
            profile[:, :, ACROSS + near : right].mean(axis=2),
        ),
    }


def _ground(profile: Floats) -> Floats:
    """What is further from the middle than a line reaches."""
    sides = profile[..., : ACROSS + 1 - FLANK[0]], profile[..., ACROSS + FLANK[0] :]
    return np.concatenate(sides, axis=-1)


def _along(profile: Floats, one: Floats, other: Floats) -> dict[str, Floats]:
    """How contrast and ground change along each line; ``one`` and ``other`` are its flanks."""
    above = profile[:, :, ACROSS - 1 : ACROSS + 2].max(axis=2) - np.maximum(one, other)
    contrast = np.maximum(np.median(above, axis=1), _LEAST)
    return {
        "varying": np.median(np.abs(above - contrast[:, None]), axis=1) / contrast,
        "weakest": np.percentile(above, 15, axis=1) / contrast,
        "ground_along": np.abs(np.diff((one + other) / 2, axis=1)).mean(axis=1) / contrast,
        "ground_across": np.abs(one - other).mean(axis=1) / contrast,
    }
