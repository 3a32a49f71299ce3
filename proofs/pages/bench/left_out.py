"""The entries that the bench's pages leave out, or take in anyway, in words for every page."""

from collections import defaultdict
from collections.abc import Collection, Sequence

from proofs.findings import Status
from proofs.plan.checks.outcomes import Outcome

_AGAIN = "print again"
_WHY = {
    Status.BROKEN: "breaks a rule",
    Status.NOT_UNDERSTOOD: "cannot be understood",
    Status.UNREADABLE: "cannot be read",
}


def left_out_words(
    left_out: Sequence[Outcome], again: Collection[str], anyway: Sequence[Outcome] = ()
) -> str:
    """Return which entries are left out, by reason, each number once; blank if none is.

    ``again`` holds the numbers of those whose prints must be made again. ``anyway`` are entries
    that are not left out, although they break a rule or must be printed again; they are named too.
    """
    parts = ("Entries left out", left_out), ("Mounted anyway", anyway)
    named = [(head, _by_reason(outcomes, again)) for head, outcomes in parts]
    return ". ".join(f"{head}: {found}" for head, found in named if found)


def _by_reason(outcomes: Sequence[Outcome], again: Collection[str]) -> str:
    by_reason: dict[str, dict[str, None]] = defaultdict(dict)
    for outcome in outcomes:
        number = outcome.entry.number
        why = _AGAIN if number in again else _WHY.get(outcome.status, outcome.status.words)
        by_reason[why][number] = None
    return "; ".join(f"{', '.join(numbers)} ({why})" for why, numbers in by_reason.items())
