"""A uniform strip along an edge is found, and a plain background is not taken for one."""

import numpy as np
import pytest
from numpy.typing import NDArray

from proofs.findings import Finding
from proofs.inspection.uniform_edges import uniform_edge_findings, uniform_edge_width
from proofs.lengths import Edge
from proofs.plan.entry.planning import plan_entry
from tests.workbench import a_job, a_plan, an_entry, facts

LINES, SAMPLES, PPI = 400, 60, 300


def codes(values: NDArray[np.float64]) -> NDArray[np.uint16]:
    return np.rint(np.clip(values, 0, 1) * 65535).astype(np.uint16)


def grain(lines: int, level: float) -> NDArray[np.uint16]:
    random = np.random.default_rng(3)
    return codes(level + random.normal(0, 0.05, (lines, SAMPLES, 3)))


def with_strip(width: int, level: float = 1.0, noise: float = 0) -> NDArray[np.uint16]:
    varied = np.random.default_rng(1).uniform(-noise, noise, (width, SAMPLES, 3))
    return np.concatenate([codes(level + varied), grain(LINES - width, 0.4)])


@pytest.mark.parametrize("width", [1, 6, 20, 90])
@pytest.mark.parametrize("level", [0.0, 0.5, 1.0])
def test_the_width_of_a_strip_is_found(width: int, level: float) -> None:
    assert uniform_edge_width(with_strip(width, level)) == width


def test_a_strip_with_jpeg_noise_is_found() -> None:
    assert uniform_edge_width(with_strip(30, 0.9, noise=2 / 255)) == 30


def test_a_picture_with_grain_to_its_edge_has_no_strip() -> None:
    assert uniform_edge_width(grain(LINES, 0.4)) == 0


def test_a_plain_background_is_not_a_strip() -> None:
    assert uniform_edge_width(with_strip(LINES // 3)) == 0
    assert uniform_edge_width(np.full((LINES, SAMPLES, 1), 65535, np.uint16)) == 0


def findings(**strips: int) -> tuple[Finding, ...]:
    lines = {edge: with_strip(strips.get(edge, 0)) for edge in Edge}
    return uniform_edge_findings(lines, a_plan(a_job(), "long 12 in"), 0, PPI)


def test_a_strip_of_less_than_half_a_millimetre_is_not_reported() -> None:
    # 5 px at 300 ppi are 0.423 mm, 6 px are 0.508 mm.
    assert findings(top=5) == ()
    assert [f.code for f in findings(top=6)] == ["border-in-file"]


def test_a_strip_on_the_side_that_a_given_opening_hides_is_no_loss() -> None:
    # Behind 11 1/2 x 7 3/4 in, shown from its left, 3/8 in of 12 in are covered at the right, and
    # 1/8 in at the left: of 60 px, 1/5 in, all is covered there, and here 0.075 in stay.
    entry = an_entry("opening 11 1/2 x 7 3/4 in", crop="left")
    plan = plan_entry(a_job(), entry, facts(3000, 2000))
    right, left = (
        uniform_edge_findings({e: with_strip(60 * (e == edge)) for e in Edge}, plan, 0, PPI)
        for edge in (Edge.RIGHT, Edge.LEFT)
    )
    assert "the mat hides it" in right[0].message
    assert "without it 11.43 × 7 3/4 in" in left[0].message


def test_what_the_mat_covers_of_a_strip_is_no_loss() -> None:
    # 30 px at 300 ppi are 1/10 in, and the mat covers 1/8 in. Of 45 px it covers all but 0.025 in,
    # and 11.725 in stay visible.
    assert "the mat hides it" in findings(left=30)[0].message
    assert "11.73 × 7 3/4 in" in findings(left=45)[0].message


def test_the_visible_part_of_a_strip_is_subtracted_from_the_visible_size() -> None:
    # 60 px are 1/5 in, 0.075 in of it outside the mat: 11.675 in of 11.75 in stay on that axis.
    assert "11.6" in findings(left=60)[0].message
    assert "0.2 in (5.08 mm) at the left" in findings(left=60)[0].message
