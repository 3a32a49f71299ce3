"""When a loss of colour is worth a warning; the usual limits are common practice, no source."""

from dataclasses import replace

import pytest

from proofs.findings import Severity
from proofs.plan.delivery.soft_proofs import ColourLoss, Medium, loss_findings, printed_step
from tests.workbench import LAB, a_job, a_plan

PAPER = Medium("Soft rag", (95.0, 0.5, -1.0), 17.0)


def lost(share: float) -> ColourLoss:
    return ColourLoss(beyond_share=0.3, lost_share=share, mean=0.7, largest=11.25)


@pytest.mark.parametrize("share", [0.0, 0.01, 0.02])
def test_up_to_the_limit_there_is_no_finding(share: float) -> None:
    assert loss_findings(LAB, PAPER, "step B", [lost(share)]) == ()


def test_above_the_limit_a_warning_states_share_limit_and_remedy() -> None:
    (found,) = loss_findings(LAB, PAPER, "step B", [lost(0.034)])
    assert (found.code, found.severity) == ("gamut-loss", Severity.WARNING)
    assert found.measured == pytest.approx(3.4)
    assert (found.limit, found.unit) == (2.0, "%")
    assert "step B: 3.4 % of the image loses more than 4 CIEDE2000" in found.message
    assert "'Soft rag'" in found.message
    assert "11.2" in found.message
    assert found.remedy


def test_a_lab_may_state_its_own_limits() -> None:
    own = replace(LAB, loss=2.5, lost_share=0.1)
    assert loss_findings(own, PAPER, "step B", [lost(0.09)]) == ()
    (found,) = loss_findings(own, PAPER, "step B", [lost(0.11)])
    assert "more than 2.5 CIEDE2000" in found.message
    assert found.limit == pytest.approx(10)


def test_each_picture_that_loses_too_much_has_a_finding() -> None:
    found = loss_findings(LAB, PAPER, "step B", [lost(0.5), lost(0.01), lost(0.03)])
    assert [f.message.partition(":")[0] for f in found] == [
        "picture 1, step B",
        "picture 3, step B",
    ]


UNDECIDED = a_plan(a_job(), "long 10 in")
CHOSEN = replace(UNDECIDED, entry=replace(UNDECIDED.entry, chosen="C"))


@pytest.mark.parametrize("delivered", [None, 0.2])
def test_a_chosen_step_is_printed_at_any_density_of_the_delivery(delivered: float | None) -> None:
    assert printed_step(CHOSEN, delivered).words == "step C, +0.10 D; chosen"


def test_an_undecided_entry_is_printed_plain() -> None:
    assert printed_step(UNDECIDED).words == "step B, 0 D; no step chosen: the plain picture"


@pytest.mark.parametrize(
    ("density", "words"),
    [
        (0.0, "step B, 0 D; no step chosen: as delivered"),
        (0.2, "step D, +0.20 D; no step chosen: as delivered"),
        (0.15, "+0.15 D; no step chosen: as delivered"),
    ],
)
def test_a_density_that_is_no_step_of_the_bracket_has_no_letter(density: float, words: str) -> None:
    assert printed_step(UNDECIDED, density).words == words
