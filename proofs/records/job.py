"""What is the same for every entry of a run."""

from dataclasses import dataclass, field

from proofs.errors import UsageError
from proofs.lengths import Size, inches
from proofs.records.cutters import Cutter
from proofs.records.labs import Lab
from proofs.records.mounts import Mount
from proofs.records.papers import Paper, Sharpening
from proofs.records.rules import Rules
from proofs.records.tables import Table

USUAL_BOARD = Size(inches(16), inches(20))  # common practice, no source
USUAL = {
    "rules": "print-16x20-in",
    "mount": "overlap-white",
    "paper": "lustre",
    "lab": "srgb-jpeg-300",
    "cutter": "hand",
}


@dataclass(frozen=True, slots=True)
class Job:
    """Rules, workshop and lab of a run; ``rules`` is None where none are to be checked.

    ``light_bracket`` holds the densities that the judges' light suggests, or None where no
    light was named. ``mounts`` holds the run's own mount first, then those that cells name.
    """

    rules: Rules | None
    mounts: tuple[Mount, ...]
    paper: Paper
    lab: Lab
    cutter: Cutter
    light_bracket: tuple[float, ...] | None = None

    def sharpening(self, asked: str | None = None) -> Sharpening:
        """Return how print files are sharpened: as asked, else as the paper wants it.

        ``off`` where the lab sharpens: done twice it shows.
        """
        if asked:
            return Sharpening(asked)
        return Sharpening.OFF if self.lab.sharpens else self.paper.sharpening

    def mount_named(self, name: str | None) -> Mount:
        """Return the mount of this name, or the run's own where an entry names none."""
        for mount in self.mounts:
            if name is None or mount.name == name:
                return mount
        known = ", ".join(mount.name for mount in self.mounts)
        raise UsageError(f"mount {name!r} is not among the mounts of this run: {known}")


@dataclass(frozen=True, slots=True)
class Exhibitor:
    """Whose entries they are, for labels that must say so; blank where that is not told."""

    name: str = ""
    address: str = ""


NOBODY = Exhibitor()


@dataclass(frozen=True, slots=True)
class JobFile:
    """What ``job.toml`` beside the entries file says; blank where it is silent."""

    rules: str = ""
    mount: str = ""
    paper: str = ""
    lab: str = ""
    cutter: str = ""
    light: str = ""
    profiles: str = ""
    exhibitor: Exhibitor = field(default=NOBODY, kw_only=True)


def read_job_file(table: Table) -> JobFile:
    """Return what a job file says.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    names = [
        table.text(key, default="")
        for key in ("rules", "mount", "paper", "lab", "cutter", "light", "profiles")
    ]
    whose = table.table("exhibitor")
    exhibitor = Exhibitor(*(whose.text(key, default="") for key in ("name", "address")))
    for part in (whose, table):
        part.done()
    return JobFile(*names, exhibitor=exhibitor)
