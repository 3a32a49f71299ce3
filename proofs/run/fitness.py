"""What one computer makes files with, compared with another: the same bytes may come of both."""

import platform
from dataclasses import dataclass
from pathlib import Path

from proofs.outside.pixels.prints.specimen import specimen_sha256
from proofs.outside.shared_folder import seen_from_here
from proofs.outside.versions import versions
from proofs.records.labs import Lab
from proofs.run.made_with import made_with

Facts = tuple[tuple[str, str], ...]
"""Facts about a computer by their names, of built-in types, so that any version can read them."""

_SHOWN = 24  # characters of a version; that of the program holds a long digest


@dataclass(frozen=True, slots=True)
class Trial:
    """What a computer is tried with: the lab and the font of a run, and one of its pictures."""

    lab: Lab
    font: Path | None
    picture: Path | None


def version_facts() -> Facts:
    """Return the versions of the program, Python and the libraries that make bytes."""
    return (*versions(), ("Python", platform.python_version()))


def trial_facts(trial: Trial) -> Facts:
    """Return what this computer makes of a trial.

    Raises ``ProfileError`` or ``WriteError`` if a file of the run cannot be read here.
    """
    own = made_with(trial.lab, trial.font)
    return (
        ("colour profile of the lab", own.icc_sha256),
        ("font", own.font_sha256),
        ("picture in the shared folder", seen_from_here(trial.picture) if trial.picture else ""),
        ("test print", specimen_sha256(trial.lab)),
    )


def differences(here: Facts, there: Facts) -> tuple[str, ...]:
    """Return in words what differs between this computer and another.

    >>> differences((("zlib", "1.3"), ("font", "a")), (("zlib", "1.2"), ("font", "a")))
    ('zlib is 1.2, here 1.3',)
    """
    own, other = dict(here), dict(there)
    return tuple(
        f"{name} is {_short(other.get(name, ''))}, here {_short(own.get(name, ''))}"
        for name in {**own, **other}
        if own.get(name) != other.get(name)
    )


def _short(version: str) -> str:
    return version[:_SHOWN] or "missing"
