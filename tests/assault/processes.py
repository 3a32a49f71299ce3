"""The program in processes of its own, and what a run leaves on the disk."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import psutil

from proofs.outside.run_folder import RunFolder
from proofs.outside.run_record import JOURNAL, RECORD
from tests.command import gradient, write_entries
from tests.labs import write_labs, write_screen_rules

# An interrupt can leave a file of Python's importer open: a warning of Python, not a fault of ours.
PROGRAM = ("-W", "error", "-W", "ignore::ResourceWarning", "-m", "proofs")
LONGEST = 180.0  # seconds for a small run on a busy machine

COMMANDS: Mapping[str, tuple[str, ...]] = {
    "make": ("--rules", "none", "--proof-prints", "--variants", "--jobs", "2"),
    "strip": ("--rules", "none", "--jobs", "2"),
    "inspect": ("--rules", "none", "--jobs", "2"),
    "deliver": (
        *("--lab", "small", "--rules", "screen", "--anyway", "--jobs", "2"),
        *("--catalogue", "--zip", "--margin-line"),
    ),
    "mount": ("--rules", "none", "--closing", "2031-03-03", "--jobs", "2"),
}
"""Each command that writes a folder, with options that make it write as much as it can."""


@dataclass(frozen=True, slots=True)
class Ended:
    """How a run ended: its code (negative after a signal), and what it printed."""

    code: int
    out: str
    err: str


@dataclass(frozen=True, slots=True)
class Place:
    """A folder for one case: pictures, the folder to write to, and one for temporary files."""

    top: Path

    @property
    def pictures(self) -> Path:
        """The folder of the pictures and the entries file."""
        return self.top / "pictures"

    @property
    def out(self) -> Path:
        """The folder that the run writes."""
        return self.top / "made" / "out"

    @property
    def temporary(self) -> Path:
        """The folder for temporary files."""
        return self.top / "temporary"

    def environment(self) -> dict[str, str]:
        """Return the environment of a run whose temporary files are in this place."""
        return os.environ | {
            "TMPDIR": str(self.temporary),
            "XDG_CACHE_HOME": str(self.top / "cache"),
        }

    def words(self, command: str) -> list[str]:
        """Return the command line that writes ``out`` from the pictures."""
        return [command, str(self.pictures), *COMMANDS[command], "--out", str(self.out)]


def make_place(top: Path, count: int = 3) -> Place:
    """Make a place with ``count`` pictures, two labs and rules that ask for catalogue copies."""
    place = Place(top)
    for folder in (place.pictures, place.out.parent, place.temporary):
        folder.mkdir(parents=True)
    names = [f"{letter}.jpg" for letter in "abcdefgh"[:count]]
    for seed, name in enumerate(names):
        gradient(place.pictures / name, 900, 600, seed=seed)
    write_labs(place.pictures)
    write_screen_rules(place.pictures)
    rows = [f"{name},Pier {name[0]},Sea,long 5 in,0; +0.10,A,Lustre" for name in names]
    write_entries(place.pictures, "file,title,category,size,bracket,chosen,paper", *rows)
    text = 'lab = "small"\n'
    (place.pictures / "job.toml").write_text(text, encoding="utf-8")
    return place


def begin(
    place: Place,
    words: Sequence[str],
    *,
    program: Sequence[str] = PROGRAM,
    prepare: Callable[[], None] | None = None,
) -> subprocess.Popen[str]:
    """Begin a run in a session of its own, so that a signal to its group reaches only it."""
    return subprocess.Popen(
        [sys.executable, *program, *words],
        cwd=place.top,
        env=place.environment() | {"PYTHONPATH": os.pathsep.join(sys.path)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        errors="replace",
        start_new_session=True,
        preexec_fn=prepare,
    )


def end(run: subprocess.Popen[str]) -> Ended:
    """Wait for a run; kill one that takes too long, which ends with the code -SIGKILL."""
    try:
        out, err = run.communicate(timeout=LONGEST)
    except subprocess.TimeoutExpired:
        with suppress(ProcessLookupError):
            os.killpg(run.pid, signal.SIGKILL)
        out, err = run.communicate()
    return Ended(run.returncode, out, err)


def whole(place: Place, words: Sequence[str]) -> Ended:
    """Run the program undisturbed."""
    return end(begin(place, words))


def members(session: int) -> list[psutil.Process]:
    """Return all living processes of a session, also orphans."""
    found = []
    for process in psutil.process_iter():
        with suppress(psutil.Error, ProcessLookupError):
            is_own = os.getsid(process.pid) == session
            if is_own and process.status() != psutil.STATUS_ZOMBIE:
                found.append(process)
    return found


def left_after(session: int, seconds: float) -> list[psutil.Process]:
    """Return the processes of a session that are still there after these seconds."""
    until = time.monotonic() + seconds
    while (left := members(session)) and time.monotonic() < until:
        time.sleep(0.05)
    return left


def contents(folder: Path) -> dict[str, bytes]:
    """Return the bytes of every file below a folder, by its path from there."""
    if not folder.is_dir():
        return {}
    files = (path for path in folder.rglob("*") if path.is_file() or path.is_symlink())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(files)}


def finished(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Return the files under final names, without a run folder's own records."""
    own = (RECORD, JOURNAL)
    return {
        name: content
        for name, content in files.items()
        if name not in own and not name.startswith(f"{RunFolder.PARTS}/")
    }
