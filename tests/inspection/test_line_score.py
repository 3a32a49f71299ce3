"""The score of lines: what speaks for a hair, and what against it."""

import numpy as np
import pytest

from proofs.inspection.line_features import line_features
from proofs.inspection.line_response import LENGTHS
from proofs.inspection.line_score import line_scores, line_weights
from proofs.inspection.line_tracing import Lines
from tests.inspection.grounds import MM

CLEAR = {
    **{"left": 100.0, "top": 100.0, "right": 260.0, "bottom": 102.0, "length": 160.0},
    **{"contrast": -8.0, "strength": 3.0, "noise": 0.8, "constant": 1.0, "step": 0.05},
    **{"scatter": 0.1, "width": 2.0, "company": 0.001, "bend": 0.01, "angle": 0.0},
}


def score(length: int, **changed: float) -> float:
    lines = Lines(**{name: np.array([value]) for name, value in {**CLEAR, **changed}.items()})
    return float(line_scores(line_features(lines, MM), length)[0])


@pytest.mark.parametrize("length", LENGTHS)
def test_there_is_a_weight_for_each_feature(length: int) -> None:
    lines = Lines(**{name: np.array([value]) for name, value in CLEAR.items()})
    assert line_features(lines, MM).shape == (1, len(line_weights(length)[1]))


@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize(
    "worse",
    [{"noise": 3.0}, {"constant": 0.3}, {"step": 1.5}, {"width": 9.0}, {"company": 0.2}],
    ids=lambda worse: next(iter(worse)),
)
def test_what_a_subject_has_and_a_hair_has_not_lowers_its_score(
    length: int, worse: dict[str, float]
) -> None:
    assert score(length) > 3
    assert score(length, **worse) < score(length) - 1
