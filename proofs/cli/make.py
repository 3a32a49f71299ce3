"""``proofs make``."""

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
    sharpen_option,
    soft_proof_option,
    takes,
)
from proofs.cli.output import counted, say, say_end, say_faults, say_news, say_outcomes
from proofs.cli.progress import workers_for
from proofs.commands.make.order import MakeOptions, MakeOrder
from proofs.commands.make.run import Announcement, announced, make_run, tasks_of
from proofs.findings import Status
from proofs.records.papers import Sharpening
from proofs.run.preflight import Preflight
from proofs.run.workers import usual_count


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeCommand(EntriesOptions):
    """The options of ``make``."""

    out: Path
    variants: bool
    anyway: bool
    keep_metadata: bool
    keep_copyright: bool
    sharpen: Sharpening | None
    proof_prints: bool
    soft_proof: bool
    paper_size: str
    jobs: int | None

    def order(self, ready: Preflight) -> MakeOrder:
        """Return the order that these options describe."""
        options = MakeOptions(
            variants=self.variants,
            anyway=self.anyway,
            keep_metadata=self.keep_metadata,
            keep_copyright=self.keep_copyright,
            sharpen=self.sharpen,
            font=self.font,
        )
        return MakeOrder(
            job=ready.job,
            inputs=ready.inputs,
            folder=self.out,
            options=options,
            paper_size=self.paper_size,
            proof_prints=self.proof_prints,
            soft_proof=self.soft_proof,
        )


@click.command(short_help="Make print files, mock-ups and the proof sheet.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("run")
@entries_options
@click.option("--variants", is_flag=True, help="Also write every step at full size.")
@click.option("--anyway", is_flag=True, help="Also write print files that break a rule.")
@click.option("--keep-metadata", is_flag=True, help="Keep EXIF, XMP and IPTC in print files.")
@click.option("--keep-copyright", is_flag=True, help="Keep only the author, copyright and title.")
@proof_prints_option
@soft_proof_option
@sharpen_option
@paper_size_option("proof sheet")
@jobs_option("Pictures")
@takes(MakeCommand)
def make(command: MakeCommand) -> None:
    """Make print files, mock-ups, the proof sheet and the report in the folder --out.

    \b
    prints/         one file for each entry: the chosen step, or the plain picture
    mockups/        every step on its mount, and the back, to scale
    variants/       every step at full size (--variants)
    proof-sheet.pdf every entry with every step, its verdict and measured sizes
    report.json     the same for programs

    An entry that breaks a rule gets no print file unless --anyway.
    """
    ready = command.preflight()
    say(ready.notes)
    order = command.order(ready)
    tasks = tasks_of(order, ready.outcomes, command.jobs or usual_count())
    say([_announcement(announced(tasks), command.out)])
    with workers_for(len(tasks), command.jobs) as workers:
        run = make_run(order, ready.outcomes, tasks, workers)
    say_outcomes([o for o in run.outcomes if o.status != Status.MET])
    say_news(ready.outcomes, [o for o in run.outcomes if o.status == Status.MET])
    printed = sum(outcome.is_printed for outcome in run.outcomes)
    say([f"ready in {command.out}: {counted(printed, 'print file')}"])
    say_faults(run.faults, command.out)
    say_end(run.outcomes, run.exit_code)
    sys.exit(run.exit_code)


def _announcement(planned: Announcement, out: Path) -> str:
    parts = [counted(planned.prints, "print file")]
    if planned.variants:
        parts.append(counted(planned.variants, "variant"))
    parts += [counted(planned.mockups, "mock-up"), "a proof sheet and a report"]
    return f"making {', '.join(parts)} in {out}: about {planned.about_bytes / 1e6:.0f} MB"
