"""How likely each shape is a speck: a logistic score of its features.

The weights were fitted to specks planted in real photographs, against all other shapes of the
same photographs without them (`tests/bench/inspection_fit.py`). Pictures of stars were left
out, and so was what nobody could tell from dust; the count of a kind takes care of both.
"""

import numpy as np

from proofs.inspection.speck_candidates import Floats

_START = 18.32
_WEIGHTS = (
    -1.685,  # contrast over noise, logarithm
    0.8676,  # above 0.9
    1.771,  # above 1.6
    0.4249,  # above 2.4
    -1.773,  # isolation
    -1.283,  # above 0.15
    3.802,  # above 0.3
    -0.613,  # above 0.6
    -7.121,  # same sign
    -5.352,  # other sign
    -0.4507,  # second ray
    0.3097,  # above 0.1
    -0.1295,  # wide ring
    1.042,  # above 0.5
    1.334,  # slope
    -3.118,  # unevenness
    0.704,  # elongation above 1.3
    -4.581,  # above 1.8
    -17.26,  # core
    3.303,  # contrast, logarithm
    -4.018,  # above 1.2
    -0.2506,  # above 2.0
    -1.742,  # radius in mm, logarithm
    3.056,  # above -1.6
    -3.781,  # above -0.7
    0.1363,  # ground, middle, logarithm
    -0.8575,  # upper
    -1.44,  # high
    0.4105,  # upper above 0.0
    0.4166,  # above 0.6
    0.2657,  # high above 0.7
)


def speck_scores(features: Floats) -> Floats:
    """Return the score of each row of features: 0 is as likely a speck as not."""
    return np.asarray(_START + (features * np.array(_WEIGHTS)).sum(axis=1))
