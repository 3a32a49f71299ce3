"""Findings of a check, one for each rule in force, and the status of an entry."""

import enum
from dataclasses import dataclass

from proofs.lengths import Length


class Severity(enum.IntEnum):
    """How much a finding matters, the worst last; only the last three set a status."""

    MET = 0
    NOTE = 1
    WARNING = 2
    AT_RISK = 3
    BROKEN = 4
    UNREADABLE = 5

    @property
    def word(self) -> str:
        """The word used in reports: ``met``, ``at-risk`` and so on."""
        return self.name.lower().replace("_", "-")


class Status(enum.StrEnum):
    """The result for one entry, the worst last."""

    MET = "met"
    AT_RISK = "at-risk"
    BROKEN = "broken"
    NOT_UNDERSTOOD = "not-understood"
    UNREADABLE = "unreadable"
    FAILED = "failed"
    NOT_DONE = "not-done"

    @property
    def is_judged(self) -> bool:
        """Whether the entry was checked to its end: the other statuses say what stopped it."""
        return self in (Status.MET, Status.AT_RISK, Status.BROKEN)

    @property
    def words(self) -> str:
        """The status as people read it: ``at risk``, ``not done``."""
        return self.value.replace("-", " ")


@dataclass(frozen=True, slots=True)
class Finding:
    """One result of a check.

    ``code`` is stable and meant for programs; ``message`` is meant for people. ``measured`` and
    ``limit`` are in ``unit``: lengths in mm, areas in mm2. ``remedy`` states what to do, in words;
    it is blank where there is no remedy. ``left`` is how far a length is from its limit when every
    tolerance goes against it; None if it has none, or if the limit is not met then.
    """

    code: str
    severity: Severity
    message: str
    measured: float | str | None = None
    limit: float | str | None = None
    unit: str | None = None
    remedy: str = ""
    left: Length | None = None
