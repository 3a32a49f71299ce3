"""The workers of a command, with a progress bar on a terminal."""

import functools
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any, TypeVar

import click

from proofs.cli.output import print_lines
from proofs.pages.columns import cut_to
from proofs.pages.wording import counted
from proofs.run.cluster_order import ClusterOrder
from proofs.run.cluster_workers import ClusterWorkers, cluster_workers
from proofs.run.interrupts import interrupts
from proofs.run.printable import printable
from proofs.run.worker_processes import forked_workers
from proofs.run.workers import Workers, usual_count

_NAME = 24  # columns
_FORKED = "proofs.forked"  # where click's context keeps the workers that wait

F = TypeVar("F", bound=Callable[..., Any])


def jobs_option(things: str) -> Callable[[F], Any]:
    """Return the option for the number of workers; ``things`` are what they work on.

    Workers are forked before the command opens a picture, and ``workers_for`` hands them out.
    """
    option = click.option(
        "--jobs",
        type=click.IntRange(min=1),
        help=f"{things} to work on at once [default: what suits the machine].",
    )

    def decorate(run: F) -> Any:
        @functools.wraps(run)
        def command(options: Any) -> None:
            with forked_workers(options.jobs or usual_count()) as forked:
                click.get_current_context().meta[_FORKED] = forked
                run(options)

        return option(command)

    return decorate


@contextmanager
def workers_for(
    steps: int, jobs: int | None, *, label: str = "making", order: ClusterOrder | None = None
) -> Iterator[Workers]:
    """Yield the workers of a run of this many steps; ``jobs`` is None for what suits the machine.

    The bar is drawn on standard error, and only on a terminal. It shows how many steps are done,
    about how long the others will take, and the file that was finished last. With an ``order`` the
    workers are those of a cluster.
    """
    if order is None:
        forked = click.get_current_context().meta.get(_FORKED)
        with _shown(Workers(jobs or usual_count(), forked=forked), steps, label) as workers:
            yield workers
        return
    with cluster_workers(order) as cluster:
        _print_cluster(cluster)
        count = min(jobs or cluster.count, cluster.count)
        with _shown(Workers(count, cluster=cluster), steps, label) as workers:
            yield workers
        print_lines(filter(None, [cluster.failure]), to_errors=True)


def _print_cluster(cluster: ClusterWorkers) -> None:
    """Print on standard error which workers there are, and which are refused."""
    refused = [f"left out: {reason}" for reason in cluster.refusals]
    print_lines([*refused, f"using {counted(cluster.count, 'worker')}"], to_errors=True)


@contextmanager
def _shown(workers: Workers, steps: int, label: str) -> Iterator[Workers]:
    """Yield workers that can be stopped, and whose progress is shown."""

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
        yield replace(
            workers,
            is_stopped=lambda: is_stopped() or workers.has_failed,
            after_each=lambda name: bar.update(1, name),
        )
