"""The kinds of profiles, each with its reader."""

from collections.abc import Callable, Mapping
from typing import TypeVar

from proofs.records.cutters import read_cutter
from proofs.records.faults import Fault, FaultNotes
from proofs.records.inspections import read_inspection
from proofs.records.label_sheets import read_label_sheet
from proofs.records.labs import read_lab
from proofs.records.lights import read_light
from proofs.records.mounts import read_mount
from proofs.records.papers import read_paper
from proofs.records.rules import read_rules
from proofs.records.stock import read_stock
from proofs.records.tables import Profile, Table
from proofs.records.timetables import read_timetable

T = TypeVar("T")

READERS: Mapping[str, Callable[[Table, str], Profile]] = {
    "rules": read_rules,
    "mounts": read_mount,
    "papers": read_paper,
    "labs": read_lab,
    "cutters": read_cutter,
    "lights": read_light,
    "stock": read_stock,
    "timetables": read_timetable,
    "labels": read_label_sheet,
    "inspections": read_inspection,
}
KINDS = tuple(READERS)
"""The folders of profiles, one for each kind."""


def noted(read: Callable[[Table], T], values: Mapping[str, object]) -> tuple[T, tuple[Fault, ...]]:
    """Return what a reader of TOML makes of these values, and all that it has against them.

    If it has anything, the first is not to be used.
    """
    notes = FaultNotes()
    described = read(Table(values, "", notes=notes))
    return described, notes.all()
