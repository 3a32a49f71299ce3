"""At which step an entry is printed, and how that is said."""

from dataclasses import replace

import pytest

from proofs.plan.delivery.printed_steps import printed_step
from tests.workbench import a_job, a_plan

UNDECIDED = a_plan(a_job(), "long 10 in")
CHOSEN = replace(UNDECIDED, entry=replace(UNDECIDED.entry, chosen="C"))


@pytest.mark.parametrize("handed_over", [None, 0.2])
def test_a_chosen_step_is_printed_whatever_is_handed_over(handed_over: float | None) -> None:
    assert printed_step(CHOSEN, handed_over).words == "step C, +0.10 D; chosen"


def test_an_undecided_entry_is_printed_plain() -> None:
    assert printed_step(UNDECIDED).words == "step B, 0 D; undecided, the plain picture"


@pytest.mark.parametrize(
    ("density", "words"),
    [
        (0.0, "step B, 0 D; undecided, as handed over"),
        (0.2, "step D, +0.20 D; undecided, as handed over"),
        (0.15, "+0.15 D; undecided, as handed over"),
    ],
)
def test_a_density_that_is_no_step_of_the_bracket_has_no_letter(density: float, words: str) -> None:
    assert printed_step(UNDECIDED, density).words == words
