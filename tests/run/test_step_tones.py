"""The tones at each step: the values in a report, and the warning about blocked shadows.

That 2 % of the image is worth a warning, and how black a paper gets, are common practice.
"""

import numpy as np
import pytest
import pyvips

from proofs.findings import Finding, Severity
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.plan.tones.tone import bracket
from proofs.run.step_tones import blocked_findings, measured_tones
from tests import near
from tests.outside.pixels.pictures import lab, profile
from tests.workbench import SHIPPED, a_job

JOB = a_job(lab=lab(), paper=SHIPPED.paper("lustre"))
DARK = 36 / 255  # sRGB of L* 13.6: above the black of lustre, below that of matt


def a_base(dark_share: float) -> ProfiledImage:
    """Return a picture with this share of deep shadow; the rest is light grey."""
    codes = np.full((100, 100, 3), 40000, np.uint16)
    codes[: round(dark_share * 100)] = round(DARK * 65535)
    return ProfiledImage(
        pyvips.Image.new_from_array(codes, interpretation="rgb16"), profile("srgb")
    )


def found(dark_share: float, *densities: float) -> tuple[Finding, ...]:
    variants = bracket(densities)
    return blocked_findings(JOB, variants, measured_tones(a_base(dark_share), JOB, variants))


def test_each_step_states_the_density_asked_for_and_the_one_reached() -> None:
    tones = measured_tones(a_base(0.3), JOB, bracket((-0.1, 0.1)))
    assert [t.density_asked for t in tones] == [-0.1, 0.0, 0.1]
    reached = [t.density_reached for t in tones]
    assert reached == pytest.approx([-0.1, 0.0, 0.1], abs=near.ONE_CODE_OF_DENSITY)


def test_shares_are_of_the_image() -> None:
    plain, darkest = measured_tones(a_base(0.3), JOB, bracket((0.6,)))
    assert (plain.blocked_share, darkest.blocked_share) == (0.0, 0.3)


def test_a_matt_paper_blocks_what_lustre_still_shows() -> None:
    matt = a_job(lab=lab(), paper=SHIPPED.paper("matt"))
    plain, _ = measured_tones(a_base(0.3), matt, bracket((0.1,)))
    assert matt.paper.black_lightness == 16
    assert plain.blocked_share == 0.3


def test_a_step_that_blocks_two_per_cent_more_gives_a_warning() -> None:
    (finding,) = found(0.02, 0.1, 0.6)
    assert finding.code == "blocked-shadows"
    assert finding.severity is Severity.WARNING
    assert finding.message.startswith("step C: up to 2.0 % more of the image")
    assert finding.measured == pytest.approx(2.0)
    assert finding.limit == 2.0


@pytest.mark.parametrize(("share", "density"), [(0.01, 0.6), (0.3, 0.05), (0.3, -0.1)])
def test_a_step_that_blocks_less_gives_none(share: float, density: float) -> None:
    assert found(share, density) == ()
