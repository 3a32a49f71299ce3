"""The proof sheet as values: all that must stand on it, and nothing over anything else.

What it must show comes from the user's own list; layouts have no outside source.
"""

import datetime
import re
import unicodedata
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import pytest

from proofs import __version__
from proofs.findings import Finding, Severity, Status
from proofs.lengths import inches, millimetres
from proofs.pages.drawing import Line, Page, Placed
from proofs.pages.flow import PageLayout
from proofs.pages.proof_sheet.sheet import ON_DENSITY, ON_RULES, proof_sheet
from proofs.pages.typography import HAIR
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job
from proofs.records.mounts import BevelKind
from proofs.records.page_sizes import PAGE_SIZES
from proofs.records.rules import BorderRule, Rules, VisibleRule
from tests.pages.marks_on_pages import measure, overlapping, points_of, texts_of, words_of
from tests.pages.outcomes import LONG_TITLE, an_outcome, in_trouble, planned, without_mockups
from tests.workbench import a_job, a_mount, a_reveal, facts, no_window, some_rules

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
PANORAMA, UPRIGHT = facts(6000, 1500), facts(2400, 3600)
MANY_STEPS = tuple(n / 100 for n in range(-30, 46, 3))
NINE_STEPS = tuple(n / 20 for n in range(-4, 5))


def pages_of(outcomes: Sequence[Outcome], job: Job = JOB, paper: str = "a4") -> tuple[Page, ...]:
    return proof_sheet(job, outcomes, PageLayout(paper, measure))


def stand_in_order(parts: Sequence[str], words: str) -> bool:
    """Whether all parts stand in the words, each behind the one before."""
    return re.search(".*".join(map(re.escape, parts)), words) is not None


def several(count: int) -> list[Outcome]:
    return [
        an_outcome(JOB, planned(JOB, number=str(n + 1), title=f"Picture {n + 1}"))
        for n in range(count)
    ]


REVEAL = a_job(mount=a_reveal(inches("1/4"), reveal_bottom=inches("3/8")), rules=RULES)
BARE = a_job(mount=no_window(), rules=RULES)
BLACK = a_job(mount=a_mount(mat_colour="black", bevel=BevelKind.REVERSE), rules=RULES)
LONG_CELLS: dict[str, Any] = {
    "number": "2026-A-0017-and-still-longer-than-that",
    "title": LONG_TITLE,
    "category": "People and places, section two of the open part " * 3,
}
MANY_NOTES = tuple(
    Finding(f"note-{n}", Severity.WARNING, f"something number {n} to be looked at " * 5)
    for n in range(12)
)
CASES = {
    "one": lambda: several(1),
    "seven": lambda: several(7),
    "sixty": lambda: several(60),
    "long cells": lambda: [an_outcome(JOB, planned(JOB, **LONG_CELLS))],
    "a word without end": lambda: [an_outcome(JOB, planned(JOB, title="x" * 900))],
    "one step": lambda: [an_outcome(JOB, planned(JOB, bracket=(0.0,), photo=UPRIGHT))],
    "two steps": lambda: [an_outcome(JOB, planned(JOB, bracket=(0.1,), photo=UPRIGHT))],
    "nine steps": lambda: [an_outcome(JOB, planned(JOB, bracket=NINE_STEPS))],
    "26 steps": lambda: [an_outcome(JOB, planned(JOB, bracket=MANY_STEPS, **LONG_CELLS))],
    "a panorama": lambda: [an_outcome(JOB, planned(JOB, "long 16 in", photo=PANORAMA))],
    "too small": lambda: [an_outcome(JOB, planned(JOB, "long 10 in"))],
    "too small upright": lambda: [an_outcome(JOB, planned(JOB, "long 3 in", photo=UPRIGHT))],
    "too large": lambda: [an_outcome(JOB, planned(JOB, "long 17 1/2 in", photo=UPRIGHT))],
    "larger than the board": lambda: [an_outcome(JOB, planned(JOB, "long 30 in"))],
    "paper seen": lambda: [an_outcome(REVEAL, planned(REVEAL))],
    "no window": lambda: [an_outcome(BARE, planned(BARE))],
    "black": lambda: [an_outcome(BLACK, planned(BLACK, "long 10 in"))],
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
}
cases = pytest.mark.parametrize("case", CASES)
papers = pytest.mark.parametrize("paper", PAGE_SIZES)


@papers
@cases
def test_nothing_leaves_the_page_and_nothing_lies_over_anything(case: str, paper: str) -> None:
    pages = pages_of(CASES[case](), paper=paper)
    assert [pair for page in pages for pair in overlapping(page)] == []
    outside = [
        point
        for page in pages
        for point in points_of(page)
        if not (30 <= point[0] <= page.width - 30 and 20 <= point[1] <= page.height - 20)
    ]
    assert outside == []


@papers
@cases
def test_nothing_reaches_into_the_foot_of_the_page(case: str, paper: str) -> None:
    pages = pages_of(CASES[case](), paper=paper)
    foot = next(text.y for text in texts_of(pages) if text.text == ON_DENSITY)
    lower = [
        text.text
        for text in texts_of(pages)
        if text.y > foot - 15 and not re.fullmatch(r"\d+ of \d+", text.text)
    ]
    assert set(lower) == {ON_DENSITY, ON_RULES}


@papers
def test_pages_measure_what_their_name_says(paper: str) -> None:
    # A4 595.276 x 841.890 pt (ISO 216); US Letter 8.5 x 11 in = 612 x 792 pt.
    expected = {"a4": (595.276, 841.890), "letter": (612.0, 792.0)}[paper]
    (page, *_) = pages_of(several(1), paper=paper)
    assert (page.width, page.height) == pytest.approx(expected, abs=0.001)


def test_every_page_tells_its_number_and_both_warnings() -> None:
    pages = pages_of(several(9))
    for_each = [{text.text for text in texts_of([page])} for page in pages]
    wanted = [{f"{n} of {len(pages)}", ON_DENSITY, ON_RULES} for n in range(1, len(pages) + 1)]
    assert len(pages) > 3
    assert all(want <= there for want, there in zip(wanted, for_each, strict=True))


@pytest.mark.parametrize(
    "title",
    [LONG_TITLE, "<b>Salt</b> & “pepper”", "Ночной берег", "Άνεμος", "Buổi sáng", "e\u0301"],
)
def test_a_title_stands_whole_on_the_sheet(title: str) -> None:
    words = words_of(pages_of([an_outcome(JOB, planned(JOB, title=title))]))
    assert unicodedata.normalize("NFC", title) in unicodedata.normalize("NFC", words)


def test_three_hundred_entries_all_stand_there_in_their_order() -> None:
    titles = [t.text for t in texts_of(pages_of(several(300))) if t.text.startswith("Picture ")]
    assert titles == [f"Picture {n + 1}" for n in range(300)]


def test_an_entry_tells_its_parts_in_the_order_of_their_weight() -> None:
    plan = planned(JOB, "12x8 in", number="17", category="Open", chosen=0.1)
    words = words_of(pages_of([an_outcome(JOB, plan)]))
    parts = [
        *("Met", "Longest visible side", "17", "Old pier", "Open", "−0.10 D", "+0.10 D; chosen"),
        *("Visible size, measured", "11 3/4 × 7 3/4 in", "29.85 × 19.69 cm"),
        *("longest at least 10 in", "By ruler", "Overlap", "1/8 in (3.18 mm) on each side"),
        *("tolerances leave", "Image"),
        *("12 × 8 in", "Paper sheet", "16 × 12 in", "Borders at the face", "4.07 in", "Thickness"),
    ]
    assert stand_in_order(parts, words)


def test_the_visible_size_is_the_files_own_and_else_as_planned() -> None:
    printed, broken = planned(JOB, "12x8 in"), planned(JOB, "9x6 in")
    assert "Visible size, measured in the print file" in words_of(
        pages_of([an_outcome(JOB, printed)])
    )
    words = words_of(pages_of([an_outcome(JOB, broken)]))
    assert "Visible size, as planned" in words
    assert "measured" not in words


def test_a_broken_entry_is_not_printed_and_what_it_needs_is_drawn_to_scale() -> None:
    # By hand: 10 in on a board drawn at 1:12 are 60 pt.
    pages = pages_of([an_outcome(JOB, planned(JOB, "long 10 in"))])
    words = words_of(pages)
    assert "Breaks a rule not printed" in words
    assert "1 in on this page = 12 in of board" in words
    assert "at least 10 in (25.4 cm)" in words
    lengths = [m.end[0] - m.start[0] for p in pages for m in p.marks if isinstance(m, Line)]
    assert [length for length in lengths if abs(length - 60) < 0.001]


def test_an_entry_that_is_met_has_nothing_drawn_over_its_mounts() -> None:
    pages = pages_of([an_outcome(JOB, planned(JOB))])
    placed = [m for page in pages for m in page.marks if isinstance(m, Placed)]
    inside = [
        mark
        for page in pages
        for mark in page.marks
        if isinstance(mark, Line) and placed[0].y < mark.start[1] < placed[0].y + placed[0].height
    ]
    assert inside == []


def test_a_border_too_narrow_is_marked_with_what_is_asked() -> None:
    words = words_of(pages_of([an_outcome(JOB, planned(JOB, "long 17 1/2 in"))]))
    assert "Narrowest border at the face" in words
    assert words.count("at least 2 in (5.08 cm)") == 2


def test_every_step_is_drawn_on_its_mount_at_one_scale() -> None:
    plan = planned(JOB, bracket=NINE_STEPS)
    pages = pages_of([an_outcome(JOB, plan)])
    placed = [m for page in pages for m in page.marks if isinstance(m, Placed)]
    assert [p.name[-5] for p in placed] == list("ABCDEFGHI")
    assert len({(p.width, p.height) for p in placed}) == 1


def test_entries_in_trouble_come_first_with_reason_and_remedy() -> None:
    lost = in_trouble(
        "8", Status.NOT_UNDERSTOOD, "line 7, size: '12 by' is no size", "write '12x8 in'"
    )
    words = words_of(pages_of([*several(1), lost]))
    parts = ["To fix first", "Row not understood", "'12 by' is no size", "write '12x8 in'", "Lost"]
    assert stand_in_order([*parts, "Picture 1"], words)


def test_rules_stand_there_with_edition_date_and_all_reminders() -> None:
    many = tuple(f"Reminder number {n} that goes on for a while" for n in range(80))
    rules: Rules = some_rules(title="Spring prints", edition="third", reminders=many)
    words = words_of(pages_of(several(1), job=a_job(rules=rules)))
    assert all(reminder in words for reminder in many)
    assert "Spring prints Edition Third; reading date unknown" in words
    assert "read on 2 March 2026" in words_of(pages_of(several(1)))


def test_without_rules_the_sheet_says_so() -> None:
    job = a_job()
    words = words_of(pages_of([an_outcome(job, planned(job))], job=job))
    assert "No rules were checked." in words


def test_every_step_says_what_it_reached_and_what_it_lost() -> None:
    words = words_of(pages_of([an_outcome(JOB, planned(JOB))]))
    assert "reached +0.098; blocked 7.1 %, bare 0.4 %" in words


def test_an_undecided_entry_says_which_step_was_printed() -> None:
    assert "0 D; printed, undecided" in words_of(pages_of(several(1)))
    chosen = an_outcome(JOB, planned(JOB, chosen="A"))
    assert "undecided" not in words_of(pages_of([chosen]))


def plots_of(pages: Sequence[Page]) -> list[list[Line]]:
    """The lines of every plot of curves: those of the ink that slope, split where each starts."""
    sloping = [
        mark
        for page in pages
        for mark in page.marks
        if isinstance(mark, Line) and mark.start[0] < mark.end[0] and mark.start[1] > mark.end[1]
    ]
    starts = [n for n, m in enumerate(sloping) if m.colour == HAIR]
    return [sloping[a:b] for a, b in pairwise([*starts, len(sloping)])]


def test_the_curves_of_a_bracket_stand_once_for_all_that_compare_it() -> None:
    brackets = [(0.0, 0.1), (0.0, 0.1), (-0.1, 0.0)]
    outcomes = [
        an_outcome(JOB, planned(JOB, number=str(n), bracket=steps))
        for n, steps in enumerate(brackets, 1)
    ]
    pages = pages_of(outcomes)
    assert len(plots_of(pages)) == 2
    words = words_of(pages)
    assert stand_in_order(["A 0, B +0.10", "entries 1, 2", "A −0.10, B 0", "entry 3"], words)
    assert "A −0.10, B 0, C +0.10, D +0.20 all entries" in words_of(pages_of(several(2)))


def test_a_curve_takes_mid_grey_to_the_density_asked() -> None:
    # L* 50 and +0.10 D: Y 0.18419 x 10^-0.1 = 0.14631, L* 45.12 (colour-science).
    (plot,) = plots_of(pages_of([an_outcome(JOB, planned(JOB, bracket=(0.0, 0.1)))]))
    diagonal, *curves = plot
    (left, foot), (right, top) = diagonal.start, diagonal.end
    middle = (left + right) / 2
    out = [(foot - c.end[1]) / (foot - top) for c in curves if abs(c.end[0] - middle) < 0.01]
    assert out == pytest.approx([0.5, 0.4512], abs=0.0001)


def test_a_picture_as_it_is_needs_no_curve() -> None:
    assert plots_of(pages_of([an_outcome(JOB, planned(JOB, bracket=(0.0,)))])) == []


@papers
@pytest.mark.parametrize("count", range(1, 8))
def test_the_reminders_stand_together_where_a_page_can_hold_them(count: int, paper: str) -> None:
    pages = pages_of(several(count), paper=paper)
    (page,) = [page for page in pages if "Rules and reminders" in words_of([page])]
    assert f"proofs {__version__}" in words_of([page])
