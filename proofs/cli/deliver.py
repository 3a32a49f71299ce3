"""``proofs deliver``."""

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import (
    ENTRIES_HELP,
    common_options,
    counted,
    entries_argument,
    making_options,
    out_option,
    read_by,
    surveyed,
)
from proofs.crew import interrupts, usual_jobs
from proofs.delivering import DeliveryOrder, DeliveryRun
from proofs.delivering import deliver as deliver_run
from proofs.delivery_beside import BesideWishes, beside_order
from proofs.delivery_files import Packing
from proofs.delivery_making import FileWishes
from proofs.delivery_record import delivery_record
from proofs.delivery_words import delivery_lines, density_line, refusal_lines
from proofs.densities import read_density
from proofs.errors import UsageError
from proofs.gathering import Choices, find_folders, gather
from proofs.outside.files import write_whole
from proofs.plan.lab_sheets import LabSheet, lab_sheets
from proofs.plan.outcomes import Outcome
from proofs.plan.refusals import Refusal, SheetWishes

_SHEET_WISHES = ("density", "cheapest", "slug", "cut_marks", "anyway")


def _line(context: click.Context, option: click.Parameter, value: str) -> str:
    """One line of text."""
    return " ".join(value.split())


@click.command(short_help="Make a delivery for a print lab.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("delivery")
@common_options
@click.option(
    "--density",
    callback=read_by(read_density),
    metavar="D",
    help="Density of entries that have no step chosen, such as 0; else they are refused.",
)
@click.option("--cheapest", is_flag=True, help="Take the sheets by price, not by size.")
@click.option(
    "--margin-line",
    "slug",
    is_flag=True,
    help="Print number, size, TOP and a wedge behind the mat.",
)
@click.option("--cut-marks", is_flag=True, help="Print marks to cut by, behind the mat.")
@click.option("--anyway", is_flag=True, help="Also deliver what breaks a rule.")
@click.option("--copyright", callback=_line, default="", metavar="TEXT", help="Copyright line.")
@click.option("--keep-metadata", is_flag=True, help="Keep EXIF, XMP and IPTC in the files.")
@click.option(
    "--needed-by",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="YYYY-MM-DD",
    help="The day by which the prints are needed; it stands on the ticket.",
)
@click.option(
    "--catalogue",
    is_flag=True,
    help="Also write catalogue/: copies for the section's screen, as the rules ask.",
)
@click.option(
    "--soft-proof",
    is_flag=True,
    help="Also write soft-proof.pdf: what the lab's profile does to the colours.",
)
@click.option(
    "--zip", "as_zip", is_flag=True, help="Pack what is for the lab, in parts that it takes."
)
@click.option("--json", "as_json", is_flag=True, help="Print the record delivery.json instead.")
@making_options(page="ticket and the soft proof", at_once="Sheets or pictures")
def deliver(
    entries: Sequence[Path],
    out: Path,
    font: Path | None,
    jobs: int | None,
    as_json: bool,
    **others: Any,
) -> None:
    """Make the delivery for the lab --lab in the folder --out: whole, or not at all.

    \b
    prints/         a file a picture, on the lab's sheet, its white margin round it
    ticket.pdf      the order, with thumbnails; ticket.csv is the same as a table
    order.txt       the order as lines, to key into a form
    delivery.json   the record that 'proofs verify' reads
    SHA256SUMS      check sums, for 'sha256sum -c'

    With --catalogue also catalogue/, a copy a picture for the section's screen, and with
    --soft-proof soft-proof.pdf, for you. They are not for the lab: with --zip they lie beside
    the zips. What cannot be copied or shown is refused like a print that cannot be made.

    Each entry goes at its chosen step; copies, paper and finish stand in the entries file, and 0
    copies leave an entry out. An entry that is undecided, cannot be read or breaks a rule is
    refused by name, and then nothing is made.
    """
    sheet_wishes = SheetWishes(**{wish: others.pop(wish) for wish in _SHEET_WISHES})
    files, packing, wanted = _wishes(others, font)
    day, choices = others.pop("needed_by"), Choices(**others)
    _refuse_no_lab(choices, entries)
    gathered, job, outcomes = surveyed(entries, font, choices, quiet=as_json)
    if sheet_wishes.cheapest and not job.lab.prices:
        raise UsageError(f"--cheapest: the lab {job.lab.name!r} tells no prices")
    sheets, refused = lab_sheets(job, outcomes, sheet_wishes)
    beside = beside_order(job, gathered, outcomes, sheets, wanted)
    needed = day.date() if day else None
    order = DeliveryOrder(job, gathered, out, files, packing, beside, needed)
    if refused:
        run = DeliveryRun(None, refused, exit_code=max(r.exit_code for r in refused))
    else:
        if not as_json and (told := density_line(sheets)):
            click.echo(told)
        run = _run(order, outcomes, sheets, jobs or usual_jobs())
    _tell(run, out, as_json=as_json)
    sys.exit(run.exit_code)


def _wishes(options: dict[str, Any], font: Path | None) -> tuple[FileWishes, Packing, BesideWishes]:
    """Take out of the options what is asked of the files, the packing and what lies beside."""
    take, paper = options.pop, options.pop("paper_size").lower()
    return (
        FileWishes(take("keep_metadata"), take("copyright"), take("sharpen"), font),
        Packing(take("as_zip"), paper, font),
        BesideWishes(take("catalogue"), take("soft_proof"), paper, font),
    )


def _refuse_no_lab(choices: Choices, entries: Sequence[Path]) -> None:
    """A delivery goes to one lab: none is taken as usual."""
    if not (choices.lab or find_folders(choices, gather(entries).folder)[1].lab):
        raise UsageError("name the lab that it is for: --lab NAME, or lab in job.toml")


def _run(
    order: DeliveryOrder, outcomes: Sequence[Outcome], sheets: Sequence[LabSheet], jobs: int
) -> DeliveryRun:
    """Make the delivery under a progress bar; quiet where nobody watches."""
    with (
        interrupts() as stopped,
        click.progressbar(
            length=len(sheets) + order.beside.count,
            label="making",
            show_pos=True,
            file=sys.stderr,
            hidden=not sys.stderr.isatty(),
        ) as bar,
    ):
        return deliver_run(
            order, outcomes, sheets, jobs=jobs, stopped=stopped, done=lambda: bar.update(1)
        )


def _tell(run: DeliveryRun, out: Path, *, as_json: bool) -> None:
    if run.faults:
        path = out.with_name(f"{out.name}-fault.log")
        write_whole(path, "\n".join(run.faults).encode())
        click.echo(f"a fault of the program: please send {path}", err=True)
    if as_json:
        record = delivery_record(run.delivery) if run.delivery else _refused_record(run.refusals)
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
        return
    if run.delivery is None:
        click.echo()
        said = refusal_lines(run.refusals) if run.refusals else ["interrupted: nothing was made"]
        for line in said:
            click.echo(line)
        click.echo(f"exit code {run.exit_code}")
        return
    click.echo()
    for line in delivery_lines(run.delivery, run):
        click.echo(line)
    click.echo(f"ready in {out}: {counted(len(run.files), 'file')}")
    if run.exit_code:
        click.echo(f"exit code {run.exit_code}: a rule is broken")


def _refused_record(refusals: Sequence[Refusal]) -> dict[str, object]:
    return {
        "refused": [
            {"number": r.number, "title": r.title, "reason": r.reason, "exit_code": r.exit_code}
            for r in refusals
        ]
    }
