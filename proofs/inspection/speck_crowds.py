"""What is taken off the scores of specks because many of a kind are the subject."""

import math

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.speck_candidates import Floats
from proofs.inspection.speck_shapes import Shapes
from proofs.records.inspections import SpeckLimits

_LIKELY = -2.0  # score: what may well be one counts in the crowd of others
_NEARLY = 4.0  # score: what is so much less sure is no company, as grain is none to clear dust
_CROWD_STEP = 0.6  # what each one too many takes off the score
_AREA_FACTOR = 4.0  # of a kind are those that are at most so much larger or smaller
_GRAIN_MM2 = 0.1  # grain that was enlarged is no larger
_GRAIN_COUNT = 6  # more, as large and as strong, within a hand's length are grain
_GRAIN_RADIUS_MM = 60.0
_GRAIN_AREA_FACTOR = 2.0
_GRAIN_CONTRAST_FACTOR = 1.6


def crowd_taken(
    shapes: Shapes,
    scores: Floats,
    which: NDArray[np.bool_],
    limits: SpeckLimits,
    *,
    px_per_mm: float,
    area_mm2: float,
) -> Floats:
    """Return what is taken off each score because many of a kind are the subject.

    Stars, drops and sand are. On a larger print the subject is larger too, so its parts are
    looked for further away. Of small ones, many that are equally large and strong are grain, light
    and dark alike. Only the shapes in ``which`` are worked out; the others have 0.
    """
    likely = np.flatnonzero(scores > _LIKELY)
    x, y = shapes.x[likely] / px_per_mm, shapes.y[likely] / px_per_mm
    size = np.log(np.pi) + 2 * np.log(shapes.radius[likely] / px_per_mm)
    contrast, sign = np.log(np.abs(shapes.contrast[likely])), np.sign(shapes.contrast[likely])
    sure = scores[likely]
    reach = max(limits.crowd_radius_mm, limits.crowd_radius_share * math.sqrt(area_mm2))
    taken = np.zeros(len(scores))
    for n in np.flatnonzero(which[likely]).tolist():
        away, larger = np.hypot(x - x[n], y - y[n]), np.abs(size - size[n])
        near = (away < reach) & (larger < np.log(_AREA_FACTOR))
        near &= (sign == sign[n]) & (sure > sure[n] - _NEARLY)
        many = max(0, int(near.sum()) - 1 - limits.crowd_count)
        if size[n] < np.log(_GRAIN_MM2):
            grain = (away < _GRAIN_RADIUS_MM) & (larger < np.log(_GRAIN_AREA_FACTOR))
            grain &= np.abs(contrast - contrast[n]) < np.log(_GRAIN_CONTRAST_FACTOR)
            many += max(0, int(grain.sum()) - 1 - _GRAIN_COUNT)
        taken[likely[n]] = _CROWD_STEP * many
    return taken
