"""The result of an inspection in a few words, for the terminal and for its table on paper."""

from collections.abc import Iterator

from proofs.findings import Finding, Severity, Status
from proofs.inspection.inspected import FRAMES, InspectedEntry, InspectedPicture
from proofs.inspection.marks import MarkKind
from proofs.pages.wording import counted


def result_of(entry: InspectedEntry) -> str:
    """Return the result for an entry in a word or two: a verdict, ``look`` or ``calm``."""
    outcome = entry.outcome
    if not outcome.status.is_judged or outcome.status is not Status.MET:
        return outcome.status.words
    is_calm = all(picture.is_calm for picture in entry.pictures)
    has_warning = any(finding.severity >= Severity.WARNING for finding in outcome.findings)
    return "look" if has_warning or not is_calm else "calm"


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
    words = [counted(n, one, several) for n, one, several in found if n]
    tones = ((MarkKind.CLIPPED, "bare areas"), (MarkKind.BLOCKED, "blocked areas"))
    words += [name for kind, name in tones if picture.of([kind])]
    return ", ".join(words)


def findings_on(entry: InspectedEntry, picture: InspectedPicture) -> Iterator[Finding]:
    """Yield the findings on one of the pictures of an entry, and those on the whole entry."""
    for finding in entry.outcome.findings:
        which, _, rest = finding.message.partition(": ")
        if not (which.startswith("picture ") and rest) or which == f"picture {picture.n + 1}":
            yield finding
