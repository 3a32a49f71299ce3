"""A run of test strips that is interrupted, or that meets a fault of the program."""

from dataclasses import replace
from pathlib import Path

import pytest

from proofs.commands.strip.layout import StripOrder, StripPlan, plan_strips
from proofs.commands.strip.run import make_strips
from proofs.commands.strip.worker import StripOptions, StripTask, make_sheet, spoilt_sheet
from proofs.lengths import PixelSize
from proofs.plan.checks.outcomes import Outcome
from proofs.run.inputs import read_inputs
from proofs.run.preflight import check_entries
from proofs.run.workers import DIED, Workers, guarded
from tests.command import gradient, report_of, write_entries
from tests.workbench import a_job

STOPPED = Workers(1, is_stopped=lambda: True)
Planned = tuple[StripOrder, StripPlan, tuple[Outcome, ...]]


@pytest.fixture
def planned(tmp_path: Path) -> Planned:
    gradient(tmp_path / "one.jpg", 600, 400)
    write_entries(tmp_path, "file,size,bracket", "one.jpg,long 3 in,0; +0.10")
    inputs = read_inputs([tmp_path])
    order = StripOrder(a_job(), inputs, tmp_path / "out", StripOptions())
    outcomes = check_entries(
        order.job, inputs.table.entries, inputs.folder, missing_glyphs=lambda text: ""
    )
    return order, plan_strips(order, outcomes), outcomes


def task_of(order: StripOrder, plan: StripPlan, outcomes: tuple[Outcome, ...]) -> StripTask:
    return StripTask(
        job=order.job,
        frame=plan.frame,
        sheet=plan.sheets[0],
        head=plan.heads[0],
        foot=plan.foot,
        outcomes={"1": outcomes[0]},
        sources={("1", 0): order.inputs.folder / "one.jpg"},
        number=1,
        folder=order.folder,
        name=plan.name(1, order.job.lab),
        options=order.options,
    )


def test_a_run_that_is_stopped_says_what_was_not_done(planned: Planned) -> None:
    order, plan, outcomes = planned
    run = make_strips(order, plan, outcomes, STOPPED)
    assert run.exit_code == 130
    assert [o.status for o in run.outcomes] == ["not-done"]
    assert report_of(order.folder)["sheets"] == [{"file": "strips/strip-1.jpg", "sha256": None}]
    assert (order.folder / "strip.pdf").is_file()


def test_a_stopped_run_is_continued_by_the_next(planned: Planned) -> None:
    order, plan, outcomes = planned
    make_strips(order, plan, outcomes, STOPPED)
    run = make_strips(order, plan, outcomes, Workers(1))
    assert [o.status for o in run.outcomes] == [outcomes[0].status]
    assert (order.folder / "strips/strip-1.jpg").is_file()


def test_a_fault_of_the_program_is_reported_with_its_trace_and_raises_nothing(
    planned: Planned,
) -> None:
    order, plan, outcomes = planned
    too_small = replace(plan.frame, sheet=PixelSize(20, 20))
    task = replace(task_of(order, plan, outcomes), frame=too_small)
    made = guarded(make_sheet, spoilt_sheet, task)
    assert made.exit_code == 70
    assert "Traceback" in made.faults[0]


def test_a_sheet_that_cannot_be_written_is_reported(planned: Planned) -> None:
    order, plan, outcomes = planned
    (order.inputs.folder / "file").write_bytes(b"")
    task = replace(task_of(order, plan, outcomes), folder=order.inputs.folder / "file")
    made = guarded(make_sheet, spoilt_sheet, task)
    assert made.exit_code == 5
    assert "cannot be written" in made.problem


def test_a_sheet_whose_worker_died_is_reported(planned: Planned) -> None:
    made = spoilt_sheet(task_of(*planned), DIED)
    assert made.exit_code == 70
    assert "--jobs 1" in made.problem
