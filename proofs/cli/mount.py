"""``proofs mount``."""

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from proofs.arriving import READINGS, load_readings
from proofs.cli.options import (
    ENTRIES_HELP,
    common_options,
    counted,
    entries_argument,
    out_option,
    paper_size_option,
    surveyed,
    tell,
)
from proofs.gathering import Choices
from proofs.mounting import BenchRun, MountOrder, plan_mounting, write_mounting
from proofs.route import exit_code_of
from proofs.telling import closing_line


@click.command(short_help="Write the pages for the bench.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("mount")
@common_options
@click.option("--anyway", is_flag=True, help="Also mount entries that break a rule.")
@paper_size_option("pages")
@click.option("--json", "as_json", is_flag=True, help="Print cuts.json instead of words.")
def mount(
    entries: Sequence[Path],
    out: Path,
    font: Path | None,
    anyway: bool,
    paper_size: str,
    as_json: bool,
    **names: Any,
) -> None:
    """Write everything for the bench into the folder --out, in the order of the work.

    \b
    mounting.pdf    a cutting guide for every kind of mount, face down as you cut it, and
                    all cuts in one table
    cuts.json       the same for programs

    Measure the delivered prints first with 'proofs arrived'; pages of prints that were not
    measured say so. An entry that breaks a rule is left out unless --anyway.
    """
    gathered, job, outcomes = surveyed(entries, font, Choices(**names), quiet=as_json)
    readings = load_readings(gathered.folder, gathered.table.entries)
    order = MountOrder(job, gathered, out, paper_size.lower(), font, anyway)
    mounting = plan_mounting(order, outcomes, readings)
    code = exit_code_of(mounting.left_out)
    if mounting.kinds:
        write_mounting(order, mounting)
    else:
        click.echo("no entry is left to mount: nothing is written", err=True)
    if as_json:
        click.echo(json.dumps(mounting.record, indent=2, ensure_ascii=False))
    else:
        _tell(mounting, out)
        if line := closing_line(mounting.left_out, code):
            click.echo(line)
    sys.exit(code)


def _tell(mounting: BenchRun, out: Path) -> None:
    tell(mounting.left_out)
    click.echo()
    waiting = [number for kind in mounting.kinds for number in kind.unmeasured]
    for kind in mounting.kinds:
        numbers = ", ".join(bench.plan.entry.number for bench in kind.benches)
        what = f"cut {len(kind.benches)}" if kind.mats else "no window"
        click.echo(f"mount {kind.number}  {what:<9}  entry {numbers}")
    if waiting:
        click.echo(f"planned sizes, not measured ones: entry {', '.join(waiting)}")
        click.echo(f"measure the prints with 'proofs arrived'; the readings stand in {READINGS}")
    if mounting.kinds:
        click.echo(f"ready in {out}: {counted(len(mounting.kinds), 'kind')} of mount")
