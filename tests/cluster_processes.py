"""A scheduler and workers as processes of their own, on this machine alone.

``python -m tests.cluster_processes scheduler`` and ``… worker ADDRESS NAME`` are what the tests
start. What the environment names is changed in that worker alone, before it starts: a test needs a
worker that differs, and one machine has only one version of everything.
"""

import asyncio
import contextlib
import os
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest import mock

from proofs.lengths import PixelSize

ROOT = Path(__file__).parents[1]
OTHER_ZLIB = "TEST_OTHER_ZLIB"
"""The version of zlib that a worker reports instead of its own."""
OTHER_BITS = "TEST_OTHER_BITS"
"""If set, a worker resamples with another last bit, as other arithmetic might."""
_HOST = "127.0.0.1"


@dataclass(slots=True)
class TestCluster:
    """A scheduler and its workers, by name; ``shared`` is the folder that they share."""

    __test__ = False

    shared: Path
    address: str = ""
    scheduler: "subprocess.Popen[str] | None" = None
    workers: dict[str, "subprocess.Popen[str]"] = field(default_factory=dict)

    def start(self, settings: Mapping[str, Mapping[str, str]]) -> None:
        """Start workers, each in its own environment, and return once all are there."""
        begun = {
            name: self._begun("worker", self.address, name, **own) for name, own in settings.items()
        }
        self.workers |= begun
        for process in begun.values():
            _first_line(process)

    def restore(self, names: Sequence[str]) -> None:
        """Have exactly these workers: start those that are gone, and end all others."""
        lost = {name for name, process in self.workers.items() if process.poll() is not None}
        if wrong := (self.workers.keys() - set(names)) | lost:
            self.end(*wrong)
        self.start({name: {} for name in names if name not in self.workers})

    def start_scheduler(self) -> None:
        """Start the scheduler at a port that is free."""
        self.scheduler = self._begun("scheduler")
        self.address = _first_line(self.scheduler)

    def end(self, *names: str) -> None:
        """Kill workers, or all of them and the scheduler if none are named."""
        processes = [self.workers.pop(name) for name in names or list(self.workers)]
        if not names and self.scheduler:
            processes.append(self.scheduler)
        for process in processes:
            process.kill()
        for process in processes:
            process.communicate()

    def _begun(self, *words: str, **environment: str) -> "subprocess.Popen[str]":
        settings = {"PROOFS_SHARED": str(self.shared), "PYTHONPATH": str(ROOT)}
        return subprocess.Popen(
            [sys.executable, "-m", "tests.cluster_processes", *words],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            stdin=subprocess.PIPE,  # it ends when this process does, however that ends
            text=True,
            env={**os.environ, **settings, **environment},
            start_new_session=True,  # Ctrl-C in the parent's terminal is not for them
        )


def _first_line(process: "subprocess.Popen[str]") -> str:
    assert process.stdout
    line = process.stdout.readline().strip()
    assert line, "the process ended before it was ready"
    return line


@contextlib.contextmanager
def cluster_of(shared: Path, names: Sequence[str]) -> Iterator[TestCluster]:
    """Yield a cluster with these workers, and end all its processes whatever happens."""
    cluster = TestCluster(shared)
    try:
        cluster.start_scheduler()
        cluster.restore(names)
        yield cluster
    finally:
        cluster.end()


async def _scheduler() -> None:
    import distributed

    make: Any = distributed.Scheduler
    async with make(host=_HOST, port=0, dashboard=False, dashboard_address=f"{_HOST}:0") as own:
        print(own.address, flush=True)
        await own.finished()


async def _worker(address: str, name: str) -> None:
    import distributed

    make: Any = distributed.Worker
    async with make(address, nthreads=1, name=name, host=_HOST, dashboard=False) as own:
        print(own.address, flush=True)
        await own.finished()


def _changed() -> contextlib.ExitStack:
    """What the environment asks to be different in this worker."""
    from proofs.outside.pixels.resize import print_size, resampling
    from proofs.run import fitness

    stack = contextlib.ExitStack()
    if other := os.environ.get(OTHER_ZLIB):
        facts = tuple((n, other if n == "zlib" else v) for n, v in fitness.version_facts())
        stack.enter_context(
            mock.patch("proofs.run.cluster_workers.version_facts", return_value=facts)
        )
    if os.environ.get(OTHER_BITS):
        own = resampling.resampled

        def other_bits(image: Any, size: PixelSize) -> Any:
            return own(image, size) ^ 1

        stack.enter_context(mock.patch.object(print_size, "resampled", other_bits))
    return stack


def _end_with_parent() -> None:
    sys.stdin.read()
    os._exit(1)


if __name__ == "__main__":
    threading.Thread(target=_end_with_parent, daemon=True).start()
    with _changed():
        asyncio.run(_scheduler() if sys.argv[1] == "scheduler" else _worker(*sys.argv[2:4]))
