"""The proof sheet: every entry with every step on its mount, to scale, page by page."""

from collections.abc import Iterator, Sequence

from proofs.findings import Status
from proofs.pages.drawing import Page
from proofs.pages.flow import Chapter, FlowPart, PageLayout
from proofs.pages.proof_sheet.bracket_curves import curve_blocks
from proofs.pages.proof_sheet.entry import entry_parts, trouble_part
from proofs.pages.proof_sheet.summary import closing_parts, masthead
from proofs.pages.typography import TITLE, Setter
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job

ON_DENSITY = (
    "Do not judge density on a screen or on this page: compare prints under the judging light."
)
ON_RULES = "The rules of the exhibition in hand always win over this profile."

_IN_TROUBLE = (Status.NOT_UNDERSTOOD, Status.UNREADABLE, Status.FAILED)
_BETWEEN, _BELOW_HEADING = 20.0, 5.0


def proof_sheet(job: Job, outcomes: Sequence[Outcome], layout: PageLayout) -> tuple[Page, ...]:
    """Return the pages of the proof sheet."""
    parts = tuple(_parts(job, outcomes, layout.setter))
    name = job.rules.title if job.rules else "no rules were checked"
    return layout.chapters(
        [Chapter(parts)], foot=(ON_DENSITY, ON_RULES), head=f"Proof sheet · {name}"
    )


def _parts(job: Job, outcomes: Sequence[Outcome], setter: Setter) -> Iterator[FlowPart]:
    """The masthead, the entries in trouble, all others, the curves, and the rules."""
    yield FlowPart(masthead(job, outcomes, setter))
    troubled = [o for o in outcomes if o.plan is None or o.status in _IN_TROUBLE]
    if troubled:
        heading = setter.paragraph("To fix first", TITLE, setter.width)
        yield FlowPart(heading, _BETWEEN, keeps_next=True)
    for number, outcome in enumerate(troubled):
        yield trouble_part(outcome, setter, _BETWEEN if number else _BELOW_HEADING)
    for outcome in outcomes:
        if outcome.plan is not None and outcome.status not in _IN_TROUBLE:
            yield from entry_parts(job, outcome, outcome.plan, setter, gap=_BETWEEN)
    for row in curve_blocks(outcomes, setter):
        yield FlowPart(row, _BETWEEN)
    yield from closing_parts(job, setter, _BETWEEN)
