"""Two runs at once into one folder, and several changes at once to one file."""

import shutil
import time
from collections.abc import Sequence
from pathlib import Path

from tests.assault.kills import differences, strangers
from tests.assault.processes import (
    COMMANDS,
    Ended,
    Place,
    begin,
    contents,
    end,
    make_place,
    whole,
)
from tests.assault.report import Failure, Figures

IN_USE = 5


def two_runs(place: Place, command: str) -> list[str]:
    """Return what is wrong with two runs of a command that begin together."""
    whole_run = whole(place, place.words(command))
    expected = contents(place.out)
    shutil.rmtree(place.out)
    runs = [begin(place, place.words(command)) for _ in range(2)]
    faults = _faults_of_both([end(run) for run in runs])
    if whole_run.code:
        faults.append(f"the run alone ended with {whole_run.code}: {whole_run.err[-300:]}")
    faults += differences(contents(place.out), expected, "after both")
    return faults + [f"left: {name}" for name in strangers(place)]


def several_choices(place: Place) -> list[str]:
    """Return what is wrong with changes of one cell that begin together."""
    file = place.pictures / "entries.csv"
    before = file.read_bytes()
    letters = "ABAB"
    words = [["choose", str(place.pictures), "1", letter] for letter in letters]
    runs = [begin(place, own) for own in words]
    ended = [end(run) for run in runs]
    faults = _faults_of_both(ended)
    written = [n for n, run in enumerate(ended) if "is now" in run.out]
    kept = sorted(place.pictures.glob("entries.before-*.csv"))
    if len(kept) != len(written):
        faults.append(f"{len(written)} changes, but {len(kept)} earlier files")
    chosen = (b"0", b"+0.10")  # of A and B
    possible = {before, *(before.replace(b",A,Lustre", b",%b,Lustre" % d, 1) for d in chosen)}
    for path in (file, *kept):
        if path.read_bytes() not in possible:
            faults.append(f"{path.name} is a mixture")
    return faults


def _faults_of_both(ended: list[Ended]) -> list[str]:
    """At least one must succeed; any other ends with 5 and names the run that holds the file."""
    faults = []
    if all(run.code for run in ended):
        faults.append(f"none succeeded: {[run.err[-200:] for run in ended]}")
    for run in ended:
        if "Traceback" in run.err or run.code not in (0, IN_USE):
            faults.append(f"ended with {run.code}: {run.err[-500:]}")
        if run.code == IN_USE and "is in use by another run" not in run.err:
            faults.append(f"does not name the run that holds it: {run.err[-300:]}")
    return faults


def run_twice(
    top: Path, times: int = 3, commands: Sequence[str] = (*COMMANDS, "choose")
) -> list[Figures]:
    """Try two runs of each command, and several choices, this many times; return the figures."""
    found = []
    for command in commands:
        figures = Figures(f"two runs: {command}")
        for _ in range(times):
            start = time.monotonic()
            place = make_place(top / "two", 2)
            faults = several_choices(place) if command == "choose" else two_runs(place, command)
            shutil.rmtree(place.top)
            failure = Failure(f"two runs of {command}", "two runs", "; ".join(faults))
            figures = figures.with_one(failure if faults else None, time.monotonic() - start)
            if faults:
                print(failure, flush=True)
        found.append(figures)
    return found
