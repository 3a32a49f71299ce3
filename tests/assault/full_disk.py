"""Disks that are full: words and exit code 5, nothing half written, and the next run completes.

A limit on the size of files stops the write that crosses it, in any process and in any library.
If the user may mount file systems, a small one fills up too, at any moment of the run.
"""

import os
import random
import resource
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tests.assault.kills import differences, may_be_shorter, strangers
from tests.assault.materials import scans
from tests.assault.processes import (
    COMMANDS,
    Ended,
    Place,
    begin,
    contents,
    end,
    finished,
    make_place,
    whole,
)
from tests.assault.report import Failure, Figures

ROOMY = ("-W", "error", "-m", "tests.assault.roomy")
SMALL = ("start", "choose", "arrived", "strip-read")
NOT_WRITTEN = 5
_WORDS = ("cannot be written", "make room", "cannot be locked")
_LEAST_DISK = 200_000


@dataclass(frozen=True, slots=True)
class Known:
    """What a command leaves in the folder of its place, and its code, when the disk has room."""

    code: int
    files: Mapping[str, bytes]


def words_of(place: Place, command: str) -> list[str]:
    """Return a command line that writes something."""
    pictures = str(place.pictures)
    if command in COMMANDS:
        return place.words(command)
    return {
        "start": ["start", pictures, "--add"],
        "choose": ["choose", pictures, "2", "B"],
        "arrived": ["arrived", pictures, "1", "5 x 3.3 in", "--rules", "none"],
        "strip-read": ["strip-read", f"{pictures}/scan.png", "--plot", f"{pictures}/plot.pdf"],
    }[command]


def a_place(top: Path) -> Place:
    """Make a place with a picture that has no row yet, and a scan."""
    place = make_place(top, 2)
    shutil.copy(place.pictures / "a.jpg", place.pictures / "new.jpg")
    (place.pictures / "scan.png").write_bytes(dict(scans()[:1])["scan.png"])
    return place


def known(top: Path, command: str) -> Known:
    """Run a command with room in a place of its own, and return what it leaves."""
    place = a_place(top / "known")
    ended = whole(place, words_of(place, command))
    left = Known(ended.code, _left(place))
    shutil.rmtree(place.top)
    assert ended.code == 0, ended.err + ended.out
    return left


def _left(place: Place) -> dict[str, bytes]:
    """Everything below the place but temporary files and notes that may be lost."""
    return {
        name: content
        for name, content in contents(place.top).items()
        if not name.startswith(("temporary/", "cache/"))
    }


def faults_of(
    place: Place,
    command: str,
    expected: Known,
    run: Callable[[], Ended],
    make_room: Callable[[], object] = lambda: None,
) -> list[str]:
    """Return what is wrong with a run on a full disk, and with the next one after ``make_room``."""
    before = _left(place)
    ended = run()
    faults = _faults_in_words(ended)
    if ended.code != expected.code:  # if they are equal, all it wrote was below the limit
        faults += _half_made(before, _left(place), expected, command)
    faults += [f"left: {name}" for name in strangers(place)]
    make_room()
    again = whole(place, words_of(place, command))
    if again.code != expected.code:
        faults.append(f"the next run ended with {again.code}: {again.err[-300:]}")
    return faults + differences(_left(place), expected.files, "after the next run")


def _faults_in_words(ended: Ended) -> list[str]:
    shown = ended.out + ended.err
    faults = []
    if ended.code not in (0, NOT_WRITTEN):
        faults.append(f"ended with {ended.code}: {shown[-400:]}")
    if "Traceback" in shown or "a fault of the program" in shown:
        faults.append(f"a fault: {shown[-400:]}")
    if ended.code == NOT_WRITTEN and not any(words in shown for words in _WORDS):
        faults.append(f"does not state the reason: {shown[-300:]}")
    return faults


def _half_made(
    before: Mapping[str, bytes], found: Mapping[str, bytes], expected: Known, command: str
) -> list[str]:
    faults = []
    prefix = "made/out/"
    for name, content in found.items():
        if name in before and content == before[name]:
            continue
        inside = name.removeprefix(prefix)
        if name.startswith(prefix) and inside not in finished({inside: b""}):
            continue
        if content == expected.files.get(name) or may_be_shorter(inside, content):
            continue
        faults.append(f"half made: {name}")
    return faults + [f"gone: {name}" for name in before if name not in found]


def limit_files(most: int) -> None:
    """Let no file of this process, or of one that it starts, grow beyond ``most`` bytes."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))


def limits(command: str, expected: Known, before: Mapping[str, bytes]) -> list[int]:
    """Return limits for a command: 0, and just below the sizes of up to six of its files."""
    sizes = sorted({len(c) for name, c in expected.files.items() if before.get(name) != c})
    kept = sizes if len(sizes) < 6 else [sizes[n * (len(sizes) - 1) // 5] for n in range(6)]
    return [0, *(max(1, size - 1) for size in kept)]


@contextmanager
def small_disk(folder: Path, size: int) -> Iterator[None]:
    """Mount a file system of ``size`` bytes on a folder. Raises ``OSError``."""
    options = ["-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    done = subprocess.run(["mount", *options], capture_output=True, check=False)
    if done.returncode:
        raise OSError(done.stderr.decode(errors="replace"))
    try:
        yield
    finally:
        subprocess.run(["umount", "-l", str(folder)], capture_output=True, check=True)


def may_mount() -> bool:
    """Return whether this user may mount file systems here."""
    if os.name == "nt" or os.geteuid() or shutil.which("mount") is None:
        return False
    with tempfile.TemporaryDirectory() as name:
        try:
            with small_disk(Path(name), _LEAST_DISK):
                return True
        except OSError:
            return False


def try_limit(top: Path, command: str, expected: Known, most: int) -> list[str]:
    """Return what is wrong with a command whose files may not be larger than ``most`` bytes."""
    place = a_place(top / "known")
    words = words_of(place, command)

    def run() -> Ended:
        return end(begin(place, words, prepare=partial(limit_files, most)))

    try:
        return faults_of(place, command, expected, run)
    finally:
        shutil.rmtree(place.top)


def try_disk(top: Path, command: str, expected: Known, size: int) -> list[str]:
    """Return what is wrong with a command on a disk of ``size`` bytes."""
    place = a_place(top / "known")
    folder = place.out.parent
    remount = ["mount", "-o", "remount,size=1g", str(folder)]
    try:
        with small_disk(folder, size):
            return faults_of(
                place,
                command,
                expected,
                lambda: end(begin(place, words_of(place, command), program=ROOMY)),
                lambda: subprocess.run(remount, check=True),
            )
    finally:
        shutil.rmtree(place.top)


def fill_disks(top: Path, seed: int) -> list[Figures]:
    """Try each limit on files and, if mounting is allowed, small disks; return the figures."""
    rng = random.Random(f"{seed}/disks")
    by_limit, by_disk = Figures("full disk: limits"), Figures("full disk: small disks")
    can_mount = may_mount()
    for command in (*COMMANDS, *SMALL):
        expected = known(top, command)
        before = _left(place := a_place(top / "known"))
        shutil.rmtree(place.top)
        for most in limits(command, expected, before):
            start = time.monotonic()
            faults = try_limit(top, command, expected, most)
            by_limit = by_limit.with_one(
                _failure(f"{command}, no file above {most} bytes", faults),
                time.monotonic() - start,
            )
        if not can_mount or command in SMALL:
            continue
        needed = sum(len(c) for name, c in expected.files.items() if name.startswith("made/"))
        for share in (0.1, 0.3, 0.6, 0.9, 0.98, rng.random()):
            start, size = time.monotonic(), max(8192, int(needed * share))
            faults = try_disk(top, command, expected, size)
            by_disk = by_disk.with_one(
                _failure(f"{command}, a disk of {size} bytes", faults), time.monotonic() - start
            )
    return [by_limit, by_disk] if can_mount else [by_limit]


def _failure(case: str, faults: Sequence[str]) -> Failure | None:
    if not faults:
        return None
    failure = Failure(case, "disk", "; ".join(faults))
    print(failure, flush=True)
    return failure
