"""How likely each shape is a speck: a logistic score of its features.

The weights were fitted to specks planted in real photographs, against all other shapes of the
same photographs without them (`tests/bench/inspection_fit.py`). Pictures of stars were left
out, and so was what nobody could tell from dust; the count of a kind takes care of both.
"""

import numpy as np

from proofs.inspection.speck_candidates import Floats

_START = 21.56
_WEIGHTS = (
    0.96,  # contrast over noise, logarithm
    -1.058,  # above 0.9
    0.4008,  # above 1.6
    1.24,  # above 2.4
    -0.3515,  # isolation
    -1.02,  # above 0.15
    0.09018,  # above 0.3
    0.005528,  # above 0.6
    -4.467,  # same sign
    -2.24,  # other sign
    -1.414,  # second ray
    -0.625,  # above 0.1
    0.3821,  # wide ring
    0.9321,  # above 0.5
    0.5017,  # slope
    1.074,  # unevenness
    -0.9406,  # elongation above 1.3
    -1.683,  # above 1.8
    -27.76,  # core
    2.849,  # contrast, logarithm
    -2.155,  # above 1.2
    -1.018,  # above 2.0
    -3.584,  # radius in mm, logarithm
    3.459,  # above -1.6
    -1.955,  # above -0.7
    0.5359,  # ground, middle, logarithm
    -0.276,  # upper
    -2.55,  # high
    0.5661,  # upper above 0.0
    1.073,  # above 0.6
    -1.704,  # high above 0.7
)


def speck_scores(features: Floats) -> Floats:
    """Return the score of each row of features: 0 is as likely a speck as not."""
    return np.asarray(_START + (features * np.array(_WEIGHTS)).sum(axis=1))
