"""Outcomes to set on a proof sheet, as a run would leave them."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from proofs.findings import Finding, Severity, Status
from proofs.pages.proof_sheet.life_size import largest_picture, part_size
from proofs.plan.checks.checking import check, status_of
from proofs.plan.checks.outcomes import (
    LifeSizePart,
    Outcome,
    PrintFile,
    StepOutcome,
    Tones,
    measured_sight,
)
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


def an_outcome(
    job: Job, plan: Plan, *, findings: Sequence[Finding] = (), shadows: float = 0.0
) -> Outcome:
    """Return what a run leaves of a plan; an entry that breaks a rule was not printed.

    Each step loses ``shadows`` more of the image than the one before.
    """
    found = (*check(job, plan), *findings)
    status = status_of(found)
    is_printed = status != Status.BROKEN
    files = tuple(
        PrintFile(
            file="prints/x.jpg",
            pixels=part.pixels,
            ppi=float(job.lab.ppi),
            icc="sRGB",
            measured_sight=measured_sight(picture, part.pixels, job.lab.ppi),
            sha256="0" * 64,
        )
        for part, picture in zip(plan.parts, plan.layout.pictures, strict=True)
    )
    part = life_size(plan) if is_printed else None
    steps = tuple(
        StepOutcome(
            variant,
            variant == plan.chosen,
            files if is_printed and variant == plan.printed else (),
            f"mockups/{plan.entry.number}_{variant.step}.png",
            Tones(variant.density, variant.density - 0.002, 0.071 + n * shadows, 0.004),
            tuple(f"{plan.entry.number}_{variant.step}_{k}.jpg" for k in range(len(plan.parts))),
            f"{plan.entry.number}_{variant.step}_life.jpg" if part else "",
        )
        for n, variant in enumerate(plan.variants)
    )
    hung = f"{plan.entry.number}_hung.jpg"
    return Outcome(
        plan.entry, status, found, plan, steps, "mockups/back.png", is_printed, part, hung
    )


def life_size(plan: Plan) -> LifeSizePart | None:
    """Return the part in the middle of the largest picture that its page shows at life size."""
    n = largest_picture(plan)
    size, sight = part_size(plan, n), plan.layout.pictures[n].sight
    return LifeSizePart(n, sight.centred(size)) if size else None


def without_mockups(outcome: Outcome) -> Outcome:
    """Return the same outcome with no mock-up made."""
    steps = tuple(replace(s, mockup=None, small_pictures=()) for s in outcome.steps)
    return replace(outcome, steps=steps, hung="")


def in_trouble(number: str, status: Status, message: str, remedy: str) -> Outcome:
    """Return an entry that came to nothing."""
    finding = Finding(status, Severity.UNREADABLE, message, remedy=remedy)
    entry = an_entry(number=number, title=f"Lost {number}", file="lost.jpg", line=7)
    return Outcome(entry, status, (finding,))
