"""``proofs deliver``."""

import datetime
import sys
from dataclasses import dataclass
from pathlib import Path

import click

from proofs.cli.options import (
    ENTRIES_HELP,
    EntriesOptions,
    date_option,
    entries_argument,
    entries_options,
    jobs_option,
    out_option,
    paper_size_option,
    read_by,
    sharpen_option,
    soft_proof_option,
    takes,
    today,
)
from proofs.cli.output import counted, say, say_faults, say_record
from proofs.cli.progress import workers_for
from proofs.commands.delivery.catalogue import catalogue_rule
from proofs.commands.delivery.order import DeliveryOptions, DeliveryOrder
from proofs.commands.delivery.record import delivery_record, refusals_record
from proofs.commands.delivery.run import DeliveryRun, make_delivery, plan_delivery
from proofs.commands.delivery.text import delivery_lines, density_line, refusal_lines
from proofs.densities import read_density
from proofs.errors import ExitCode, UsageError, largest
from proofs.plan.delivery.lab_sheets import lab_sheets
from proofs.plan.delivery.refusals import DeliverySheetOptions
from proofs.records.papers import Sharpening
from proofs.run.preflight import Preflight, preflight


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliverCommand(EntriesOptions):
    """The options of ``deliver``."""

    out: Path
    density: float | None
    cheapest: bool
    margin_line: bool
    cut_marks: bool
    anyway: bool
    copyright: str
    keep_metadata: bool
    needed_by: datetime.date | None
    catalogue: bool
    soft_proof: bool
    as_zip: bool
    sharpen: Sharpening | None
    paper_size: str
    jobs: int | None
    as_json: bool

    @property
    def sheets(self) -> DeliverySheetOptions:
        """The options of the lab sheets."""
        return DeliverySheetOptions(
            density=self.density,
            cheapest=self.cheapest,
            margin_line=self.margin_line,
            cut_marks=self.cut_marks,
            anyway=self.anyway,
        )

    def order(self, ready: Preflight) -> DeliveryOrder:
        """Return the order that these options describe."""
        options = DeliveryOptions(
            keep_metadata=self.keep_metadata,
            copyright=self.copyright,
            sharpen=self.sharpen,
            catalogue=self.catalogue,
            soft_proof=self.soft_proof,
            as_zip=self.as_zip,
            paper_size=self.paper_size,
            font=self.font,
        )
        return DeliveryOrder(ready.job, ready.inputs, self.out, options, self.needed_by)


def _one_line(context: click.Context, option: click.Parameter, value: str) -> str:
    return " ".join(value.split())


@click.command(short_help="Make a delivery for a print lab.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("delivery")
@entries_options
@click.option(
    "--density",
    callback=read_by(read_density),
    metavar="D",
    help="Density for entries without a chosen step, such as 0 [default: refuse them].",
)
@click.option("--cheapest", is_flag=True, help="Choose paper sheets by price, not by size.")
@click.option(
    "--margin-line", is_flag=True, help="Print number, size, TOP and a grey wedge behind the mat."
)
@click.option("--cut-marks", is_flag=True, help="Print marks to cut by, behind the mat.")
@click.option("--anyway", is_flag=True, help="Also deliver entries that break a rule.")
@click.option("--copyright", callback=_one_line, default="", metavar="TEXT", help="Copyright line.")
@click.option("--keep-metadata", is_flag=True, help="Keep EXIF, XMP and IPTC in the files.")
@date_option("--needed-by", help="The day by which the prints are needed; printed on the ticket.")
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
@takes(DeliverCommand)
def deliver(command: DeliverCommand) -> None:
    """Make the delivery for the lab --lab in the folder --out: complete, or not at all.

    \b
    prints/         one file for each picture, on the lab's sheet, with its white margin
    ticket.pdf      the order, with thumbnails; ticket.csv is the same as a table
    order.txt       the order as lines of text, to type into a form
    delivery.json   the record that 'proofs verify' reads
    SHA256SUMS      check sums, for 'sha256sum -c'

    --catalogue adds catalogue/, one copy of each picture for the section's screen, and
    --soft-proof adds soft-proof.pdf, for you. They are not for the lab: with --zip they stay
    outside the zips. A picture that cannot be copied or shown is refused like a print that
    cannot be made.

    Each entry is printed at its chosen step; copies, paper and finish are columns of the
    entries file, and 0 copies leave an entry out. An entry that is undecided, cannot be read or
    breaks a rule is refused by name, and then nothing is made.
    """
    inputs = command.inputs()
    if not inputs.source.lab:
        raise UsageError("name the lab that the delivery is for: --lab NAME, or lab in job.toml")
    ready = preflight(inputs, font=command.font, today=today())
    say([] if command.as_json else ready.notes)
    if command.cheapest and not ready.job.lab.prices:
        raise UsageError(f"--cheapest: the lab profile {ready.job.lab.name!r} lists no prices")
    run = _make(command, ready)
    say_faults(run.faults, command.out.parent)
    if command.as_json:
        made = run.delivery
        say_record(delivery_record(made) if made else refusals_record(run.refusals))
    else:
        _print_run(run, command.out)
    sys.exit(run.exit_code)


def _make(command: DeliverCommand, ready: Preflight) -> DeliveryRun:
    if command.catalogue:
        catalogue_rule(ready.job)  # refused before entries are, and before any pixel is read
    sheets, refused = lab_sheets(ready.job, ready.outcomes, command.sheets)
    if refused:
        code = largest(ExitCode(refusal.exit_code) for refusal in refused)
        return DeliveryRun(None, refused, exit_code=code)
    plan = plan_delivery(command.order(ready), ready.outcomes, sheets)
    say([] if command.as_json else filter(None, [density_line(sheets)]))
    with workers_for(plan.count, command.jobs) as workers:
        return make_delivery(plan, workers)


def _print_run(run: DeliveryRun, out: Path) -> None:
    if run.delivery is None:
        lines = refusal_lines(run.refusals) if run.refusals else ["interrupted: nothing was made"]
        say(["", *lines, f"exit code {run.exit_code:d}"])
        return
    say(["", *delivery_lines(run.delivery, run)])
    say([f"ready in {out}: {counted(len(run.files), 'file')}"])
    if run.exit_code:
        say([f"exit code {run.exit_code:d}: a rule is broken"])
