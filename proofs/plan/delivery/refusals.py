"""Why an entry cannot be delivered to a lab."""

from dataclasses import dataclass

from proofs.errors import ExitCode
from proofs.findings import Finding, Status
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.records.labs import Lab, own_name

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


def ordered_on(plan: Plan, lab: Lab) -> tuple[str, str]:
    """Return paper and finish of an entry in the lab's words. Raises ``RefusedError``.

    If the profile of the paper is known, its finish is the usual one.
    """
    is_known = plan.lab_paper in dict(lab.paper_profiles)
    try:
        return (
            own_name("paper", plan.lab_paper, lab.papers),
            lab.finish_named(plan.entry.finish, of_paper=plan.paper.finish if is_known else ""),
        )
    except ValueError as error:
        raise RefusedError(str(error), ExitCode.NOT_UNDERSTOOD) from None
