"""Runs to set on a proof sheet: few and many, long and odd, and some that came to nothing."""

import datetime
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from proofs.findings import Finding, Severity, Status
from proofs.lengths import Unit, inches, millimetres
from proofs.measures import read_size
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import plan_entry
from proofs.records.arrangements import read_arrangement
from proofs.records.mounts import BevelKind, Mat, WindowKind, WindowShape
from proofs.records.rules import BoardRule, BorderRule, VisibleRule
from tests.pages.outcomes import LONG_TITLE, an_outcome, in_trouble, planned, without_mockups
from tests.workbench import a_job, a_mount, a_reveal, an_entry, facts, no_window, some_rules

RULES = some_rules(
    title="Spring prints",
    edition="third",
    read_on=datetime.date(2026, 3, 2),
    visible=VisibleRule(longest_least=inches(10), shortest_least=inches(4)),
    borders=(BorderRule(inches(2)),),
    thickness_most=millimetres(10),
    reminders=("Label on the back.", "No tape on the face."),
)
JOB = a_job(rules=RULES)
METRIC = a_job(
    rules=some_rules(
        title="40x50",
        unit=Unit.MM,
        board=BoardRule(read_size("40x50 cm"), exact=True, either_way=True),
        visible=VisibleRule(longest_least=millimetres(250), shortest_most=millimetres(300)),
    )
)
PANORAMA, UPRIGHT, SQUARE = facts(6000, 1500), facts(2400, 3600), facts(3000, 3000)
MANY_STEPS = tuple(n / 100 for n in range(-30, 46, 3))
NINE_STEPS = tuple(n / 20 for n in range(-4, 5))
REVEAL = a_job(mount=a_reveal(inches("1/4"), reveal_bottom=inches("3/8")), rules=RULES)
BARE = a_job(mount=no_window(), rules=RULES)
BLACK = a_job(mount=a_mount(mat_colour="black", bevel=BevelKind.REVERSE), rules=RULES)
SQUARE_BOARD = a_job(mount=a_mount(board=read_size("20x20 in")), rules=RULES)
OVAL = a_job(mount=a_mount(shape=WindowShape.OVAL), rules=RULES)
_BELOW = Mat(inches("1/4"), millimetres("1.4"), colour="black")
DOUBLE = a_job(mount=a_mount(inner=(_BELOW,)), rules=RULES)
FLOAT = a_job(
    mount=a_mount(
        window=WindowKind.FLOAT, overlap=inches(0), paper=inches("1/2"), gap=inches("1/4")
    ),
    rules=RULES,
)
SURROUND = a_job(mount=no_window(window=WindowKind.SURROUND, keyline=millimetres(2)), rules=RULES)
LONG_CELLS: dict[str, Any] = {
    "number": "2026-A-0017-and-still-longer-than-that",
    "title": LONG_TITLE,
    "category": "People and places, section two of the open part " * 3,
}
MANY_NOTES = tuple(
    Finding(f"note-{n}", Severity.WARNING, f"something number {n} to be looked at " * 5)
    for n in range(12)
)


def several(count: int) -> list[Outcome]:
    """Return this many entries that are met."""
    return [
        an_outcome(JOB, planned(JOB, number=str(n + 1), title=f"Picture {n + 1}"))
        for n in range(count)
    ]


def with_steps(count: int, **cells: Any) -> list[Outcome]:
    """Return one entry with this many steps, which lose ever more shadow."""
    bracket = tuple(n / 20 for n in range(count))
    return [an_outcome(JOB, planned(JOB, bracket=bracket, **cells), shadows=0.01)]


def together(count: int, arrangement: str = "row") -> list[Outcome]:
    """Return one entry of this many pictures on a board."""
    names = "|".join(f"{n}.jpg" for n in range(count))
    entry = an_entry("long 4 in", file=names, arrangement=read_arrangement(arrangement))
    sizes = [facts(3600, 2400), facts(2400, 2400) if arrangement == "row" else facts(3600, 2400)]
    sizes *= count
    return [an_outcome(JOB, plan_entry(JOB, entry, *sizes[:count]))]


CASES: dict[str, Callable[[], list[Outcome]]] = {
    "one": lambda: several(1),
    "seven": lambda: several(7),
    "31": lambda: several(31),
    "sixty": lambda: several(60),
    "long cells": lambda: [an_outcome(JOB, planned(JOB, **LONG_CELLS))],
    "a word without end": lambda: [an_outcome(JOB, planned(JOB, title="x" * 900))],
    "one step": lambda: with_steps(1, photo=UPRIGHT),
    "two steps": lambda: with_steps(2, photo=UPRIGHT),
    "three steps": lambda: with_steps(3),
    "five steps": lambda: with_steps(5, photo=SQUARE),
    "six steps": lambda: with_steps(6),
    "seven steps": lambda: with_steps(7, photo=UPRIGHT),
    "nine steps": lambda: [an_outcome(JOB, planned(JOB, bracket=NINE_STEPS))],
    "26 steps": lambda: [an_outcome(JOB, planned(JOB, bracket=MANY_STEPS, **LONG_CELLS))],
    "a panorama": lambda: [an_outcome(JOB, planned(JOB, "long 16 in", photo=PANORAMA))],
    "a square": lambda: [an_outcome(JOB, planned(JOB, photo=SQUARE))],
    "a square board": lambda: [
        an_outcome(
            SQUARE_BOARD, planned(SQUARE_BOARD, "long 13 in", photo=SQUARE, title=LONG_TITLE)
        )
    ],
    "too small": lambda: [an_outcome(JOB, planned(JOB, "long 10 in"))],
    "too small upright": lambda: [an_outcome(JOB, planned(JOB, "long 3 in", photo=UPRIGHT))],
    "too large": lambda: [an_outcome(JOB, planned(JOB, "long 17 1/2 in", photo=UPRIGHT))],
    "larger than the board": lambda: [an_outcome(JOB, planned(JOB, "long 30 in"))],
    "paper seen": lambda: [an_outcome(REVEAL, planned(REVEAL))],
    "no window": lambda: [an_outcome(BARE, planned(BARE))],
    "black": lambda: [an_outcome(BLACK, planned(BLACK, "long 10 in"))],
    "oval": lambda: [an_outcome(OVAL, planned(OVAL, "12x8 in"))],
    "two mats": lambda: [an_outcome(DOUBLE, planned(DOUBLE, "12x8 in"))],
    "floating": lambda: [an_outcome(FLOAT, planned(FLOAT, "12x8 in"))],
    "a surround": lambda: [an_outcome(SURROUND, planned(SURROUND, "12x8 in"))],
    "two pictures": lambda: together(2),
    "nine pictures": lambda: together(9, "grid 3x3"),
    "metric": lambda: [an_outcome(METRIC, planned(METRIC, "30x20 cm"))],
    "no mock-up": lambda: [without_mockups(an_outcome(JOB, planned(JOB)))],
    "a bracket each": lambda: [
        an_outcome(JOB, planned(JOB, number=f"{n}" * 40, bracket=(0.0, n / 20)))
        for n in range(1, 10)
    ],
    "much to note": lambda: [
        an_outcome(JOB, planned(JOB, bracket=MANY_STEPS, **LONG_CELLS), findings=MANY_NOTES)
    ],
    "in trouble": lambda: [
        in_trouble(str(n), Status.UNREADABLE, "the file ends early " * 9, "save it again")
        for n in "123"
    ],
    "stopped": lambda: [replace(o, status=Status.NOT_DONE) for o in several(3)],
}
