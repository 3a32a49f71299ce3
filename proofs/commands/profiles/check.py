"""All faults of a profile at once, each with its line."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from proofs.errors import ProfileError, UsageError
from proofs.outside.pixels.colour.output_space import lab_icc_profile
from proofs.outside.profiles import completed, read_table, text_of
from proofs.pages.wording import counted
from proofs.records.faults import Fault
from proofs.records.job import JobFile, read_job_file
from proofs.records.labs import Lab
from proofs.records.profile_kinds import KINDS, READERS, noted
from proofs.records.questionnaires.printing import ICC_KEY
from proofs.records.tables import Profile, Table
from proofs.records.toml_lines import key_lines, line_of

JOB = "job"
"""The kind of ``job.toml``, which is checked like a profile."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A file with what it describes, and its faults by line; none if it can be used."""

    path: Path
    kind: str
    title: str
    faults: tuple[tuple[int, Fault], ...] = ()


def kind_of(path: Path, kind: str | None) -> str:
    """Return the kind that was named, or that of the folder. Raises ``UsageError``."""
    if kind:
        return kind
    if path.name == "job.toml":
        return JOB
    folder = path.resolve().parent.name
    if folder in KINDS:
        return folder
    raise UsageError(
        f"{path}: its folder does not say what it describes; give --kind, one of"
        f" {', '.join((*KINDS, JOB))}"
    )


def checked(path: Path, kind: str) -> Checked:
    """Return a file with all of its faults.

    Raises ``ProfileError``, with the line, for a file that cannot be read or is not TOML.
    """
    described, faults = described_by(read_table(path).values, kind, path)
    lines = key_lines(text_of(path).replace("\r\n", "\n")) if faults else {}
    located = sorted(((line_of(f.path, lines), f) for f in faults), key=lambda found: found[0])
    title = described.title if isinstance(described, Profile) else ""
    return Checked(path, kind, title, tuple(located))


def described_by(
    values: Mapping[str, object], kind: str, path: Path
) -> tuple[Profile | JobFile, tuple[Fault, ...]]:
    """Return what these values describe in a file at this path, and all of their faults.

    If there are any, the first is not to be used.
    """
    described, faults = noted(lambda table: _read(kind, table, path.stem), values)
    if isinstance(described, Profile):
        known = {fault.path for fault in faults}
        faults += tuple(f for f in _faults_in_use(described, path) if f.path not in known)
    return described, faults


def _read(kind: str, table: Table, name: str) -> Profile | JobFile:
    return read_job_file(table) if kind == JOB else READERS[kind](table, name)


def _faults_in_use(profile: Profile, path: Path) -> tuple[Fault, ...]:
    """The fault of a profile that names a file or a place, if that is not as it must be."""
    try:
        whole = completed(profile, path)
        if isinstance(whole, Lab):
            lab_icc_profile(whole)
    except ProfileError as error:
        key, _, words = str(error).removeprefix(f"{path}: ").partition(": ")
        if isinstance(profile, Lab) and key != ICC_KEY:  # it speaks of the ICC file itself
            return (Fault(ICC_KEY, f"{key}: {words}"),)
        return (Fault(key, words),)
    return ()


def report(found: Checked) -> list[str]:
    """Return the lines that state what is wrong with a file, or that nothing is.

    >>> fault = Fault("least_border", "found 2; expected a length such as '10 1/8 in' or '25 mm'")
    >>> print("\\n".join(report(Checked(Path("own.toml"), "mounts", "Wide", ((3, fault),)))))
    own.toml: 1 fault
      line 3: least_border: found 2; expected a length such as '10 1/8 in' or '25 mm'
    """
    if not found.faults:
        return [f"{found.path}: no faults" + (f"; {found.title}" if found.title else "")]
    lines = [f"{found.path}: {counted(len(found.faults), 'fault')}"]
    return [*lines, *(f"  line {line}: {fault}" for line, fault in found.faults)]
