"""``proofs strip``."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import (
    ENTRIES_HELP,
    close,
    common_options,
    counted,
    entries_argument,
    making_options,
    out_option,
    read_by,
    surveyed,
    tell,
    tell_news,
)
from proofs.commands.strip.layout import StripOrder, StripPlan, plan_strips
from proofs.commands.strip.run import StripRun, make_strips
from proofs.commands.strip.worker import StripOptions
from proofs.measures import read_size
from proofs.outside.files import write_whole
from proofs.plan.checks.outcomes import Outcome
from proofs.run.inputs import ProfileNames
from proofs.run.workers import interrupts, usual_jobs

# Rules are the affair of check and make: what breaks one can be looked at all the same.
_TROUBLE = ("not-understood", "unreadable", "failed", "not-done")


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
            f"{value!r} is no place; write shares of the picture from its left and its top,"
            " such as 0.3,0.75"
        )
    return x, y


@click.command(short_help="Make test strips that compare the steps.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("strip")
@common_options
@click.option(
    "--sheet",
    callback=read_by(read_size),
    metavar="SIZE",
    help="Sheet of the lab, such as '11x14 in' [default: 8x10 in, or what is nearest].",
)
@click.option("--edge-to-edge", is_flag=True, help="Let the steps of an entry touch.")
@click.option(
    "--at",
    callback=_place,
    metavar="X,Y",
    help="Middle of the part to show, as shares from left and top [default: what tells most].",
)
@click.option(
    "--proof-prints",
    is_flag=True,
    help="Also write the proof sheet's pages as pictures for the lab.",
)
@making_options(page="key and of the proof sheet", at_once="Sheets")
def strip(
    entries: Sequence[Path],
    out: Path,
    font: Path | None,
    jobs: int | None,
    paper_size: str,
    **others: Any,
) -> None:
    """Make test strips: the same part of each picture at every step, at its final size.

    \b
    strips/         sheets for the lab, to be printed like the final prints
    strip.pdf       the sheets small, and which letter is which density
    report.json     the same for programs
    proof-prints/   the proof sheet, and mockups/ that it shows (--proof-prints)

    A sheet names steps by letters alone, for a lab may read a density as an order. Have it
    printed on the final paper by the same line, without correction; look at it dry, under
    light like the judges', and write down the winner with 'proofs choose'.
    """
    sheet, touching = others.pop("sheet"), others.pop("edge_to_edge")
    proof_prints = others.pop("proof_prints")
    wishes = StripOptions(others.pop("at"), others.pop("sharpen"), font)
    gathered, job, outcomes = surveyed(entries, font, ProfileNames(**others), quiet=False)
    order = StripOrder(
        job, gathered, out, wishes, sheet, touching, paper_size.lower(), proof_prints
    )
    plan = plan_strips(order, outcomes)
    also = ", and the proof sheet as pictures," if proof_prints else ""
    click.echo(f"making {counted(len(plan.sheets), 'sheet')} of {plan.size}{also} in {out}")
    run = _made(order, plan, outcomes, jobs or usual_jobs())
    tell([o for o in run.outcomes if o.status in _TROUBLE])
    tell_news(outcomes, [o for o in run.outcomes if o.status not in _TROUBLE])
    click.echo(f"ready in {out}: {counted(len(plan.sheets) - len(run.problems), 'sheet')}")
    for problem in run.problems:
        click.echo(problem, err=True)
    if run.faults:
        path = out / "proofs-fault.log"
        write_whole(path, "\n".join(run.faults).encode())
        click.echo(f"a fault of the program: please send {path}", err=True)
    close(run.outcomes, run.exit_code)
    sys.exit(run.exit_code)


def _made(order: StripOrder, plan: StripPlan, outcomes: tuple[Outcome, ...], jobs: int) -> StripRun:
    """Make the run under a progress bar; quiet where nobody watches."""
    watched = sys.stderr.isatty()
    entries = sum(o.plan is not None for o in outcomes) if order.proof_prints else 0
    with (
        interrupts() as stopped,
        click.progressbar(
            length=len(plan.sheets) + entries,
            label="making",
            show_pos=True,
            file=sys.stderr,
            hidden=not watched,
        ) as bar,
    ):
        return make_strips(
            order, plan, outcomes, jobs=jobs, stopped=stopped, done=lambda: bar.update(1)
        )
