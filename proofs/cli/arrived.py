"""``proofs arrived``."""

import json
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import common_options, surveyed, tell
from proofs.commands.arrived import (
    arrived_benches,
    bench_lines,
    keep_readings,
    load_readings,
    refuse_strangers,
    verdict_of,
)
from proofs.commands.make.run import exit_code_of
from proofs.commands.mount.record import bench_entry
from proofs.errors import UsageError
from proofs.lengths import Size
from proofs.measures import read_size
from proofs.outside.files import read_bytes
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.arrival import ArrivalVerdict
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import Bench
from proofs.records.readings import RulerReading, read_readings
from proofs.records.words import tidy
from proofs.run.inputs import ProfileNames
from proofs.run.json_report import SCHEMA

_OF_READINGS = ("number", "size", "sheet", "picture", "source")


@click.command(short_help="Say what the ruler read of delivered prints, and what it means.")
@click.argument("entries", type=click.Path(path_type=Path))
@click.argument("number", required=False)
@click.argument("size", required=False)
@click.option("--sheet", default="", metavar="SIZE", help="The sheet of paper, measured too.")
@click.option(
    "--picture",
    type=click.IntRange(min=1),
    default=1,
    metavar="N",
    help="Which picture of the board, where it carries several.",
)
@click.option(
    "--from",
    "source",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    metavar="FILE.csv",
    help="A table of readings: number, image_width, image_height.",
)
@common_options
@click.option("--json", "as_json", is_flag=True, help="Print a record for programs instead.")
def arrived(entries: Path, font: Path | None, as_json: bool, **others: Any) -> None:
    """Say whether the planned opening suits the print that came, before anything is cut.

    ENTRIES is an entries file (CSV) or its folder, NUMBER an entry's, SIZE the image as the
    ruler reads it, without white paper:

    \b
      proofs arrived PICTURES                                what is still to be measured
      proofs arrived PICTURES 3 "10 3/16 x 15 1/8 in"
      proofs arrived PICTURES 3 "257 x 384 mm" --sheet "12x16 in"
      proofs arrived PICTURES --from readings.csv

    Readings are kept beside the entries, in arrived.csv; the entries file is never touched.
    Exit code 1 says that a print has to be made again, or that a rule is broken.
    """
    readings = _readings({name: others.pop(name) for name in _OF_READINGS})
    gathered, job, outcomes = surveyed([entries], font, ProfileNames(**others), quiet=as_json)
    if readings:
        refuse_strangers(readings, gathered.table.entries, str(entries))
        click.echo(keep_readings(gathered.folder, readings), err=as_json)
    held = load_readings(gathered.folder, gathered.table.entries)
    benches = arrived_benches(job, outcomes, held)
    if as_json:
        records = [{**bench_entry(b), "verdict": verdict_of(b)} for b in benches.values()]
        click.echo(json.dumps({"schema": SCHEMA, "entries": records}, indent=2, ensure_ascii=False))
    else:
        asked = {reading.number for reading in readings}
        told = [o for o in outcomes if not asked or o.entry.number in asked]
        tell([outcome for outcome in told if outcome.plan is None])
        _tell([outcome for outcome in told if outcome.plan], benches, marks_of(job))
    lost = exit_code_of(outcome for outcome in outcomes if outcome.plan is None)
    sys.exit(max(lost, *(bench.verdict == ArrivalVerdict.AGAIN for bench in benches.values()), 0))


def _tell(outcomes: Sequence[Outcome], benches: Mapping[str, Bench], marks: Marks) -> None:
    """Say what these entries came to, and how many there are of each verdict in all."""
    for outcome in outcomes:
        click.echo()
        for line in bench_lines(benches[outcome.entry.number], outcome, marks):
            click.echo(line)
    counts = Counter(verdict_of(bench) for bench in benches.values())
    click.echo("\n" + ", ".join(f"{count} {verdict}" for verdict, count in counts.items()))


def _readings(asked: Mapping[str, Any]) -> list[RulerReading]:
    """The readings of a table, and then the one that was typed."""
    source: Path | None = asked["source"]
    read = read_readings(read_bytes(source), str(source)) if source else ()
    typed = _typed(asked["number"], asked["size"], asked["sheet"], asked["picture"])
    return [*read, *typed]


def _typed(number: str | None, size: str | None, sheet: str, picture: int) -> list[RulerReading]:
    if number is None:
        if sheet:
            raise UsageError("--sheet goes with an entry's number and the size of its image")
        return []
    if size is None:
        raise UsageError(f"entry {number}: write the size of the image, such as '10x15 1/8 in'")
    try:
        return [RulerReading(tidy(number), read_size(size), _sheet(sheet), picture)]
    except ValueError as error:
        raise UsageError(f"entry {number}: {error}") from None


def _sheet(text: str) -> Size | None:
    return read_size(text) if text else None
