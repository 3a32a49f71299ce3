"""The result of an inspection in a few words, for the terminal and for its table on paper."""

from proofs.findings import Severity, Status
from proofs.inspection.inspected import FRAMES, InspectedEntry, InspectedPicture
from proofs.inspection.marks import MarkKind
from proofs.pages.wording import counted


def result_of(entry: InspectedEntry) -> str:
    """Return the result for an entry in a word or two: a verdict, ``look`` or ``calm``."""
    outcome = entry.outcome
    if not outcome.status.is_judged or outcome.status is not Status.MET:
        return outcome.status.words
    return "look" if needs_a_look(entry) else "calm"


def needs_a_look(entry: InspectedEntry) -> bool:
    """Return whether anything in an entry needs a decision."""
    return any(finding.severity >= Severity.WARNING for finding in entry.outcome.findings)


def seen_in(picture: InspectedPicture) -> str:
    """Return what there is to look at in a picture, in a few words."""
    groups = (
        (FRAMES, "border", "borders"),
        ((MarkKind.SPECK,), "speck", "specks"),
        ((MarkKind.LINE,), "hair or scratch", "hairs or scratches"),
        ((MarkKind.STREAK,), "streak", "streaks"),
        ((MarkKind.LOST_EDGE,), "lost edge", "lost edges"),
    )
    found = ((len(picture.of(kinds)), one, several) for kinds, one, several in groups)
    return ", ".join(counted(n, one, several) for n, one, several in found if n)
