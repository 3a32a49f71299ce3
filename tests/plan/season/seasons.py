"""Exhibitions to test a season on."""

import datetime
from typing import Any

from proofs.findings import Status
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import plan_entry
from proofs.plan.season.exhibitions import Away, Exhibition
from proofs.records.entries import NO_RESULT
from proofs.records.job import Job
from tests.workbench import a_job, an_entry, facts

TWO_MONTHS = datetime.timedelta(days=60)
MAY, JUNE, JULY = (datetime.date(2030, month, 1) for month in (5, 6, 7))
SPRING, SUMMER = Away(MAY, JUNE, False), Away(JUNE + datetime.timedelta(days=1), JULY, False)


def at(
    name: str,
    *files: str,
    away: Away | None = None,
    size: str = "long 12 in",
    job: Job | None = None,
    **cells: Any,
) -> Exhibition:
    """Return an exhibition with an entry for each of these files, all with these cells."""
    job = job or a_job()
    outcomes = []
    for number, file in enumerate(files, 1):
        entry = an_entry(size, file=file, number=str(number), title=file, **cells)
        plan = plan_entry(job, entry, *[facts()] * len(entry.pictures))
        outcomes.append(Outcome(entry, Status.MET, (), plan))
    return Exhibition(
        name,
        name.capitalize(),
        tuple(outcomes),
        (NO_RESULT,) * len(outcomes),
        tuple(tuple(p.file for p in outcome.entry.pictures) for outcome in outcomes),
        away=away,
    )
