"""A run of test strips that is interrupted, or that meets a fault of the program."""

from dataclasses import replace
from pathlib import Path

import pytest

from proofs.commands.strip.layout import StripPlan, paper_lines, plan_strips
from proofs.commands.strip.run import make_strips
from proofs.commands.strip.worker import StripOptions, StripResult, StripTask, make_sheet
from proofs.lengths import PixelSize
from proofs.pages.drawing import Text
from proofs.run.inputs import read_inputs
from proofs.run.preflight import Preflight, check_entries
from proofs.run.workers import DIED, Trouble, Workers, guarded
from tests.command import gradient, report_of, write_entries
from tests.workbench import a_job

STOPPED = Workers(1, is_stopped=lambda: True)
Planned = tuple[StripOptions, Preflight, StripPlan]


@pytest.fixture
def planned(tmp_path: Path) -> Planned:
    gradient(tmp_path / "one.jpg", 600, 400)
    write_entries(tmp_path, "file,size,bracket", "one.jpg,long 3 in,0; +0.10")
    inputs, job = read_inputs([tmp_path]), a_job()
    outcomes = check_entries(
        job, inputs.table.entries, inputs.folder, missing_glyphs=lambda text: ""
    )
    options = StripOptions(out=tmp_path / "out")
    return options, Preflight(inputs, job, outcomes, ()), plan_strips(options, job, outcomes)


def task_of(options: StripOptions, ready: Preflight, plan: StripPlan) -> StripTask:
    mount = ready.outcomes[0].plan
    assert mount is not None
    return StripTask(
        job=ready.job,
        frame=plan.frame,
        sheet=plan.sheets[0],
        head=plan.heads[0],
        foot=plan.foot,
        plans={"1": mount},
        sources={("1", 0): ready.inputs.folder / "one.jpg"},
        number=1,
        folder=options.out,
        name=plan.name(1, ready.job.lab),
        options=options,
    )


def test_each_sheet_says_which_paper_it_is_for(tmp_path: Path) -> None:
    gradient(tmp_path / "one.jpg", 600, 400)
    rows = [f"one.jpg,long 3 in,0; +0.10,{paper}" for paper in ("", "Cotton matt", "")]
    write_entries(tmp_path, "file,size,bracket,paper", *rows)
    inputs, job = read_inputs([tmp_path]), a_job()
    outcomes = check_entries(
        job, inputs.table.entries, inputs.folder, missing_glyphs=lambda text: ""
    )
    plan = plan_strips(StripOptions(out=tmp_path / "out"), job, outcomes)
    words = [{m.text for m in head.marks if isinstance(m, Text)} for head in plan.heads]
    assert [sheet.entries for sheet in plan.sheets] == [("1", "3"), ("2",)]
    assert "Sheet 1 of 2 · A paper" in words[0]
    assert "Sheet 2 of 2 · Cotton matt" in words[1]
    assert paper_lines(plan, job) == ["sheet 1 for A paper", "sheet 2 for Cotton matt"]


def test_a_run_that_is_stopped_says_what_was_not_done(planned: Planned) -> None:
    options, ready, plan = planned
    run = make_strips(options, ready, plan, STOPPED)
    assert run.exit_code == 130
    assert [o.status for o in run.outcomes] == ["not-done"]
    # The lab of the test lists no papers: the sheet names the run's paper by its title.
    sheet = {"file": "strips/strip-1.jpg", "paper": "A paper", "sha256": None}
    assert report_of(options.out)["sheets"] == [sheet]
    assert (options.out / "strip.pdf").is_file()


def test_a_stopped_run_is_continued_by_the_next(planned: Planned) -> None:
    options, ready, plan = planned
    make_strips(options, ready, plan, STOPPED)
    run = make_strips(options, ready, plan, Workers(1))
    assert [o.status for o in run.outcomes] == [ready.outcomes[0].status]
    assert (options.out / "strips/strip-1.jpg").is_file()


def test_a_fault_of_the_program_is_reported_with_its_trace_and_raises_nothing(
    planned: Planned,
) -> None:
    too_small = replace(planned[2].frame, sheet=PixelSize(20, 20))
    result = guarded(make_sheet, replace(task_of(*planned), frame=too_small))
    assert isinstance(result, StripResult)
    (trouble,) = result.troubles
    assert trouble.exit_code == 70
    assert "Traceback" in trouble.trace


def test_a_sheet_that_cannot_be_written_is_reported(planned: Planned) -> None:
    in_the_way = planned[0].out.parent / "file"
    in_the_way.write_bytes(b"")
    task = replace(task_of(*planned), folder=in_the_way)
    trouble = guarded(make_sheet, task)
    assert isinstance(trouble, Trouble)
    assert trouble.exit_code == 5
    assert "cannot be written" in trouble.reason


def test_a_sheet_whose_worker_died_is_reported(
    planned: Planned, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("proofs.run.workers.guarded", lambda work, task: DIED)
    options, ready, plan = planned
    run = make_strips(options, ready, plan, Workers(1))
    assert run.exit_code == 70
    assert "the worker process died" in run.problems[0]
    assert [o.status for o in run.outcomes] == ["failed"]
