"""``proofs make``."""

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
    surveyed,
    tell,
    tell_news,
)
from proofs.commands.make.order import MakeOptions
from proofs.commands.make.run import Announcement, MakeOrder, MakeRun, announced
from proofs.commands.make.run import make as make_run
from proofs.outside.files import write_whole
from proofs.plan.checks.outcomes import Outcome
from proofs.run.inputs import ProfileNames
from proofs.run.workers import interrupts, usual_jobs

_WISHES = ("variants", "anyway", "keep_metadata", "keep_copyright", "sharpen")
_EXTRAS = ("proof_prints", "soft_proof")


@click.command(short_help="Make print files, mock-ups and the proof sheet.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("run")
@common_options
@click.option("--variants", is_flag=True, help="Also write every step at full size.")
@click.option("--anyway", is_flag=True, help="Also write print files that break a rule.")
@click.option("--keep-metadata", is_flag=True, help="Keep EXIF, XMP and IPTC in print files.")
@click.option(
    "--keep-copyright", is_flag=True, help="Keep of them only maker, copyright and title."
)
@click.option(
    "--proof-prints",
    is_flag=True,
    help="Also write the proof sheet's pages as pictures for the lab.",
)
@click.option(
    "--soft-proof",
    is_flag=True,
    help="Also write soft-proof.pdf: what the lab's profile does to the colours.",
)
@making_options(page="proof sheet", at_once="Pictures")
def make(
    entries: Sequence[Path],
    out: Path,
    font: Path | None,
    jobs: int | None,
    paper_size: str,
    **others: Any,
) -> None:
    """Make print files, mock-ups, the proof sheet and the report in the folder --out.

    \b
    prints/         one file an entry: the chosen step, or the plain picture
    mockups/        every step on its mount, and the back, to scale
    variants/       every step at full size (--variants)
    proof-sheet.pdf every entry with every step, its verdict and measured sizes
    report.json     the same for programs

    An entry that breaks a rule gets no print file unless --anyway.
    """
    wishes = MakeOptions(font=font, **{wish: others.pop(wish) for wish in _WISHES})
    extras = {extra: others.pop(extra) for extra in _EXTRAS}
    gathered, job, outcomes = surveyed(entries, font, ProfileNames(**others), quiet=False)
    order = MakeOrder(job, gathered, out, wishes, paper_size.lower(), **extras)
    _announce(announced(order, outcomes), out)
    run = _made(order, outcomes, jobs or usual_jobs())
    tell([o for o in run.outcomes if o.status != "met"])
    tell_news(outcomes, [o for o in run.outcomes if o.status == "met"])
    click.echo(f"ready in {out}: {counted(sum(o.is_printed for o in run.outcomes), 'print file')}")
    _log_faults(run, out)
    close(run.outcomes, run.exit_code)
    sys.exit(run.exit_code)


def _announce(coming: Announcement, out: Path) -> None:
    parts = [counted(coming.prints, "print file")]
    if coming.variants:
        parts.append(counted(coming.variants, "variant"))
    parts += [counted(coming.mockups, "mock-up"), "a proof sheet and a report"]
    click.echo(f"making {', '.join(parts)} in {out}: about {coming.about_bytes / 1e6:.0f} MB")


def _made(order: MakeOrder, outcomes: tuple[Outcome, ...], jobs: int) -> MakeRun:
    """Make the run under a progress bar; quiet where nobody watches."""
    count = sum(outcome.plan is not None for outcome in outcomes)
    watched = sys.stderr.isatty()
    with (
        interrupts() as stopped,
        click.progressbar(
            length=count, label="making", show_pos=True, file=sys.stderr, hidden=not watched
        ) as bar,
    ):
        return make_run(
            order, outcomes, jobs=jobs, stopped=stopped, done=lambda outcome: bar.update(1)
        )


def _log_faults(run: MakeRun, out: Path) -> None:
    if run.faults:
        path = out / "proofs-fault.log"
        write_whole(path, "\n".join(run.faults).encode())
        click.echo(f"a fault of the program: please send {path}", err=True)
