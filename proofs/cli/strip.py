"""``proofs strip``."""

import sys

import click

from proofs.cli.options import (
    again_option,
    cluster_option,
    entries_command,
    paper_size_option,
    preflight_of,
    proof_prints_option,
    read_by,
    sharpen_option,
)
from proofs.cli.output import (
    files_line,
    print_faults,
    print_lines,
    print_outcomes,
    print_summary,
    print_warnings,
)
from proofs.cli.progress import jobs_option, workers_for
from proofs.commands.strip.layout import paper_lines, plan_strips
from proofs.commands.strip.run import make_strips
from proofs.commands.strip.worker import StripOptions
from proofs.measures import read_size
from proofs.pages.wording import counted
from proofs.records.cells import CellError, read_look_at
from proofs.run.cluster_order import cluster_order


def _place(
    context: click.Context, option: click.Parameter, value: str | None
) -> tuple[float, float] | None:
    """The option ``--at`` as two shares of the picture; a callback."""
    try:
        return read_look_at(value or "")
    except CellError as error:
        raise click.BadParameter(str(error)) from None


@entries_command(StripOptions, "Make test strips that compare the steps.", out="run of strip")
@click.option(
    "--sheet",
    callback=read_by(read_size),
    metavar="SIZE",
    help="Paper sheet of the lab, such as '11x14 in' [default: 8x10 in, or the nearest].",
)
@click.option("--edge-to-edge", is_flag=True, help="Let the steps of an entry touch.")
@click.option(
    "--at",
    callback=_place,
    metavar="X,Y",
    help="Middle of the part to show, as shares from the left and the top, such as 0.3,0.75"
    " [default: the part with the most tones].",
)
@proof_prints_option
@sharpen_option
@paper_size_option("key and of the proof sheet")
@jobs_option("Sheets")
@cluster_option
@again_option
def strip(options: StripOptions) -> None:
    """Make test strips: the same part of each picture at every step, at its final size.

    \b
    strips/         sheets for the lab, to be printed like the final prints
    strip.pdf       a preview of the sheets, and the density of each letter
    report.json     the same for programs
    proof-prints/   the proof sheet, and mockups/ that it shows (--proof-prints)

    A sheet names the steps by letters only, because a lab might act on a density. Have it
    printed by the same lab on the final paper, without correction; judge it dry, in a light
    like the judges', and record the winner with 'proofs choose'.
    """
    ready = preflight_of(options)
    order = cluster_order(options, ready)
    print_lines(ready.notes)
    plan = plan_strips(options, ready.job, ready.outcomes)
    also = ", and the proof sheet as pictures," if options.proof_prints else ""
    sheets = counted(len(plan.sheets), "sheet")
    print_lines([f"making {sheets} of {plan.size}{also} in {options.out}"])
    print_lines(paper_lines(plan, ready.job))
    mocked_up = sum(o.plan is not None for o in ready.outcomes) if options.proof_prints else 0
    with workers_for(len(plan.sheets) + mocked_up, options.jobs, order=order) as workers:
        run = make_strips(options, ready, plan, workers)
    # Rules are for check and make to report: an entry that breaks one still gets its strip.
    print_outcomes(ready.job, [o for o in run.outcomes if not o.status.is_judged])
    print_warnings(ready.job, ready.outcomes, [o for o in run.outcomes if o.status.is_judged])
    made = len(plan.sheets) - len(run.problems)
    print_lines([f"ready in {options.out}: {counted(made, 'sheet')}", files_line(run.counts)])
    print_lines(run.problems, to_errors=True)
    print_faults(run.faults, options.out)
    print_summary(run.outcomes, run.exit_code)
    sys.exit(run.exit_code)
