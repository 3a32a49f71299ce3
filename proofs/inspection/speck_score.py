"""How likely each shape is a speck: a logistic score of its features.

The weights were fitted to specks planted in real photographs, against all other shapes of the
same photographs without them (`tests/bench/inspection_fit.py`). Pictures of stars were left
out, and so was what nobody could tell from dust; the count of a kind takes care of both.
"""

import numpy as np

from proofs.inspection.speck_candidates import Floats

_START = 24.82
_WEIGHTS = (
    -0.1879,  # contrast over noise, logarithm
    0.9645,  # above 0.9
    0.7738,  # above 1.6
    0.1256,  # above 2.4
    -0.5843,  # isolation
    -1.415,  # above 0.15
    -0.5818,  # above 0.3
    -0.2144,  # above 0.6
    -5.739,  # same sign
    -3.037,  # other sign
    -0.593,  # second ray
    0.2029,  # above 0.1
    0.03702,  # wide ring
    0.553,  # above 0.5
    1.692,  # slope
    0.9313,  # unevenness
    -0.5471,  # elongation above 1.3
    -3.219,  # above 1.8
    -25.66,  # core
    1.01,  # contrast, logarithm
    -1.7,  # above 1.2
    -0.4683,  # above 2.0
    -2.418,  # radius in mm, logarithm
    2.834,  # above -1.6
    -3.386,  # above -0.7
    0.3721,  # ground, middle, logarithm
    -0.9082,  # upper
    -1.357,  # high
    -0.2381,  # upper above 0.0
    1.141,  # above 0.6
    0.8337,  # high above 0.7
)


def speck_scores(features: Floats) -> Floats:
    """Return the score of each row of features: 0 is as likely a speck as not."""
    return np.asarray(_START + (features * np.array(_WEIGHTS)).sum(axis=1))
