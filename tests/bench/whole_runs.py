"""Whole commands against scripts that do the same pixels without any care.

    python -m tests.bench.whole_runs [PART ...] [--times N]

The parts are ``scripts``, ``headers``, ``memory``, ``growth``, ``pixels`` and ``steps``; without
any, all run.
Each figure is a median, in seconds, of runs that take turns. The processor time is that of all
processes that a command started, even those that nobody waited for. Linux only.
"""

import ctypes
import json
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import psutil
import pyvips
from skimage import data

from tests.bench.yardsticks import DENSITIES

_SUBREAPER = 36  # PR_SET_CHILD_SUBREAPER of prctl(2): orphans are ours to wait for
_ROOT = Path(__file__).parents[2]
_SIZE = 6000, 4000
_STEPS = ";".join(f"{density:+.2f}" for density in DENSITIES)


@dataclass(frozen=True, slots=True)
class Cost:
    """What a command took: seconds of wall clock and of all processors, and bytes of memory."""

    wall_s: float
    processor_s: float
    bytes: int


def run(command: Sequence[str], *, is_watched: bool = False) -> Cost:
    """Run a command to its end, with all that it started, and return what it took.

    Its memory is looked at only if ``is_watched``, since looking costs time.
    """
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPATH"] = str(_ROOT)
    reader, writer = os.pipe()
    if not os.fork():
        os.close(reader)
        os.write(writer, json.dumps(_measured(command, environment, is_watched)).encode())
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader) as answer:
        wall, processor, memory = json.load(answer)
    os.wait()
    return Cost(wall, processor, memory)


def _measured(
    command: Sequence[str], environment: dict[str, str], is_watched: bool
) -> tuple[float, float, int]:
    ctypes.CDLL(None).prctl(_SUBREAPER, 1, 0, 0, 0)
    most, began = [0], time.perf_counter()
    process = subprocess.Popen(
        command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    if is_watched:
        threading.Thread(target=_watch, args=(process.pid, most), daemon=True).start()
    if process.wait():
        raise SystemExit(f"{' '.join(command)}: ended with {process.returncode}")
    wall = time.perf_counter() - began
    while True:
        try:
            os.wait()
        except ChildProcessError:
            break
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, used.ru_utime + used.ru_stime, most[0]


def _watch(number: int, most: list[int]) -> None:
    while True:
        total = 0
        try:
            family = [p := psutil.Process(number), *p.children(recursive=True)]
        except psutil.Error:
            return
        for process in family:
            try:
                total += process.memory_full_info().pss
            except psutil.Error:
                continue
        most[0] = max(most[0], total)
        time.sleep(0.02)


def proofs(*arguments: str) -> list[str]:
    """Return the command line of the program."""
    return [sys.executable, "-m", "proofs", *arguments]


def photographs(folder: Path, size: tuple[int, int], count: int) -> None:
    """Write so many photographs, enlarged to this size, with grain."""
    width, height = size
    names = ["astronaut", "coffee", "chelsea", "rocket"]
    grain = np.random.default_rng(1)
    for n in range(count):
        small = pyvips.Image.new_from_array(getattr(data, names[n % len(names)])())
        scale = max(width / small.width, height / small.height)
        large = small.resize(scale).crop(0, 0, width, height).numpy().astype(np.float32)
        large += grain.normal(0, 3, (height, width, 1)).astype(np.float32)
        codes = np.clip(np.rint(large), 0, 255).astype(np.uint8)
        pyvips.Image.new_from_array(codes).jpegsave(str(folder / f"{n + 1:04}.jpg"), Q=92)


@contextmanager
def _folder() -> Iterator[Path]:
    path = Path(tempfile.mkdtemp(prefix="proofs-bench-"))
    try:
        yield path
    finally:
        shutil.rmtree(path)


def _entries(folder: Path, size: str, steps: str = _STEPS) -> Path:
    """An entries file for all pictures of a folder, with four steps unless others are named."""
    names = sorted(path.name for path in folder.glob("*.jpg"))
    rows = [f"{n},{name},Picture {n},{size},{steps}" for n, name in enumerate(names, 1)]
    path = folder / "entries.csv"
    path.write_text("\n".join(["number,file,title,size,bracket", *rows]) + "\n")
    return path


def _make(entries: Path, out: Path, lab: str, *options: str) -> list[str]:
    how = ["--rules=none", "--variants", "--sharpen=off", "--anyway", f"--lab={lab}", *options]
    return proofs("make", str(entries), "--out", str(out), *how)


def _medians(kinds: dict[str, Callable[[Path], list[str]]], times: int) -> dict[str, Cost]:
    """Run each kind so many times, in turn, each into a folder of its own."""
    costs: dict[str, list[Cost]] = {kind: [] for kind in kinds}
    for _ in range(times):
        for kind, command in kinds.items():
            with _folder() as out:
                costs[kind].append(run(command(out)))
    return {
        kind: Cost(
            statistics.median(cost.wall_s for cost in each),
            statistics.median(cost.processor_s for cost in each),
            0,
        )
        for kind, each in costs.items()
    }


def _tiff_lab(folder: Path) -> str:
    """A lab that takes TIFF packed by LZW, beside the entries; return its name."""
    text = (_ROOT / "profiles/labs/p3-jpeg-300.toml").read_text()
    text = text.replace('format = "jpeg"', 'format = "tiff"')
    text = text.replace("quality = 95", 'compression = "lzw"')
    labs = folder / "profiles/labs"
    labs.mkdir(parents=True)
    (labs / "p3-lzw.toml").write_text(text)
    return "p3-lzw"


def scripts(times: int) -> None:
    """Print ``make`` against the scripts, for JPEG and TIFF."""
    with _folder() as folder:
        photographs(folder, _SIZE, 4)
        entries = _entries(folder, "12x8 in")
        for kind, lab in (("jpeg", "p3-jpeg-300"), ("tiff", _tiff_lab(folder))):
            _print_scripts(kind, _medians(_kinds(kind, lab, entries), times))


def _kinds(kind: str, lab: str, entries: Path) -> dict[str, Callable[[Path], list[str]]]:
    """How to start ``make``, and each script, with the folder that it writes into."""

    def script(name: str) -> Callable[[Path], list[str]]:
        command = [sys.executable, "-m", "tests.bench.yardsticks", name, kind, str(entries.parent)]
        return lambda out: [*command, str(out)]

    kinds = {name: script(name) for name in ("bare", "all-cores", "pillow")}
    return {"make": lambda out: _make(entries, out / "out", lab), **kinds}


def _print_scripts(kind: str, costs: dict[str, Cost]) -> None:
    made = costs.pop("make")
    print(f"make, {kind}: {made.processor_s:.2f} s processor, {made.wall_s:.2f} s wall")
    for name, cost in costs.items():
        print(
            f"  against {name:10} {cost.processor_s:6.2f} {cost.wall_s:6.2f} s:"
            f" processor x {made.processor_s / cost.processor_s:.2f},"
            f" wall x {made.wall_s / cost.wall_s:.2f}",
            flush=True,
        )


def headers(times: int) -> None:
    """Print what ``check`` of 1000 pictures takes."""
    with _folder() as folder:
        photographs(folder, (1500, 1000), 1)
        first = (folder / "0001.jpg").read_bytes()
        for n in range(2, 1001):
            (folder / f"{n:04}.jpg").write_bytes(first)
        entries = _entries(folder, "long 11 in")  # which meets the rules
        cost = _medians({"check": lambda _: proofs("check", str(entries))}, times)["check"]
        print(f"check of 1000: {cost.processor_s:.2f} s processor, {cost.wall_s:.2f} s wall")


def growth(times: int) -> None:
    """Print what runs of 10 to 1000 small entries take, and what one more costs."""
    with _folder() as folder:
        for count in (10, 100, 200, 1000):
            photographs(folder, (900, 600), count)
            entries = _entries(folder, "3x2 in")
            with _folder() as out:
                cost = run(_make(entries, out / "out", "p3-jpeg-300"), is_watched=True)
            print(
                f"make of {count}: {cost.processor_s:.1f} s processor, {cost.wall_s:.1f} s wall,"
                f" {cost.processor_s / count:.3f} s each, {cost.bytes / 1e6:.0f} MB",
                flush=True,
            )


def pixels(times: int) -> None:
    """Print what pictures of more and more pixels take, an inch of print for 500 of them."""
    for width in (3000, 4500, 6000, 9000):
        inches = width // 500
        with _folder() as folder:
            photographs(folder, (width, width * 2 // 3), 4)
            entries = _entries(folder, f"{inches}x{inches * 2 // 3} in")
            _print_each(f"{width * width * 2 / 3e6:.0f} MP", entries, times)


def steps(times: int) -> None:
    """Print what 1 to 8 steps of a picture take."""
    with _folder() as folder:
        photographs(folder, _SIZE, 4)
        for count in (1, 2, 4, 8):
            bracket = ";".join(f"{0.05 * n:+.2f}" for n in range(count))
            entries = _entries(folder, "12x8 in", bracket)
            _print_each(f"{count} steps", entries, times)


def _print_each(what: str, entries: Path, times: int) -> None:
    """Print what ``make`` of four entries takes."""
    make = {"make": lambda out: _make(entries, out / "out", "p3-jpeg-300")}
    cost = _medians(make, times)["make"]
    print(
        f"make of 4 with {what}: {cost.processor_s:.2f} s processor, {cost.wall_s:.2f} s wall",
        flush=True,
    )


def memory(times: int) -> None:
    """Print the memory of all processes with two pictures of 45 megapixels in work."""
    with _folder() as folder:
        photographs(folder, (8192, 5464), 2)
        entries = _entries(folder, "18x12 in")
        with _folder() as out:
            cost = run(_make(entries, out / "out", "p3-jpeg-300", "--jobs=2"), is_watched=True)
        print(f"two of 45 MP: {cost.bytes / 1e6:.0f} MB, {cost.wall_s:.1f} s wall")


_PARTS = {part.__name__: part for part in (scripts, headers, memory, growth, pixels, steps)}


def main() -> None:
    """Run the parts that were asked for."""
    arguments = sys.argv[1:]
    times = 5
    if "--times" in arguments:
        place = arguments.index("--times")
        times = int(arguments[place + 1])
        del arguments[place : place + 2]
    for name in arguments or _PARTS:
        _PARTS[name](times)


if __name__ == "__main__":
    main()
