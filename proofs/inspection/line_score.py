"""How likely each traced line is a hair or a scratch: a logistic score of its features.

The weights were fitted to lines planted in real photographs, against all other lines of the same
photographs without them (`tests/bench/inspection_fit.py`); one set for each pass.
"""

import numpy as np

from proofs.inspection.line_response import LONG
from proofs.inspection.line_tracing import Floats

_LONG_START = -1.974
_LONG_WEIGHTS = (
    0.09283,  # contrast, logarithm
    -1.305,  # above 0.7
    -1.652,  # above 1.4
    0.5085,  # contrast over noise, logarithm
    2.024,  # above 0.7
    0.2521,  # above 1.4
    0.04444,  # strength, logarithm
    1.547,  # constant share
    -1.51,  # above 0.6
    0.3931,  # above 0.8
    -0.2317,  # step
    -0.2785,  # above 0.3
    -0.2293,  # above 0.8
    0.3742,  # scatter
    0.1367,  # above 0.5
    -0.8785,  # width in pixels
    0.4278,  # above 4
    -0.6619,  # company, logarithm
    -0.4589,  # above -5
    0.09218,  # above -4
    0.4617,  # length in mm, logarithm
    3.46,  # bend
    -0.7692,  # others alike, logarithm
)
_SHORT_START = -2.987
_SHORT_WEIGHTS = (
    0.04829,  # contrast, logarithm
    -1.011,  # above 0.7
    -1.525,  # above 1.4
    0.6047,  # contrast over noise, logarithm
    1.593,  # above 0.7
    0.4769,  # above 1.4
    -0.5441,  # strength, logarithm
    1.962,  # constant share
    -2.04,  # above 0.6
    -0.5791,  # above 0.8
    -0.2093,  # step
    -0.2444,  # above 0.3
    -0.2113,  # above 0.8
    0.5858,  # scatter
    0.205,  # above 0.5
    -0.8954,  # width in pixels
    0.4537,  # above 4
    -0.7723,  # company, logarithm
    -0.3784,  # above -5
    0.3966,  # above -4
    0.5022,  # length in mm, logarithm
    6.093,  # bend
    -0.7922,  # others alike, logarithm
)


def line_scores(features: Floats, length: int) -> Floats:
    """Return the score of each row of features of the pass that averages over ``length`` pixels."""
    start, weights = _SHORT_START, _SHORT_WEIGHTS
    if length == LONG:
        start, weights = _LONG_START, _LONG_WEIGHTS
    return np.asarray(start + (features * np.array(weights)).sum(axis=1))
