"""How likely each traced line is a hair or a scratch: a logistic score of its features.

The weights were fitted to lines planted in real photographs, against all other lines of the same
photographs without them (`tests/bench/inspection_fit.py`); one set for each pass.
"""

import numpy as np

from proofs.inspection.line_response import LONG
from proofs.inspection.line_tracing import Floats

_LONG_START = -6.385
_LONG_WEIGHTS = (
    -0.5707,  # contrast, logarithm
    -3.988,  # above 0.7
    -3.277,  # above 1.4
    0.9011,  # contrast over noise, logarithm
    4.254,  # above 0.7
    3.251,  # above 1.4
    2.324,  # strength, logarithm
    3.837,  # constant share
    -2.368,  # above 0.6
    -8.476,  # above 0.8
    -1.633,  # step
    -0.5173,  # above 0.3
    1.157,  # above 0.8
    0.8306,  # scatter
    -0.5806,  # above 0.5
    -0.5546,  # width in pixels
    -1.078,  # above 4
    -0.5413,  # density, logarithm
    -0.5413,  # above -4
    0.516,  # length in mm, logarithm
    6.991,  # bend
    -0.5905,  # others alike, logarithm
)
_SHORT_START = -11.73
_SHORT_WEIGHTS = (
    -1.109,  # contrast, logarithm
    -2.893,  # above 0.7
    -3.091,  # above 1.4
    1.014,  # contrast over noise, logarithm
    2.379,  # above 0.7
    3.603,  # above 1.4
    2.469,  # strength, logarithm
    2.035,  # constant share
    -0.9629,  # above 0.6
    -4.028,  # above 0.8
    -1.63,  # step
    -0.4237,  # above 0.3
    0.531,  # above 0.8
    1.328,  # scatter
    -1.325,  # above 0.5
    -0.7313,  # width in pixels
    -0.9065,  # above 4
    -1.399,  # density, logarithm
    0.7836,  # above -4
    1.386,  # length in mm, logarithm
    9.404,  # bend
    -0.2565,  # others alike, logarithm
)


def line_scores(features: Floats, length: int) -> Floats:
    """Return the score of each row of features of the pass that averages over ``length`` pixels."""
    start, weights = _SHORT_START, _SHORT_WEIGHTS
    if length == LONG:
        start, weights = _LONG_START, _LONG_WEIGHTS
    return np.asarray(start + (features * np.array(weights)).sum(axis=1))
