"""``proofs arrived``."""

import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from proofs.cli.options import entries_options, json_option, preflight_of, takes
from proofs.cli.output import (
    detail_options,
    is_quiet,
    is_verbose,
    print_introduction,
    print_lines,
    print_outcomes,
    print_record,
)
from proofs.commands.arrived import (
    arrived_benches,
    arrived_record,
    bench_lines,
    bench_table,
    verdict_of,
)
from proofs.errors import ExitCode, UsageError, largest
from proofs.measures import read_size
from proofs.outside.files import read_bytes
from proofs.plan.checks.outcomes import Outcome, exit_code_of
from proofs.plan.cutting.arrival import ArrivalVerdict
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import BenchEntry
from proofs.records.cells import clean_cell
from proofs.records.ruler_readings import RulerReading, read_ruler_readings
from proofs.run.inputs import EntriesOptions
from proofs.run.readings import keep_readings, load_readings, refuse_unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivedOptions(EntriesOptions):
    """The options of ``arrived``."""

    number: str | None
    size: str | None
    sheet: str
    picture: int
    source: Path | None
    as_json: bool

    def readings(self) -> list[RulerReading]:
        """Return the readings of a table, followed by the one that was typed."""
        read = read_ruler_readings(read_bytes(self.source), str(self.source)) if self.source else ()
        return [*read, *self._typed()]

    def _typed(self) -> list[RulerReading]:
        number, sheet = self.number, self.sheet
        if number is None:
            if sheet:
                raise UsageError("--sheet goes with an entry's number and the size of its image")
            return []
        if self.size is None:
            raise UsageError(f"entry {number}: add the size of the image, such as '10x15 1/8 in'")
        try:
            paper = read_size(sheet) if sheet else None
            return [RulerReading(clean_cell(number), read_size(self.size), paper, self.picture)]
        except ValueError as error:
            raise UsageError(f"entry {number}: {error}") from None


def alone(context: click.Context, parameter: click.Parameter, path: Path) -> tuple[Path, ...]:
    """Return the one path as a tuple, because the other commands take several; a callback."""
    return (path,)


@click.command(short_help="Record ruler readings of delivered prints, and report what they mean.")
@click.argument("entries", type=click.Path(path_type=Path), callback=alone)
@click.argument("number", required=False)
@click.argument("size", required=False)
@entries_options
@click.option("--sheet", default="", metavar="SIZE", help="The measured size of the paper.")
@click.option(
    "--picture",
    type=click.IntRange(min=1),
    default=1,
    metavar="N",
    help="Number of the picture, if the board has several.",
)
@click.option(
    "--from",
    "source",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    metavar="FILE.csv",
    help="A table of readings: number, image_width, image_height.",
)
@detail_options
@json_option
@takes(ArrivedOptions)
def arrived(options: ArrivedOptions) -> None:
    """Report whether the planned opening suits the delivered print, before anything is cut.

    ENTRIES is an entries file (CSV) or its folder, NUMBER the number of an entry, SIZE the image
    as the ruler reads it, without white paper:

    \b
      proofs arrived PICTURES                                list what is still to measure
      proofs arrived PICTURES 3 "10 3/16 x 15 1/8 in"
      proofs arrived PICTURES 3 "257 x 384 mm" --sheet "12x16 in"
      proofs arrived PICTURES --from readings.csv

    Readings are kept next to the entries, in arrived.csv; the entries file is never changed.
    Exit code 1 means that a print must be made again, or that a rule is broken.
    """
    readings = options.readings()
    ready = preflight_of(options)
    print_introduction([] if options.as_json else ready.notes)
    folder, entries = ready.inputs.folder, ready.inputs.table.entries
    if readings:
        refuse_unknown(readings, entries, str(options.entries[0]))
        print_lines([keep_readings(folder, readings)], to_errors=options.as_json)
    benches = arrived_benches(ready.job, ready.outcomes, load_readings(folder, entries))
    if options.as_json:
        print_record(arrived_record(benches.values()))
    else:
        asked = {reading.number for reading in readings}
        shown = [o for o in ready.outcomes if not asked or o.entry.number in asked]
        print_outcomes(ready.job, [outcome for outcome in shown if outcome.plan is None])
        planned = [outcome for outcome in shown if outcome.plan]
        print_lines(_lines(planned, benches, marks_of(ready.job)))
    is_unusable = any(bench.verdict == ArrivalVerdict.AGAIN for bench in benches.values())
    unplanned = exit_code_of(outcome for outcome in ready.outcomes if outcome.plan is None)
    sys.exit(largest([unplanned, ExitCode.BROKEN if is_unusable else ExitCode.DONE]))


def _lines(
    outcomes: Sequence[Outcome], benches: Mapping[str, BenchEntry], marks: Marks
) -> list[str]:
    """These entries as text, and the number of entries with each verdict."""
    counts = Counter(verdict_of(bench) for bench in benches.values())
    words = ", ".join(f"{count} {verdict}" for verdict, count in counts.items())
    if is_quiet():
        return [words]
    if not is_verbose():
        shown = [benches[outcome.entry.number] for outcome in outcomes]
        return ["", *bench_table(shown, marks), "", words]
    blocks = [bench_lines(benches[o.entry.number], o, marks) for o in outcomes]
    return [*(line for block in blocks for line in ("", *block)), "", words]
