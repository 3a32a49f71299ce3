"""Runs that are killed at a random moment: nothing half made, nothing lost, nothing left behind.

A signal goes to a run, to one of its workers, or to its whole group. What is on the disk then is
compared with what an undisturbed run leaves, and so is what the same command makes afterwards.
"""

import os
import random
import shutil
import signal
import subprocess
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import psutil

from tests.assault.processes import (
    COMMANDS,
    LONGEST,
    Ended,
    Place,
    begin,
    contents,
    end,
    finished,
    left_after,
    make_place,
    members,
    whole,
)
from tests.assault.report import Failure, Figures

SIGNALS = (signal.SIGKILL, signal.SIGTERM, signal.SIGINT, signal.SIGHUP)
TARGETS = ("main", "worker", "group")
ORPHANS_END = 5.0  # seconds
_INTERRUPTED = 130
_MAY_BE_SHORTER = (
    "report.json",
    "proof-sheet.pdf",
    "soft-proof.pdf",
    "strip.pdf",
    "inspection.json",
    "inspection.pdf",
    "hang.png",
)
_ENDS = (b"%%EOF\n", b"}\n", b"\xff\xd9", b"IEND\xaeB`\x82")  # of PDF, JSON, JPEG and PNG
_OF_A_KILLED_PROCESS = "temporary/proofs-profiles-"  # a run more than a minute later removes it
_PROOF_PAGES = "proof-prints/"


@dataclass(frozen=True, slots=True)
class Undisturbed:
    """What a command makes if nothing disturbs it: its code, its files, and the seconds it took."""

    code: int
    files: Mapping[str, bytes]
    seconds: float


@dataclass(frozen=True, slots=True)
class Kill:
    """One kill: the command, its target, the signal, and the seconds before it."""

    command: str
    target: str
    number: signal.Signals
    after: float

    def __str__(self) -> str:
        what = f"{self.number.name} to {self.target}"
        return f"{self.command}, {what} after {self.after:.2f} s"


def undisturbed(place: Place, command: str) -> Undisturbed:
    """Return what a command makes, and remove it again."""
    start = time.monotonic()
    ended = whole(place, place.words(command))
    seconds = time.monotonic() - start
    files = contents(place.out)
    shutil.rmtree(place.out)
    assert ended.code == 0, ended.err + ended.out
    return Undisturbed(ended.code, files, seconds)


def kills(count: int, seed: int, seconds: Mapping[str, float]) -> list[Kill]:
    """Return ``count`` kills: commands and targets in turn, signals and moments at random.

    ``seconds`` is how long each command takes undisturbed.
    """
    rng = random.Random(f"{seed}/kills")
    made = []
    for n in range(count):
        command = tuple(seconds)[n % len(seconds)]
        target = TARGETS[n // len(seconds) % len(TARGETS)]
        number = rng.choice(SIGNALS)
        made.append(Kill(command, target, number, rng.uniform(0.0, seconds[command])))
    return made


def faults_of(kill: Kill, place: Place, expected: Undisturbed) -> list[str]:
    """Return what is wrong with how a command ends by a kill, and with what the next run makes."""
    before = contents(place.pictures)
    run = begin(place, place.words(kill.command))
    _strike(run, kill)
    ended = end(run)
    faults = [f"left a process: {p!r}" for p in left_after(run.pid, ORPHANS_END)]
    faults += _faults_in_words(kill, ended, expected)
    faults += _faults_on_disk(kill, ended, place, expected)
    again = whole(place, place.words(kill.command))
    if again.code != expected.code:
        faults.append(f"the next run ended with {again.code}: {again.err[-300:]}")
    faults += differences(contents(place.out), expected.files, "after the next run")
    faults += [
        f"left after the next run: {name}"
        for name in strangers(place)
        if not name.startswith(_OF_A_KILLED_PROCESS)
    ]
    if contents(place.pictures) != before:
        faults.append("the folder of the pictures changed")
    return faults


def _strike(run: subprocess.Popen[str], kill: Kill) -> None:
    until = time.monotonic() + kill.after
    while time.monotonic() < until and run.poll() is None:
        time.sleep(0.01)
    with suppress(ProcessLookupError):
        if kill.target == "group":
            os.killpg(run.pid, kill.number)
        elif kill.target == "main":
            os.kill(run.pid, kill.number)
        elif (worker := _worker_of(run)) is not None:
            os.kill(worker, kill.number)


def _worker_of(run: subprocess.Popen[str]) -> int | None:
    """A worker, once there is one; None if the run ends without."""
    until = time.monotonic() + LONGEST
    while run.poll() is None and time.monotonic() < until:
        for process in members(run.pid):
            with suppress(psutil.Error):
                if "spawn_main" in " ".join(process.cmdline()):
                    return int(process.pid)
        time.sleep(0.01)
    return None


def _faults_in_words(kill: Kill, ended: Ended, expected: Undisturbed) -> list[str]:
    shown = ended.out + ended.err
    faults = []
    if "Traceback" in shown and not _is_pythons_own(kill, shown):
        faults.append(f"printed a traceback: {shown[shown.find('Traceback') :][:1500]}")
    if ended.code == 70 or "a fault of the program" in shown:
        faults.append(f"ended with {ended.code} as a fault: {ended.err[-300:]}")
    # If a signal arrives while Python makes a class, it ends as by SIGINT, in a shell also 130.
    asked = () if kill.target == "worker" else (_INTERRUPTED, -kill.number, -signal.SIGINT)
    if ended.code not in (expected.code, *asked):
        faults.append(f"ended with {ended.code}: {ended.err[-300:]}")
    return faults


def _is_pythons_own(kill: Kill, shown: str) -> bool:
    """Whether all that was printed comes from a process that Python itself was just starting.

    Killed between the start of a worker and the sending of what it needs, the main process leaves
    it with nothing to read. No line of ours has run in it yet, so none can put this into words.
    """
    if kill.number != signal.SIGKILL or kill.target == "worker" or shown.count("Traceback") > 2:
        return False
    return "in spawn_main" in shown and shown.rstrip().endswith("EOFError: Ran out of input")


def _faults_on_disk(kill: Kill, ended: Ended, place: Place, expected: Undisturbed) -> list[str]:
    """What is wrong with the files before any other run: each must be whole, or missing."""
    found = finished(contents(place.out))
    if kill.command == "deliver" and ended.code != expected.code and found:
        return differences(found, finished(expected.files), "after the kill")
    faults = []
    for name, content in found.items():
        if kill.number == signal.SIGKILL and Path(name).name.startswith(".part-"):
            continue  # nothing was left to remove it
        if name not in expected.files:
            faults.append(f"after the kill: {name} is not one of the run's files")
        elif content != expected.files[name] and not (
            ended.code == _INTERRUPTED and may_be_shorter(name, content)
        ):
            faults.append(f"after the kill: {name} is not that of an undisturbed run")
    if kill.number != signal.SIGKILL and kill.target == "main":
        faults += [f"left after the kill: {name}" for name in strangers(place)]
    return faults


def may_be_shorter(name: str, content: bytes) -> bool:
    """Return whether a run cut short may leave this file: a whole one, with less in it."""
    is_of_the_run = name in _MAY_BE_SHORTER or name.startswith(_PROOF_PAGES)
    return is_of_the_run and content.endswith(_ENDS)


def differences(found: Mapping[str, bytes], expected: Mapping[str, bytes], when: str) -> list[str]:
    """Return how two folders differ, in words."""
    faults = [f"{when}: {name} is missing" for name in expected if name not in found]
    faults += [f"{when}: {name} should not be there" for name in found if name not in expected]
    both = expected.keys() & found.keys()
    return faults + [
        f"{when}: {name} differs" for name in sorted(both) if found[name] != expected[name]
    ]


def strangers(place: Place) -> list[str]:
    """Return what is next to the folder of a run, and among temporary files, besides locks."""
    around = [path for path in place.out.parent.iterdir() if path != place.out]
    around += [p for p in place.temporary.iterdir() if not p.name.startswith("proofs-locks-")]
    return [path.relative_to(place.top).as_posix() for path in around]


def kill_all(
    count: int, seed: int, top: Path, *, pictures: int = 3, commands: Sequence[str] = (*COMMANDS,)
) -> list[Figures]:
    """Try ``count`` kills of runs on this many pictures; return the figures of each command."""
    place = make_place(top / "kills", pictures)
    expected = {command: undisturbed(place, command) for command in commands}
    seconds = {command: known.seconds for command, known in expected.items()}
    found = {command: Figures(f"kills: {command}") for command in commands}
    for kill in kills(count, seed, seconds):
        start = time.monotonic()
        faults = faults_of(kill, place, expected[kill.command])
        shutil.rmtree(place.top)
        place = make_place(top / "kills", pictures)
        failure = Failure(str(kill), "kill", "; ".join(faults)) if faults else None
        found[kill.command] = found[kill.command].with_one(failure, time.monotonic() - start)
        if failure:
            print(failure, flush=True)
    return list(found.values())
