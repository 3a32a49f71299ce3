"""The workers of a command, with a progress bar on a terminal."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click

from proofs.run.interrupts import interrupts
from proofs.run.workers import Workers, usual_count


@contextmanager
def workers_for(steps: int, jobs: int | None, *, label: str = "making") -> Iterator[Workers]:
    """Yield the workers of a run of this many steps; ``jobs`` is None for what suits the machine.

    The bar is drawn on standard error, and only on a terminal.
    """
    with (
        interrupts() as is_stopped,
        click.progressbar(
            length=steps,
            label=label,
            show_pos=True,
            file=sys.stderr,
            hidden=not sys.stderr.isatty(),
        ) as bar,
    ):
        yield Workers(jobs or usual_count(), is_stopped, lambda: bar.update(1))
