"""Why an entry cannot be delivered to a lab."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.errors import ExitCode
from proofs.findings import Finding, Status
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan

_UNUSABLE = {
    Status.NOT_UNDERSTOOD: ExitCode.NOT_UNDERSTOOD,
    Status.UNREADABLE: ExitCode.UNREADABLE,
}


@dataclass(frozen=True, slots=True)
class DeliverySheetOptions:
    """Options for all sheets of a delivery.

    ``density`` is for entries with no step chosen; None refuses them. With ``cheapest`` the
    cheapest sheet is used instead of the smallest. With ``anyway`` entries that break a rule are
    delivered too.
    """

    density: float | None = None
    cheapest: bool = False
    margin_line: bool = False
    cut_marks: bool = False
    anyway: bool = False


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why an entry cannot be delivered, and what to do about it."""

    number: str
    title: str
    reason: str
    exit_code: ExitCode


class RefusedError(Exception):
    """The reason why an entry is refused, and its exit code."""

    def __init__(self, reason: str, exit_code: ExitCode) -> None:
        super().__init__(reason)
        self.exit_code = exit_code


def usable_plan(outcome: Outcome, options: DeliverySheetOptions) -> Plan:
    """Return the plan of an entry that can go to a lab. Raises ``RefusedError`` for any other."""
    plan = outcome.plan
    if plan is None or outcome.status in _UNUSABLE:
        code = _UNUSABLE.get(outcome.status, ExitCode.UNREADABLE)
        raise RefusedError(_in_words(outcome.findings[0]), code)
    if outcome.status == Status.BROKEN and not options.anyway:
        why = _in_words(outcome.findings[0])
        raise RefusedError(f"breaks a rule: {why}, or use --anyway", ExitCode.BROKEN)
    return plan


def _in_words(finding: Finding) -> str:
    return f"{finding.message}; {finding.remedy}" if finding.remedy else finding.message


def density_of(plan: Plan, options: DeliverySheetOptions) -> float:
    """Return the density of an entry's chosen step, or the one for entries with no step chosen."""
    if plan.chosen is not None:
        return plan.chosen.density
    if options.density is None:
        raise RefusedError(
            "no step chosen: choose one with 'proofs choose', or give a --density for all entries"
            " with no step chosen",
            ExitCode.NOT_UNDERSTOOD,
        )
    return options.density


def lab_word(column: str, cell: str, names: Sequence[str]) -> str:
    """Return the lab's own name for a paper or finish; a blank cell means its first one."""
    if not cell or not names:
        return cell or next(iter(names), "")
    found = next((name for name in names if name.casefold() == cell.casefold()), None)
    if found is None:
        offered = ", ".join(names)
        raise RefusedError(
            f"{column}: the lab has no {cell!r}; write one of {offered}", ExitCode.NOT_UNDERSTOOD
        )
    return found
