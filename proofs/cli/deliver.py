"""``proofs deliver``."""

import sys
from pathlib import Path

import click

from proofs.cli.options import (
    again_option,
    cluster_option,
    date_option,
    entries_command,
    metadata_options,
    paper_size_option,
    read_by,
    sharpen_option,
    soft_proof_option,
    timetable_option,
    today,
)
from proofs.cli.output import files_line, print_faults, print_lines, print_record
from proofs.cli.progress import jobs_option, workers_for
from proofs.commands.delivery.catalogue import catalogue_rule
from proofs.commands.delivery.order import DeliveryOptions
from proofs.commands.delivery.record import delivery_record, refusals_record
from proofs.commands.delivery.run import DeliveryRun, make_delivery, plan_delivery
from proofs.commands.delivery.text import delivery_lines, density_lines, refusal_lines, saving_lines
from proofs.densities import read_density
from proofs.errors import ExitCode, UsageError, largest
from proofs.outside.public_holidays import with_public_holidays
from proofs.pages.wording import counted
from proofs.plan.bench.timetable import late_prints
from proofs.plan.delivery.lab_sheets import lab_sheets
from proofs.run.cluster_order import ClusterOrder, cluster_order
from proofs.run.inputs import read_inputs
from proofs.run.preflight import Preflight, preflight


@entries_command(DeliveryOptions, "Make a delivery for a print lab.", out="delivery")
@click.option(
    "--density",
    callback=read_by(read_density),
    metavar="D",
    help="Density for entries without a chosen step, such as 0 [default: refuse them].",
)
@click.option("--cheapest", is_flag=True, help="Choose paper sheets by price, not by size.")
@click.option(
    "--margin-line",
    is_flag=True,
    help="Print number, size, TOP and a grey wedge in the margin that the mat covers.",
)
@click.option(
    "--cut-marks", is_flag=True, help="Print cut marks behind the mat, or outside the trim."
)
@click.option("--anyway", is_flag=True, help="Also deliver entries that break a rule.")
@metadata_options
@date_option("--needed-by", help="The day by which the prints are needed; printed on the ticket.")
@timetable_option("Working days that the prints take, to compare that day with.")
@click.option(
    "--catalogue",
    is_flag=True,
    help="Also write catalogue/: copies for the section's screen, as the rules require.",
)
@soft_proof_option
@click.option(
    "--zip", "as_zip", is_flag=True, help="Pack the lab's files into zips of a size it accepts."
)
@click.option("--json", "as_json", is_flag=True, help="Print the record delivery.json instead.")
@sharpen_option
@paper_size_option("ticket and the soft proof")
@jobs_option("Sheets or pictures")
@cluster_option
@again_option
def deliver(options: DeliveryOptions) -> None:
    """Make the delivery for the lab --lab in the folder --out: complete, or not at all.

    \b
    prints/         one file for each picture, on the lab's sheet, with its white margin
    ticket.pdf      the order, with thumbnails; ticket.csv is the same as a table
    order.txt       the order as lines of text, to type into a form
    delivery.json   the record that 'proofs verify' reads
    SHA256SUMS      check sums, for 'sha256sum -c'

    --catalogue adds catalogue/, one copy of each picture for the section's screen, and
    --soft-proof adds soft-proof.pdf, for you. They are not for the lab: with --zip they stay
    outside the zips. If one of them cannot be made, the entry is refused.

    Each entry is printed at its chosen step; copies, paper and finish are columns of the
    entries file, and 0 copies leave an entry out. An entry that is undecided, cannot be read or
    breaks a rule is refused by name, and then nothing is made.
    """
    inputs = read_inputs(options.entries, options)
    if not inputs.source.lab:
        raise UsageError("name the lab that the delivery is for: --lab NAME, or lab in job.toml")
    ready = preflight(inputs, font=options.font, today=today())
    print_lines([] if options.as_json else ready.notes)
    print_lines([] if options.as_json else _late_prints(options, ready))
    if options.cheapest and not ready.job.lab.has_prices:
        raise UsageError(f"--cheapest: the lab profile {ready.job.lab.name!r} lists no prices")
    run = _make(options, ready, cluster_order(options, ready))
    print_faults(run.faults, options.out.parent)
    if options.as_json:
        made = run.delivery
        print_record(delivery_record(made) if made else refusals_record(run.refusals))
    else:
        _print_run(run, options.out)
    sys.exit(run.exit_code)


def _late_prints(options: DeliveryOptions, ready: Preflight) -> tuple[str, ...]:
    """What to say of the day by which the prints are needed, for themselves or for the rules."""
    timetable = ready.inputs.source.folders.timetable(options.timetable)
    rules = ready.job.rules
    return late_prints(
        with_public_holidays(timetable, today()),
        today(),
        needed_by=options.needed_by,
        closing=rules.closing_date if rules else None,
    )


def _make(options: DeliveryOptions, ready: Preflight, order: ClusterOrder | None) -> DeliveryRun:
    if options.catalogue:
        catalogue_rule(ready.job)  # refused before entries are, and before any pixel is read
    sheets, refused = lab_sheets(ready.job, ready.outcomes, options.sheets)
    if refused:
        code = largest(ExitCode(refusal.exit_code) for refusal in refused)
        return DeliveryRun(None, refused, exit_code=code)
    plan = plan_delivery(options, ready, sheets)
    if not options.as_json:
        print_lines([*density_lines(sheets), *saving_lines(ready, sheets)])
    with workers_for(plan.count, options.jobs, order=order) as workers:
        return make_delivery(plan, workers)


def _print_run(run: DeliveryRun, out: Path) -> None:
    if run.delivery is None:
        is_asked = run.exit_code is ExitCode.INTERRUPTED
        stopped = "interrupted: nothing was made" if is_asked else "nothing was made"
        lines = refusal_lines(run.refusals) if run.refusals else [stopped]
        print_lines(["", *lines, f"exit code {run.exit_code:d}"])
        return
    print_lines(["", *delivery_lines(run.delivery, run)])
    print_lines([f"ready in {out}: {counted(len(run.files), 'file')}", files_line(run.counts)])
    if run.exit_code:
        print_lines([f"exit code {run.exit_code:d}: a rule is broken"])
