"""Outcomes to set on a proof sheet, as a run would leave them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from proofs.findings import Finding, Severity, Status
from proofs.plan.checks.checking import check, status_of
from proofs.plan.checks.outcomes import Outcome, PrintFile, StepOutcome, Tones, measured_sight
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.job import Job
from tests.workbench import an_entry, facts

# The user's own figure: titles of 200 characters are to be expected.
LONG_TITLE = "The light that comes over the harbour wall on a morning in November " * 3
LONG_TITLE = LONG_TITLE[:200].strip()


def planned(
    job: Job, size: str = "long 12 in", *, photo: PhotoFacts | None = None, **cells: Any
) -> Plan:
    """Return the plan of an entry with these cells."""
    return plan_entry(job, an_entry(size, **cells), photo or facts(3600, 2400))


def an_outcome(job: Job, plan: Plan, *, findings: Sequence[Finding] = ()) -> Outcome:
    """Return what a run leaves of a plan; an entry that breaks a rule was not printed."""
    found = (*check(job, plan), *findings)
    status = status_of(found)
    is_printed = status != Status.BROKEN
    print_file = PrintFile(
        file="prints/x.jpg",
        pixels=plan.parts[0].pixels,
        ppi=float(job.lab.ppi),
        icc="sRGB",
        measured_sight=measured_sight(plan.layout.pictures[0], plan.parts[0].pixels, job.lab.ppi),
        sha256="0" * 64,
    )
    steps = tuple(
        StepOutcome(
            variant,
            variant == plan.chosen,
            (print_file,) if is_printed and variant == plan.printed else (),
            f"mockups/{plan.entry.number}_{variant.step}.png",
            Tones(variant.density, variant.density - 0.002, 0.071, 0.004),
        )
        for variant in plan.variants
    )
    return Outcome(plan.entry, status, found, plan, steps, "mockups/back.png", is_printed)


def without_mockups(outcome: Outcome) -> Outcome:
    """Return the same outcome with no mock-up made."""
    return replace(outcome, steps=tuple(replace(s, mockup=None) for s in outcome.steps))


def in_trouble(number: str, status: Status, message: str, remedy: str) -> Outcome:
    """Return an entry that came to nothing."""
    finding = Finding(status, Severity.UNREADABLE, message, remedy=remedy)
    entry = an_entry(number=number, title=f"Lost {number}", file="lost.jpg", line=7)
    return Outcome(entry, status, (finding,))
