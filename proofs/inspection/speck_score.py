"""How likely each shape is a speck: a logistic score of its features.

The weights were fitted to specks planted in real photographs, against all other shapes of the
same photographs without them (`tests/bench/inspection_fit.py`). Pictures of stars were left
out, and so was what nobody could tell from dust; the count of a kind takes care of both.
"""

import numpy as np

from proofs.inspection.speck_candidates import Floats

_START = 16.58
_WEIGHTS = (
    0.02266,  # contrast over noise, logarithm
    0.7085,  # above 0.9
    1.036,  # above 1.6
    0.08971,  # above 2.4
    -0.5396,  # isolation
    -1.097,  # above 0.15
    0.1026,  # above 0.3
    0.3465,  # above 0.6
    -5.787,  # same sign
    -2.598,  # other sign
    0.08424,  # second ray
    0.1928,  # above 0.1
    -0.1989,  # wide ring
    0.9471,  # above 0.5
    1.312,  # slope
    -2.067,  # unevenness
    -0.08208,  # elongation above 1.3
    -2.972,  # above 1.8
    -15.82,  # core
    1.125,  # contrast, logarithm
    -1.668,  # above 1.2
    -0.6906,  # above 2.0
    -1.092,  # radius in mm, logarithm
    1.858,  # above -1.6
    -3.049,  # above -0.7
    0.4177,  # ground, middle, logarithm
    -0.8517,  # upper
    -1.515,  # high
    0.1881,  # upper above 0.0
    0.7316,  # above 0.6
    0.5751,  # high above 0.7
)


def speck_scores(features: Floats) -> Floats:
    """Return the score of each row of features: 0 is as likely a speck as not."""
    return np.asarray(_START + (features * np.array(_WEIGHTS)).sum(axis=1))
