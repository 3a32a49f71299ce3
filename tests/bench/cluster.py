"""What a cluster costs: processor time of ``make`` by its workers against that of the pool.

    python -m tests.bench.cluster small 10 100
    python -m tests.bench.cluster large 10

makes so many entries, with two workers of a cluster on this machine and with a pool of two, and
prints a table. Processor time hardly depends on what else the machine does; wall time does.
"""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import psutil

from tests.cluster_processes import TestCluster, cluster_of
from tests.command import gradient
from tests.labs import write_labs

_WORKERS = "ash", "birch"
_SIZES = {"small": (1200, 800, "small"), "large": (6000, 4000, "srgb-jpeg-300")}
"""The pixels of a picture, and the lab."""


@dataclass(frozen=True, slots=True)
class Cost:
    """Seconds of the processor, of the run itself and of the cluster's processes, and of time."""

    run: float
    workers: float
    scheduler: float
    wall: float


def main(size: str, counts: list[int]) -> None:
    """Print the table."""
    width, height, lab = _SIZES[size]
    print(f"make of {width} x {height} px for the lab {lab}, four steps; seconds")
    print("entries  by       parent  workers  scheduler    wall  per entry")
    folder = Path(tempfile.mkdtemp(prefix="proofs-bench-")).resolve()
    try:
        os.environ["PROOFS_SHARED"] = str(folder)
        with cluster_of(folder, _WORKERS) as cluster:
            for count in counts:
                pictures = _pictures(folder, count, size)
                _print(count, "pool", _pool(pictures, lab))
                _print(count, "cluster", _cluster(cluster, pictures, lab))
    finally:
        shutil.rmtree(folder)


def _pictures(folder: Path, count: int, size: str) -> Path:
    pictures = folder / f"pictures-{count}"
    pictures.mkdir()
    write_labs(pictures)
    gradient(pictures / "0001.jpg", *_SIZES[size][:2])
    for n in range(2, count + 1):
        shutil.copyfile(pictures / "0001.jpg", pictures / f"{n:04d}.jpg")
    return pictures


def _make(pictures: Path, lab: str, *options: str) -> tuple[float, float]:
    """Run ``make``; return the processor time of the run and its children, and the wall time."""
    out = pictures.parent / "out"
    usual = ("--lab", lab, "--rules", "none", "--quiet", "--again")
    before, begun = os.times(), time.monotonic()
    said = run("make", pictures, "--out", out, *usual, *options)
    wall, after = time.monotonic() - begun, os.times()
    assert said.returncode == 0, said.stderr
    shutil.rmtree(out)
    used = after.children_user + after.children_system
    return used - before.children_user - before.children_system, wall


def run(*words: str | Path) -> "subprocess.CompletedProcess[str]":
    """Run the program for as long as it takes."""
    command = [sys.executable, "-m", "proofs", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def _pool(pictures: Path, lab: str) -> Cost:
    used, wall = _make(pictures, lab, "--jobs", "2")
    return Cost(used, 0.0, 0.0, wall)


def _cluster(cluster: TestCluster, pictures: Path, lab: str) -> Cost:
    assert cluster.scheduler
    groups = [process.pid for process in cluster.workers.values()], [cluster.scheduler.pid]
    before = [_used(group) for group in groups]
    own, wall = _make(pictures, lab, "--cluster", cluster.address)
    workers, scheduler = (
        _used(group) - earlier for group, earlier in zip(groups, before, strict=True)
    )
    return Cost(own, workers, scheduler, wall)


def _used(pids: list[int]) -> float:
    times = [psutil.Process(pid).cpu_times() for pid in pids]
    return sum(used.user + used.system for used in times)


def _print(count: int, by: str, cost: Cost) -> None:
    each = (cost.run + cost.workers + cost.scheduler) / count
    figures = f"{cost.run:7.1f}  {cost.workers:7.1f}  {cost.scheduler:9.1f}  {cost.wall:6.1f}"
    print(f"{count:7d}  {by:7}{figures}  {each:9.2f}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1], [int(word) for word in sys.argv[2:]])
