"""The profiles and settings that all entries of a run share."""

from dataclasses import dataclass, field, replace

from proofs.errors import UsageError
from proofs.lengths import Length, Size, Unit, inches, millimetres
from proofs.records.cutters import Cutter
from proofs.records.labs import Lab
from proofs.records.metadata_wish import LINE_EXPECTED, read_credit_line
from proofs.records.mounts import Mount
from proofs.records.papers import Paper, Sharpening
from proofs.records.rules import Rules
from proofs.records.tables import Table

DEFAULT_BOARD = Size(inches(16), inches(20))  # common practice, no source
_PROFILE_KEYS = ("rules", "mount", "paper", "lab", "cutter", "light")
_READING = {Unit.IN: inches("1/32"), Unit.MM: millimetres("0.5")}  # common practice, no source
DEFAULT_PROFILES = {
    "rules": "print-16x20-in",
    "mount": "overlap-white",
    "paper": "lustre",
    "lab": "srgb-jpeg-300",
    "cutter": "hand",
}


@dataclass(frozen=True, slots=True)
class Job:
    """The profiles of a run; ``rules`` is None if none are to be checked.

    ``mounts`` are the mount of the run first, then those named in cells. ``light_bracket`` holds
    the densities that suit the judges' light, or is None if no light was named. With
    ``is_measured``, the sizes of the prints are a ruler's readings, not what the lab was asked.
    ``lab_papers`` are the profiles of the lab's papers, by its own names, as far as it states
    them; all other prints are on ``paper``. ``author`` is who enters the prints, blank if
    ``job.toml`` does not say.
    """

    rules: Rules | None
    mounts: tuple[Mount, ...]
    paper: Paper
    lab: Lab
    cutter: Cutter
    light_bracket: tuple[float, ...] | None = None
    is_measured: bool = False
    lab_papers: tuple[tuple[str, Paper], ...] = ()
    author: str = ""

    @property
    def unit(self) -> Unit:
        """The unit of the rules, in which sizes are stated first: ``IN`` or ``MM``."""
        return self.rules.unit if self.rules else Unit.IN

    @property
    def reading_error(self) -> Length:
        """How far a reading of a print's size may be off: half a mark of a ruler either way."""
        if self.cutter.reading is not None:
            return self.cutter.reading
        return _READING[self.cutter.unit or self.unit]

    def sharpening(self, asked: Sharpening | None = None) -> Sharpening:
        """Return how print files are sharpened: as asked, or else as suits the paper.

        If the lab sharpens, they are not sharpened here, because sharpening twice shows.
        """
        if asked is not None:
            return asked
        return Sharpening.OFF if self.lab.sharpens else self.paper.sharpening

    def paper_named(self, name: str) -> Paper:
        """Return the paper that the lab calls so, or the paper of the run if that is not known."""
        return dict(self.lab_papers).get(name, self.paper)

    def with_paper(self, paper: Paper) -> "Job":
        """Return the job for entries on this paper."""
        return replace(self, paper=paper)

    def mount_named(self, name: str | None) -> Mount:
        """Return the mount of this name, or the mount of the run for None."""
        for mount in self.mounts:
            if name is None or mount.name == name:
                return mount
        known = ", ".join(mount.name for mount in self.mounts)
        raise UsageError(f"mount {name!r} is not among the mounts of this run: {known}")


@dataclass(frozen=True, slots=True)
class Exhibitor:
    """The person who enters the prints, for labels; blank if not given."""

    name: str = ""
    address: str = ""


NO_EXHIBITOR = Exhibitor()


@dataclass(frozen=True, slots=True)
class Customer:
    """Whom a lab delivers to, for the order; blank if not given. Only these words reach the lab."""

    name: str = ""
    address: str = ""
    account: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """What is known, in lines for a page."""
        address = (line.strip() for line in self.address.splitlines())
        account = f"Account {self.account}" if self.account else ""
        return tuple(filter(None, (self.name, *address, account)))


NO_CUSTOMER = Customer()


@dataclass(frozen=True, slots=True)
class JobFile:
    """The contents of ``job.toml``, the file next to the entries file; blank if not given."""

    rules: str = ""
    mount: str = ""
    paper: str = ""
    lab: str = ""
    cutter: str = ""
    light: str = ""
    profiles: str = ""
    finished_under: str = ""
    inspection: str = ""
    shelf: str = ""
    pictures: str = ""
    copyright: str = field(default="", kw_only=True)
    creator: str = field(default="", kw_only=True)
    exhibitor: Exhibitor = field(default=NO_EXHIBITOR, kw_only=True)
    customer: Customer = field(default=NO_CUSTOMER, kw_only=True)


def read_job_file(table: Table) -> JobFile:
    """Return the contents of a job file."""
    others = ("profiles", "finished_under", "inspection", "shelf", "pictures")
    names = [table.text(key, default="") for key in (*_PROFILE_KEYS, *others)]
    whose = table.table("exhibitor")
    exhibitor = Exhibitor(*(whose.text(key, default="") for key in ("name", "address")))
    lines = {key: _credit_line(table, key) for key in ("copyright", "creator")}
    customer = _customer(table.table("customer"), exhibitor)
    table.refuse_unknown()
    return JobFile(*names, **lines, exhibitor=exhibitor, customer=customer)


def _customer(table: Table, exhibitor: Exhibitor) -> Customer:
    """The customer of a lab: by default the exhibitor, but only if there is such a table."""
    known = exhibitor if table.values else NO_EXHIBITOR
    return Customer(
        name=table.text("name", default=known.name),
        address=table.text("address", default=known.address),
        account=table.text("account", default=""),
    )


def _credit_line(table: Table, key: str) -> str:
    try:
        return read_credit_line(table.text(key, default=""))
    except ValueError:
        table.refuse(key, LINE_EXPECTED)
        return ""
