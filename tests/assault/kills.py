"""Runs that are killed at a random moment: nothing half made, nothing lost, nothing left behind.

A run, one of its workers, or its whole group gets a signal. What is on the disk then is compared
with an undisturbed run, and so is what the same command makes of it afterwards.
"""

import os
import random
import shutil
import signal
import subprocess
import time
from collections.abc import Mapping
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
    moment,
    whole,
)
from tests.assault.report import Failure, Figures

SIGNALS = (signal.SIGKILL, signal.SIGTERM, signal.SIGINT, signal.SIGHUP)
TARGETS = ("main", "worker", "group")
ORPHANS_END = 5.0  # seconds
_INTERRUPTED = 130
_MAY_SAY_LESS = ("report.json", "proof-sheet.pdf", "soft-proof.pdf", "strip.pdf")
_OF_A_KILLED_PROCESS = "temporary/proofs-profiles-"  # nobody could take it away
_PROOF_PAGES = "proof-prints/"


@dataclass(frozen=True, slots=True)
class Undisturbed:
    """What a command makes when nobody disturbs it: code, files, and how many seconds it took."""

    code: int
    files: Mapping[str, bytes]
    seconds: float


@dataclass(frozen=True, slots=True)
class Kill:
    """One kill: the command, whom it hits, with which signal, and after how many seconds."""

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
    """Return so many kills: commands and targets by turns, signals and moments at random."""
    rng = random.Random(f"{seed}/kills")
    made = []
    for n in range(count):
        command = tuple(COMMANDS)[n % len(COMMANDS)]
        target = TARGETS[n // len(COMMANDS) % len(TARGETS)]
        if command == "mount" and target == "worker":  # it has none
            command = rng.choice(("make", "strip", "deliver"))
        number = rng.choice(SIGNALS)
        made.append(Kill(command, target, number, moment(rng, seconds[command])))
    return made


def faults_of(kill: Kill, place: Place, expected: Undisturbed) -> list[str]:
    """Return what is wrong with how a command takes a kill, and with what the next run makes."""
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
    if "Traceback" in shown:
        faults.append(f"printed a traceback: {shown[shown.find('Traceback') :][:1500]}")
    if ended.code == 70 or "a fault of the program" in shown:
        faults.append(f"ended with {ended.code} as a fault: {ended.err[-300:]}")
    # Python ends as by SIGINT, which a shell reports as 130 too, where it was making a class.
    asked = () if kill.target == "worker" else (_INTERRUPTED, -kill.number, -signal.SIGINT)
    if ended.code not in (expected.code, *asked):
        faults.append(f"ended with {ended.code}: {ended.err[-300:]}")
    return faults


def _faults_on_disk(kill: Kill, ended: Ended, place: Place, expected: Undisturbed) -> list[str]:
    """What is wrong with the files before any other run: each is whole, or is not there."""
    found = finished(contents(place.out))
    if kill.command == "deliver" and ended.code != expected.code and found:
        return differences(found, finished(expected.files), "after the kill")  # whole, or not there
    faults = []
    for name, content in found.items():
        if kill.number == signal.SIGKILL and Path(name).name.startswith(".part-"):
            continue  # nobody could take it away
        if name not in expected.files:
            faults.append(f"after the kill: {name} is none of the run's files")
        elif content != expected.files[name] and not (
            ended.code == _INTERRUPTED and may_say_less(name, content)
        ):
            faults.append(f"after the kill: {name} is not that of an undisturbed run")
    if kill.number != signal.SIGKILL and kill.target == "main":
        faults += [f"left after the kill: {name}" for name in strangers(place)]
    return faults


def may_say_less(name: str, content: bytes) -> bool:
    """Return whether a file may be that of a run cut short: other than usual, but whole."""
    is_of_the_run = name in _MAY_SAY_LESS or name.startswith(_PROOF_PAGES)
    return is_of_the_run and content.endswith((b"%%EOF\n", b"}\n", b"\xff\xd9"))


def differences(found: Mapping[str, bytes], expected: Mapping[str, bytes], when: str) -> list[str]:
    """Return how two folders differ, in words."""
    faults = [f"{when}: {name} is missing" for name in expected if name not in found]
    faults += [f"{when}: {name} is too many" for name in found if name not in expected]
    both = expected.keys() & found.keys()
    return faults + [
        f"{when}: {name} differs" for name in sorted(both) if found[name] != expected[name]
    ]


def strangers(place: Place) -> list[str]:
    """Return what lies around the folder of a run besides the locks."""
    around = [path for path in place.out.parent.iterdir() if path != place.out]
    around += [p for p in place.temporary.iterdir() if not p.name.startswith("proofs-locks-")]
    return [path.relative_to(place.top).as_posix() for path in around]


def kill_all(count: int, seed: int, top: Path, *, pictures: int = 3) -> list[Figures]:
    """Try so many kills of runs on so many pictures; return the figures of each command."""
    place = make_place(top / "kills", pictures)
    expected = {command: undisturbed(place, command) for command in COMMANDS}
    seconds = {command: known.seconds for command, known in expected.items()}
    found = {command: Figures(f"kills: {command}") for command in COMMANDS}
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
