"""The entries that the bench's pages leave out, in words for every page that does."""

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


def left_out_words(left_out: Sequence[Outcome], again: Collection[str]) -> str:
    """Return which entries are left out, by reason, each number once; blank if none is.

    ``again`` holds the numbers of those whose prints must be made again.
    """
    by_reason: dict[str, dict[str, None]] = defaultdict(dict)
    for outcome in left_out:
        number = outcome.entry.number
        why = _AGAIN if number in again else _WHY.get(outcome.status, outcome.status.words)
        by_reason[why][number] = None
    found = "; ".join(f"{', '.join(numbers)} ({why})" for why, numbers in by_reason.items())
    return f"Entries left out: {found}" if found else ""
