"""``proofs strip``."""

import sys
from dataclasses import dataclass
from pathlib import Path

import click

from proofs.cli.options import (
    ENTRIES_HELP,
    EntriesOptions,
    entries_argument,
    entries_options,
    jobs_option,
    out_option,
    paper_size_option,
    proof_prints_option,
    read_by,
    sharpen_option,
    takes,
)
from proofs.cli.output import counted, say, say_end, say_faults, say_news, say_outcomes
from proofs.cli.progress import workers_for
from proofs.commands.strip.layout import StripOrder, plan_strips
from proofs.commands.strip.run import make_strips
from proofs.commands.strip.worker import StripOptions
from proofs.lengths import Size
from proofs.measures import read_size
from proofs.records.papers import Sharpening
from proofs.run.preflight import Preflight


@dataclass(frozen=True, slots=True, kw_only=True)
class StripCommand(EntriesOptions):
    """The options of ``strip``; ``at`` is in shares of the picture from its left and top."""

    out: Path
    sheet: Size | None
    edge_to_edge: bool
    at: tuple[float, float] | None
    proof_prints: bool
    sharpen: Sharpening | None
    paper_size: str
    jobs: int | None

    def order(self, ready: Preflight) -> StripOrder:
        """Return the order that these options describe."""
        return StripOrder(
            job=ready.job,
            inputs=ready.inputs,
            folder=self.out,
            options=StripOptions(self.at, self.sharpen, self.font),
            sheet=self.sheet,
            edge_to_edge=self.edge_to_edge,
            paper_size=self.paper_size,
            proof_prints=self.proof_prints,
        )


def _place(
    context: click.Context, option: click.Parameter, value: str | None
) -> tuple[float, float] | None:
    """The middle of the part to show."""
    if value is None:
        return None
    try:
        x, y = (float(part) for part in value.split(","))
    except ValueError:
        x = y = -1.0
    if not (0 <= x <= 1 and 0 <= y <= 1):
        raise click.BadParameter(
            f"{value!r} is not a place; write shares of the picture from its left and its top,"
            " each from 0 to 1, such as 0.3,0.75"
        )
    return x, y


@click.command(short_help="Make test strips that compare the steps.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("strip")
@entries_options
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
@takes(StripCommand)
def strip(command: StripCommand) -> None:
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
    ready = command.preflight()
    say(ready.notes)
    order = command.order(ready)
    plan = plan_strips(order, ready.outcomes)
    also = ", and the proof sheet as pictures," if order.proof_prints else ""
    say([f"making {counted(len(plan.sheets), 'sheet')} of {plan.size}{also} in {command.out}"])
    mocked_up = sum(o.plan is not None for o in ready.outcomes) if order.proof_prints else 0
    with workers_for(len(plan.sheets) + mocked_up, command.jobs) as workers:
        run = make_strips(order, plan, ready.outcomes, workers)
    # Rules are for check and make to report: an entry that breaks one still gets its strip.
    say_outcomes([o for o in run.outcomes if not o.status.is_judged])
    say_news(ready.outcomes, [o for o in run.outcomes if o.status.is_judged])
    made = len(plan.sheets) - len(run.problems)
    say([f"ready in {command.out}: {counted(made, 'sheet')}"])
    for problem in run.problems:
        say([problem], err=True)
    say_faults(run.faults, command.out)
    say_end(run.outcomes, run.exit_code)
    sys.exit(run.exit_code)
