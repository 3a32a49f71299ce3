"""How likely each traced line is a hair or a scratch: a logistic score of its features.

The weights were fitted to lines planted in real photographs, against all other lines of the same
photographs without them (`tests/bench/inspection_fit.py`); one set for each pass.
"""

import numpy as np

from proofs.inspection.line_response import LONG
from proofs.inspection.line_tracing import Floats

_LONG_START = -2.6
_LONG_WEIGHTS = (
    0.2936,  # contrast, logarithm
    -2.528,  # above 0.7
    -2.88,  # above 1.4
    0.1086,  # contrast over noise, logarithm
    3.556,  # above 0.7
    1.355,  # above 1.4
    2.03,  # strength, logarithm
    1.367,  # constant share
    -6.543,  # above 0.6
    3.002,  # above 0.8
    -0.6507,  # step
    -0.6078,  # above 0.3
    -0.05354,  # above 0.8
    0.7485,  # scatter
    -0.1449,  # above 0.5
    -0.9829,  # width in pixels
    0.9206,  # above 4
    -0.4555,  # density, logarithm
    -0.4505,  # above -4
    0.5704,  # length in mm, logarithm
    4.209,  # bend
    -0.4804,  # others alike, logarithm
)
_SHORT_START = -10.03
_SHORT_WEIGHTS = (
    0.1378,  # contrast, logarithm
    -1.851,  # above 0.7
    -3.389,  # above 1.4
    0.3359,  # contrast over noise, logarithm
    2.387,  # above 0.7
    2.466,  # above 1.4
    2.045,  # strength, logarithm
    2.453,  # constant share
    -8.543,  # above 0.6
    5.237,  # above 0.8
    -0.3013,  # step
    -0.6382,  # above 0.3
    -0.3025,  # above 0.8
    1.396,  # scatter
    -0.6725,  # above 0.5
    -0.8096,  # width in pixels
    0.6593,  # above 4
    -1.531,  # density, logarithm
    0.7272,  # above -4
    0.8973,  # length in mm, logarithm
    -4.878,  # bend
    -0.3237,  # others alike, logarithm
)


def line_scores(features: Floats, length: int) -> Floats:
    """Return the score of each row of features of the pass that averages over ``length`` pixels."""
    start, weights = _SHORT_START, _SHORT_WEIGHTS
    if length == LONG:
        start, weights = _LONG_START, _LONG_WEIGHTS
    return np.asarray(start + (features * np.array(weights)).sum(axis=1))
