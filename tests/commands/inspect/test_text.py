"""The table of an inspection on a terminal: one aligned line for each picture."""

from dataclasses import replace

import pytest

from proofs.commands.inspect.text import closing_lines, look_table
from proofs.errors import ExitCode
from proofs.findings import Finding, Severity, Status
from proofs.inspection.inspected import InspectedEntry
from proofs.inspection.marks import MarkKind
from proofs.pages.columns import display_width
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import plan_entry
from tests.looks import a_hair, a_speck, looked_at
from tests.workbench import a_job, an_entry, facts

LONG = "Waiting for wind: three boats at anchor off Marrow Skerry before the fog thought of lifting"


def an_inspected(number: str, title: str, *, n: int = 1, specks: int = 0) -> InspectedEntry:
    entry = an_entry(file=" | ".join("abc"[:n]), number=number, title=title)
    plan = plan_entry(a_job(), entry, *[facts()] * n)
    marks = (a_hair(60, 60), *(a_speck(20 + 5 * m, 30) for m in range(specks)))
    pictures = tuple(looked_at(plan, *(marks if specks else ()), n=m) for m in range(n))
    return InspectedEntry(Outcome(plan.entry, Status.MET, (), plan), "stem", pictures)


ENTRIES = (
    an_inspected("1", "Pier"),
    an_inspected("12", LONG, n=3, specks=4),
    an_inspected("3", "桟橋と海", specks=1),
    InspectedEntry(Outcome(an_entry(number="4"), Status.NOT_UNDERSTOOD, ()), "stem"),
)


def lines(width: int) -> list[str]:
    return [str(line) for each in look_table(ENTRIES, width) for line in each]


@pytest.mark.parametrize("width", [80, 100, 200])
def test_a_line_fits_the_terminal_and_ends_without_blanks(width: int) -> None:
    assert max(map(display_width, lines(width))) <= width
    assert [line for line in lines(width) if line != line.rstrip()] == []


@pytest.mark.parametrize("width", [80, 100, 200])
def test_the_columns_stand_one_below_the_other(width: int) -> None:
    head, *rows = lines(width)
    looked = [row for row in rows if row.endswith(" %")]
    shares = {display_width(row[: row.rindex("66 %")]) for row in looked}
    assert len(looked) == 5
    assert shares == {head.index("searched")}


def test_there_is_a_line_for_each_picture_with_what_is_to_be_looked_at() -> None:
    _, pier, board, second, third, _, wrong = lines(200)
    assert pier.split() == ["1", "Pier", "calm", "-", "66", "%"]
    assert LONG in board
    assert "look  " in board
    assert [row.split()[:2] for row in (second, third)] == [["picture", "2"], ["picture", "3"]]
    assert "4 specks, 1 hair or scratch" in second
    assert wrong.endswith("not understood")


def test_the_end_counts_what_is_to_be_looked_at() -> None:
    assert closing_lines(ENTRIES, ExitCode.NOT_UNDERSTOOD) == [
        "4 entries: 1 calm, 2 to look at, 1 not understood",
        "exit code 3: entry 4 cannot be understood",
    ]
    assert closing_lines(ENTRIES[:1], ExitCode.DONE) == ["1 entry: 1 calm"]


def test_a_warning_without_a_mark_is_to_be_looked_at_too() -> None:
    soft = Finding("sharpness", Severity.WARNING, "soft")
    warned = replace(ENTRIES[0], outcome=replace(ENTRIES[0].outcome, findings=(soft,)))
    assert closing_lines([warned], ExitCode.DONE) == ["1 entry: 1 to look at"]


KINDS = (MarkKind.SPECK, MarkKind.LINE, MarkKind.STREAK, MarkKind.LOST_EDGE, MarkKind.CLIPPED)
EVERYTHING = "1 speck, 1 hair or scratch, 1 streak, 1 lost edge, bare areas, blocked areas"


def test_in_a_file_all_marks_are_stated_whatever_the_width() -> None:
    plan = plan_entry(a_job(), an_entry(title=LONG), facts())
    marks = [replace(a_speck(9, 30), kind=kind) for kind in (*KINDS, MarkKind.BLOCKED)]
    outcome = Outcome(plan.entry, Status.MET, (), plan)
    entry = InspectedEntry(outcome, "stem", (looked_at(plan, *marks),))
    (cut,), (whole,) = (look_table([entry], 100, is_cut=c)[1] for c in (True, False))
    assert EVERYTHING in str(whole)
    assert EVERYTHING not in str(cut)
    assert "…" in str(cut).partition("1 speck")[2]
