"""Why an entry cannot be handed over to a lab."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.findings import Finding, Status
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan

BROKEN, ROW, PHOTOGRAPH = 1, 3, 4
"""The exit codes of refusals: a rule or a limit, the entries file, the photograph."""

_UNUSABLE = {Status.NOT_UNDERSTOOD: ROW, Status.UNREADABLE: PHOTOGRAPH}


@dataclass(frozen=True, slots=True)
class DeliverySheetOptions:
    """What is asked of every sheet of a delivery.

    ``density`` is for entries that have no step chosen, None to refuse them. ``cheapest`` takes
    the sheet by its price instead of its size.
    """

    density: float | None = None
    cheapest: bool = False
    margin_line: bool = False
    cut_marks: bool = False
    anyway: bool = False


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why an entry cannot be handed over, with what to do about it."""

    number: str
    title: str
    reason: str
    exit_code: int


class RefusedError(Exception):
    """The reason for which an entry is refused, and its exit code."""

    def __init__(self, reason: str, exit_code: int) -> None:
        super().__init__(reason)
        self.exit_code = exit_code


def usable_plan(outcome: Outcome, wishes: DeliverySheetOptions) -> Plan:
    """Return the plan of an entry that can go to a lab. Raises ``RefusedError`` for any other."""
    plan = outcome.plan
    if plan is None or outcome.status in _UNUSABLE:
        raise RefusedError(_told(outcome.findings[0]), _UNUSABLE.get(outcome.status, PHOTOGRAPH))
    if outcome.status == Status.BROKEN and not wishes.anyway:
        told = _told(outcome.findings[0])
        raise RefusedError(f"breaks a rule: {told}, or say --anyway", BROKEN)
    return plan


def _told(finding: Finding) -> str:
    return f"{finding.message}; {finding.remedy.text}" if finding.remedy else finding.message


def density_of(plan: Plan, wishes: DeliverySheetOptions) -> float:
    """Return the density that an entry chose, else the one asked for all that chose none."""
    if plan.chosen is not None:
        return plan.chosen.density
    if wishes.density is None:
        raise RefusedError(
            "no step is chosen: write it down with 'proofs choose', or say --density for all"
            " that have none",
            ROW,
        )
    return wishes.density


def lab_word(column: str, cell: str, names: Sequence[str]) -> str:
    """Return the lab's own name for what a cell asks for; a blank cell means its usual one."""
    if not cell or not names:
        return cell or next(iter(names), "")
    found = next((name for name in names if name.casefold() == cell.casefold()), None)
    if found is None:
        raise RefusedError(f"{column}: {cell!r} is none of the lab's: {', '.join(names)}", ROW)
    return found
