"""The workers of a command, with a progress bar on a terminal."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click

from proofs.pages.columns import cut_to
from proofs.run.interrupts import interrupts
from proofs.run.printable import printable
from proofs.run.workers import Workers, usual_count

_NAME = 24  # columns


@contextmanager
def workers_for(steps: int, jobs: int | None, *, label: str = "making") -> Iterator[Workers]:
    """Yield the workers of a run of this many steps; ``jobs`` is None for what suits the machine.

    The bar is drawn on standard error, and only on a terminal. It shows how many steps are done,
    about how long the others will take, and the file that was finished last.
    """

    def shown(name: str | None) -> str:
        return cut_to(printable(name or ""), _NAME)

    with (
        interrupts() as is_stopped,
        click.progressbar(
            length=steps,
            label=label,
            show_pos=True,
            item_show_func=shown,
            file=sys.stderr,
            hidden=not sys.stderr.isatty(),
        ) as bar,
    ):
        yield Workers(jobs or usual_count(), is_stopped, lambda name: bar.update(1, name))
