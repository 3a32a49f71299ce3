"""Work for a cluster's workers, in a module that they can import quickly."""

import os
import signal
import time
from dataclasses import dataclass
from pathlib import Path

from proofs.errors import WriteError


@dataclass(frozen=True, slots=True)
class Sum:
    """A task that writes a file called after its number into its folder."""

    number: int
    folder: Path

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        return ((self.folder / "private.jpg", f"{self.number}.jpg"), (self.folder, ""))


def double(task: Sum) -> int:
    write(task, "done")
    return 2 * task.number


def write(task: Sum, text: str) -> None:
    path = task.folder / "made" / f"{task.number}.txt"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)


def double_unless_seven(task: Sum) -> int:
    if task.number == 7:
        write(task, "half")
        os.kill(os.getpid(), signal.SIGKILL)
    return double(task)


def end_worker(task: object) -> None:
    os._exit(1)


def double_slowly(task: Sum) -> int:
    time.sleep(1)
    return double(task)


def refuse(task: Sum) -> int:
    raise WriteError(f"{task.folder / 'private.jpg'}: the disk is full")


def place_and_process(task: Sum) -> tuple[str, int]:
    """Where a worker writes, and which process it is."""
    return str(task.folder), os.getpid()
