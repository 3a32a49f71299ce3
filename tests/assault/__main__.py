"""All assaults on the program, with a table of what was tried and what failed.

``python -m tests.assault`` takes up to 20 minutes on two cores, and about two with ``--short``.
The same seed draws the same cases. ``--only "icc 150"`` repeats one case of the spoilt inputs.
"""

import argparse
import os
import sys
import tempfile
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from tests.assault.full_disk import fill_disks
from tests.assault.fuzz import fuzz, try_cases
from tests.assault.kills import kill_all
from tests.assault.readers import READERS
from tests.assault.report import Figures, report
from tests.assault.two_runs import run_twice

SEED = 20_261_130


@dataclass(frozen=True, slots=True)
class Extent:
    """How much is tried: spoilt inputs, kills, double runs of each command, and full disks."""

    inputs: int
    kills: int
    twice: int
    disks: bool


LONG = Extent(inputs=20_000, kills=60, twice=3, disks=True)
SHORT = Extent(inputs=400, kills=6, twice=1, disks=False)
PARTS = ("inputs", "kills", "disks", "twice")


def assault(
    extent: Extent, seed: int, top: Path, keep: Path, parts: Sequence[str] = PARTS
) -> list[Figures]:
    """Try all parts, the spoilt inputs at the same time as the rest; return their figures."""
    with ThreadPoolExecutor(1) as pool:
        spoilt = pool.submit(fuzz, extent.inputs, seed, keep=keep) if "inputs" in parts else None
        others: dict[str, Callable[[], list[Figures]]] = {
            "kills": lambda: kill_all(extent.kills, seed, top),
            "disks": lambda: fill_disks(top, seed) if extent.disks else [],
            "twice": lambda: run_twice(top, extent.twice),
        }
        found = [figures for part in others if part in parts for figures in others[part]()]
        return [*(spoilt.result() if spoilt else []), *found]


def again(words: str, seed: int, keep: Path) -> list[Figures]:
    """Repeat one spoilt input, named as it was reported: by its reader and its number."""
    reader, _, number = words.rpartition(" ")
    (failure,) = try_cases([(reader, int(number))], seed, keep=keep)
    print(failure or f"{words} ended as it should")
    return [Figures(words).with_one(failure, 0.0)]


def main() -> int:
    """Run what the arguments ask for; return 1 if anything failed."""
    parser = argparse.ArgumentParser(prog="python -m tests.assault", description=__doc__)
    parser.add_argument("--short", action="store_true", help="fewer cases, in about two minutes")
    parser.add_argument("--seed", type=int, default=SEED, help="draws all cases")
    parser.add_argument("--part", choices=PARTS, action="append", help="only this part")
    parser.add_argument("--only", metavar="CASE", help="one spoilt input, such as 'icc 150'")
    parser.add_argument("--inputs", type=int, help="number of spoilt inputs")
    parser.add_argument("--reader", choices=READERS, help="only spoilt inputs of this reader")
    asked = parser.parse_args()
    extent = SHORT if asked.short else LONG
    if asked.inputs:
        extent = Extent(asked.inputs, extent.kills, extent.twice, extent.disks)
    keep = Path(tempfile.gettempdir()) / f"proofs-assault-{os.getpid()}"
    with tempfile.TemporaryDirectory(prefix="assault-") as name:
        if asked.only:
            figures = again(asked.only, asked.seed, keep)
        elif asked.reader:
            figures = fuzz(extent.inputs, asked.seed, keep=keep, only=asked.reader)
        else:
            parts = asked.part or PARTS
            figures = assault(extent, asked.seed, Path(name), keep, parts)
    print(report(figures))
    is_failed = any(one.failures for one in figures)
    if is_failed:
        print(f"seed {asked.seed}; inputs that failed are kept in {keep}")
    return int(is_failed)


if __name__ == "__main__":
    sys.exit(main())
