"""Spoilt inputs for every reader: each soon ends in a value, in findings, or in a plain message.

The cases run in a process of their own, which is replaced if it crashes or hangs.
"""

import multiprocessing
import os
import shutil
import signal
import sys
import tempfile
import time
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from functools import partial
from multiprocessing.connection import Connection
from pathlib import Path
from random import Random

import psutil

from tests.assault.deliveries import spoilt_delivery
from tests.assault.materials import Materials, make_materials, write_pictures
from tests.assault.messages import fault_in
from tests.assault.readers import READERS, Case
from tests.assault.report import Failure, Figures
from tests.command import in_process

MOST_SECONDS = 10.0
MOST_BYTES = 1_000_000_000
_ROOM = 3_000_000_000  # more addresses than at the start: a last brake, not the measure
_REPORTED_EVERY = 500  # cases
_START_SECONDS = 300.0
_WALL = 6  # times as long by the clock as by the processor, on a busy machine

Number = tuple[str, int]
"""A case: the name of its reader, and its number."""


def numbers(count: int) -> Iterator[Number]:
    """Yield about ``count`` cases, shared among the readers."""
    shares = {name: share for name, (_, share) in READERS.items()}
    whole = sum(shares.values())
    for name, share in shares.items():
        yield from ((name, n) for n in range(max(1, count * share // whole)))


def drawn(number: Number, seed: int, materials: Materials) -> tuple[Case, Random]:
    """Return a case, and the generator that drew it, for further draws."""
    rng = Random(f"{seed}/{number[0]}/{number[1]}")
    return READERS[number[0]][0](materials, rng), rng


def lay_down(number: Number, seed: int, materials: Materials, folder: Path) -> Case:
    """Write the files of a case into a new folder, and return the case."""
    case, rng = drawn(number, seed, materials)
    folder.mkdir()
    if number[0] == "deliveries":
        spoilt = spoilt_delivery(materials.deliveries, rng)
        shutil.copytree(materials.deliveries / spoilt.shape, folder / "out")
        spoilt.spoil(folder / "out")
    else:
        write_pictures(folder)
    for name, content in case.files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return case


def fault_of(case: Case, folder: Path) -> str:
    """Return what is wrong with how the program treats a case, or nothing."""
    before = Path.cwd()
    os.chdir(folder)
    try:
        said = in_process(*case.arguments)
    except BaseException as error:  # it has escaped the program's last handler
        return f"escaped: {type(error).__name__}: {error}"
    finally:
        os.chdir(before)
    return fault_in(said)


def try_cases(
    cases: Sequence[Number],
    seed: int,
    *,
    keep: Path | None = None,
    most_seconds: float = MOST_SECONDS,
) -> Iterator[Failure | None]:
    """Yield the failure of each case, or None; ``keep`` is a folder for the inputs that failed.

    ``most_seconds`` is the processor time after which a case is ended as a hang.
    """
    needs_materials = any(reader != CONTROL for reader, _ in cases)
    if keep:
        keep.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory(prefix="assault-") as name,
        _Child(Path(name), seed, most_seconds, needs_materials) as child,
    ):
        for number in cases:
            fault, kind = child.fault_of(number)
            if not fault:
                yield None
                continue
            kept = keep / f"{number[0].replace(' ', '-')}-{number[1]}" if keep else None
            if kept:
                shutil.rmtree(kept, ignore_errors=True)
                with suppress(OSError):
                    shutil.copytree(child.place, kept)
            yield Failure(f"{number[0]} {number[1]} of seed {seed}", kind, fault)


class _Child:
    """The process that runs the cases."""

    def __init__(self, folder: Path, seed: int, most_seconds: float, needs_materials: bool) -> None:
        self._needs = needs_materials
        self._folder, self._seed, self._most = folder, seed, most_seconds
        self.place = folder / "case"
        (folder / "materials").mkdir()

    def __enter__(self) -> "_Child":
        self._start()
        return self

    def __exit__(self, *_: object) -> None:
        self._end()

    def _start(self) -> None:
        for made in (self._folder / "materials").iterdir():
            shutil.rmtree(made) if made.is_dir() else made.unlink()
        context = multiprocessing.get_context("spawn")
        self._own, other = context.Pipe()
        self._process = context.Process(
            target=_serve, args=(other, self._folder, self._seed, self._needs), daemon=True
        )
        self._process.start()
        other.close()
        if not self._own.poll(_START_SECONDS):
            raise TimeoutError("the process for the cases did not start")
        self._own.recv()

    def _end(self) -> None:
        self._own.close()
        self._process.kill()
        self._process.join()

    def fault_of(self, number: Number) -> tuple[str, str]:
        """Run a case; return what is wrong, or nothing, and its kind."""
        if not self._process.is_alive():
            self._start()
        self._own.send(number)
        used, start = self._used(), time.monotonic()
        while not self._own.poll(0.5):
            took, waited = self._used() - used, time.monotonic() - start
            if took > self._most or waited > self._most * _WALL:
                self._end()
                return f"was ended after {took:.0f} s of processor, {waited:.0f} s", "hang"
        try:
            fault, kind = self._own.recv()
        except (EOFError, ConnectionResetError):
            self._process.join()
            code = self._process.exitcode or 0
            self._own.close()
            name = signal.Signals(-code).name if code < 0 else f"code {code}"
            return f"the process died: {name}", "crash"
        if kind == "memory":  # the next case begins without it
            self._end()
        return fault, kind

    def _used(self) -> float:
        try:
            times = psutil.Process(self._process.pid).cpu_times()
        except psutil.Error:
            return 0.0
        return float(times.user + times.system)


def _serve(connection: Connection, folder: Path, seed: int, needs_materials: bool) -> None:
    """Answer each case with what is wrong and the kind of that, until the parent has gone."""
    os.environ["TMPDIR"] = tempfile.tempdir = str(folder)
    warnings.simplefilter("error")
    # What a library writes there directly would go to the user's terminal.
    noise = os.open(folder / "noise", os.O_RDWR | os.O_CREAT | os.O_APPEND)
    os.dup2(noise, 2)
    materials = make_materials(folder / "materials") if needs_materials else None
    _limit_addresses()
    place = folder / "case"
    connection.send("ready")
    while True:
        try:
            number: Number = connection.recv()
        except EOFError:
            return
        shutil.rmtree(place, ignore_errors=True)
        if number[0] == CONTROL:
            connection.send(_judged(CONTROLS[number[1]], noise))
            continue
        assert materials is not None, "only controls need none"
        case = lay_down(number, seed, materials, place)
        (place / "command.txt").write_text("\n".join(map(ascii, case.arguments)) + "\n")
        connection.send(_judged(partial(fault_of, case, place), noise))


def _judged(run: Callable[[], str], noise: int) -> tuple[str, str]:
    os.ftruncate(noise, 0)
    base = _forget_peak()
    start = time.process_time()
    fault = run()
    took, peak = time.process_time() - start, _peak()
    if fault:
        return fault, "fault"
    if took > MOST_SECONDS:
        return f"took {took:.1f} s", "slow"
    if peak > MOST_BYTES:
        return f"needed {peak / 1e6:.0f} MB, after {base / 1e6:.0f} MB", "memory"
    if said := os.pread(noise, 400, 0):
        return f"a library wrote to standard error: {said!r}", "noise"
    return "", ""


def _hang() -> str:
    while True:
        pass


def _crash() -> str:
    os.kill(os.getpid(), signal.SIGSEGV)
    return ""


def _gigabytes() -> str:
    return "" if b"x" * (MOST_BYTES + 100_000_000) else "none"


def _noise() -> str:
    os.write(2, b"a warning of a library")
    return ""


CONTROL = "control"
CONTROLS: Sequence[Callable[[], str]] = (_noise, _hang, _crash, _gigabytes)
"""Faults made on purpose: noise, a hang, a crash and gigabytes. Each must be noticed."""


def _limit_addresses() -> None:
    with suppress(ImportError):
        import resource

        most = psutil.Process().memory_info().vms + _ROOM
        resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _forget_peak() -> int:
    """Reset the system's measure of peak memory, if it has one; return the memory in use."""
    with suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5")
    return int(psutil.Process().memory_info().rss)


def _peak() -> int:
    """The most memory in use since ``_forget_peak``, in bytes; 0 if the system has no measure."""
    with suppress(OSError), open("/proc/self/status", encoding="ascii", errors="replace") as status:
        return next(int(line.split()[1]) * 1024 for line in status if line.startswith("VmHWM"))
    return 0


def fuzz(count: int, seed: int, *, keep: Path | None = None, only: str = "") -> list[Figures]:
    """Try about ``count`` cases, or those among them of one reader; return their figures."""
    found: dict[str, Figures] = {}
    cases = [number for number in numbers(count) if only in ("", number[0])]
    start = time.monotonic()
    for number, failure in zip(cases, try_cases(cases, seed, keep=keep), strict=True):
        before = found.get(number[0], Figures(f"fuzz: {number[0]}"))
        now = time.monotonic()
        found[number[0]] = figures = before.with_one(failure, now - start)
        if figures.cases % _REPORTED_EVERY == 0:
            print(f"{figures.subject}: {figures.cases} cases", file=sys.stderr, flush=True)
        start = now
        if failure:
            print(failure, flush=True)
    return list(found.values())
