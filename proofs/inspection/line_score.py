"""How likely each traced line is a hair or a scratch: a logistic score of its features.

The weights were fitted to lines planted in real photographs, against all other lines of the same
photographs without them, and then once more to what they left in doubt
(`tests/bench/inspection_fit.py`); one set for each pass.
"""

import numpy as np

from proofs.inspection.line_response import LONG
from proofs.inspection.line_tracing import Floats

_LONG_START = -0.893
_LONG_WEIGHTS = (
    0.1257,  # contrast, logarithm
    -1.466,  # above 0.7
    -1.966,  # above 1.4
    0.5155,  # contrast over noise, logarithm
    1.966,  # above 0.7
    0.1293,  # above 1.4
    -0.337,  # strength, logarithm
    2.515,  # constant share
    -0.7899,  # above 0.6
    -0.206,  # above 0.8
    -0.4095,  # step
    -0.5408,  # above 0.3
    -0.6923,  # above 0.8
    0.4767,  # scatter
    0.1691,  # above 0.5
    -1.143,  # width in pixels
    -0.04147,  # above 4
    -0.6925,  # company, logarithm
    -0.4818,  # above -5
    0.08458,  # above -4
    0.1815,  # length in mm, logarithm
    4.016,  # bend
    -0.9094,  # others alike, logarithm
)
_SHORT_START = -2.27
_SHORT_WEIGHTS = (
    0.1635,  # contrast, logarithm
    -1.208,  # above 0.7
    -1.899,  # above 1.4
    0.5848,  # contrast over noise, logarithm
    1.475,  # above 0.7
    0.3227,  # above 1.4
    -0.8797,  # strength, logarithm
    3.368,  # constant share
    -1.651,  # above 0.6
    -1.304,  # above 0.8
    -0.3898,  # step
    -0.4962,  # above 0.3
    -0.6936,  # above 0.8
    0.6322,  # scatter
    0.1193,  # above 0.5
    -1.218,  # width in pixels
    -0.1167,  # above 4
    -0.7814,  # company, logarithm
    -0.3622,  # above -5
    0.2812,  # above -4
    0.4747,  # length in mm, logarithm
    7.809,  # bend
    -0.9745,  # others alike, logarithm
)


def line_weights(length: int) -> tuple[float, tuple[float, ...]]:
    """Return the start and the weights of the pass that averages over ``length`` pixels."""
    if length == LONG:
        return _LONG_START, _LONG_WEIGHTS
    return _SHORT_START, _SHORT_WEIGHTS


def line_scores(features: Floats, length: int) -> Floats:
    """Return the score of each row of features of the pass that averages over ``length`` pixels."""
    start, weights = line_weights(length)
    return np.asarray(start + (features * np.array(weights)).sum(axis=1))
