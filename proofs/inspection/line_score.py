"""How likely each traced line is a hair or a scratch: a logistic score of its features.

The weights were fitted to lines planted in real photographs, against all other lines of the same
photographs without them (`tests/bench/inspection_fit.py`); one set for each pass.
"""

import numpy as np

from proofs.inspection.line_response import LONG
from proofs.inspection.line_tracing import Floats

_LONG_START = 0.6768
_LONG_WEIGHTS = (
    0.4266,  # contrast, logarithm
    -0.5632,  # above 0.7
    -2.346,  # above 1.4
    0.2536,  # contrast over noise, logarithm
    1.094,  # above 0.7
    0.2426,  # above 1.4
    0.7624,  # strength, logarithm
    0.7644,  # constant share
    4.1,  # above 0.6
    -1.336,  # above 0.8
    -0.2062,  # step
    -0.2485,  # above 0.3
    -0.212,  # above 0.8
    -0.06859,  # scatter
    -0.2772,  # above 0.5
    -0.6841,  # width in pixels
    -0.5043,  # above 4
    -0.4839,  # company, logarithm
    -0.362,  # above -5
    -0.5687,  # above -4
    0.2482,  # length in mm, logarithm
    0.586,  # bend
    -1.028,  # others alike, logarithm
    -0.4106,  # body in pixels
    -0.3249,  # above 3
    0.04499,  # above 5
    -0.7642,  # skirt
    1.165,  # lobe
    -1.195,  # varying contrast
    -1.269,  # above 0.25
    -1.223,  # above 0.5
    0.01729,  # weakest contrast
    1.045,  # above 0.3
    -0.8287,  # above 0.6
    0.04728,  # bumps of the ground, logarithm
    -0.3322,  # above -1
    -0.1298,  # above -0.3
    0.5997,  # dips of the ground, logarithm
    0.2839,  # above -1
    -0.2214,  # above -0.3
    0.1446,  # ridge beside it, logarithm
    -0.2711,  # above -1.5
    -0.2468,  # above -0.7
    0.04643,  # trough beside it, logarithm
    -0.3478,  # above -1.5
    -0.1383,  # above -0.7
    0.4545,  # ground along it, logarithm
    -0.05736,  # ground across it, logarithm
)
_SHORT_START = -2.001
_SHORT_WEIGHTS = (
    0.4082,  # contrast, logarithm
    -0.3567,  # above 0.7
    -2.526,  # above 1.4
    0.1314,  # contrast over noise, logarithm
    0.7231,  # above 0.7
    0.5359,  # above 1.4
    2.182,  # strength, logarithm
    1.14,  # constant share
    3.662,  # above 0.6
    -1.593,  # above 0.8
    -0.2206,  # step
    -0.2712,  # above 0.3
    -0.1873,  # above 0.8
    -0.02372,  # scatter
    -0.277,  # above 0.5
    -0.6305,  # width in pixels
    0.2192,  # above 4
    -0.5223,  # company, logarithm
    -0.3657,  # above -5
    -0.4036,  # above -4
    0.4104,  # length in mm, logarithm
    -0.4268,  # bend
    -1.171,  # others alike, logarithm
    -0.4464,  # body in pixels
    -0.3306,  # above 3
    0.1238,  # above 5
    -0.6319,  # skirt
    1.585,  # lobe
    -0.8882,  # varying contrast
    -0.6859,  # above 0.25
    -0.4628,  # above 0.5
    -0.4627,  # weakest contrast
    1.442,  # above 0.3
    -0.2551,  # above 0.6
    -0.007158,  # bumps of the ground, logarithm
    -0.4813,  # above -1
    0.05278,  # above -0.3
    0.5449,  # dips of the ground, logarithm
    0.2012,  # above -1
    -0.0996,  # above -0.3
    0.05484,  # ridge beside it, logarithm
    -0.3139,  # above -1.5
    -0.2216,  # above -0.7
    -0.0767,  # trough beside it, logarithm
    -0.3205,  # above -1.5
    0.08577,  # above -0.7
    0.5073,  # ground along it, logarithm
    -0.006552,  # ground across it, logarithm
)


def line_scores(features: Floats, length: int) -> Floats:
    """Return the score of each row of features of the pass that averages over ``length`` pixels."""
    start, weights = _SHORT_START, _SHORT_WEIGHTS
    if length == LONG:
        start, weights = _LONG_START, _LONG_WEIGHTS
    return np.asarray(start + (features * np.array(weights)).sum(axis=1))
