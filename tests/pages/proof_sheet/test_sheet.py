"""The proof sheet as values: all that must stand on it, and nothing over anything else.

What it must show comes from the user's own list; layouts have no outside source.
"""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest

from proofs import __version__
from proofs.findings import Status
from proofs.lengths import inches
from proofs.pages.drawing import Anchor, Line, Link, Page, Placed
from proofs.pages.flow import PageLayout
from proofs.pages.proof_sheet.sheet import ON_DENSITY, ON_RULES, proof_sheet
from proofs.pages.typography import HAIR
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job
from proofs.records.mounts import Mount
from proofs.records.page_sizes import PAGE_SIZES
from proofs.records.rules import Rules
from tests.pages.marks_on_pages import measure, overlapping, points_of, texts_of, words_of
from tests.pages.outcomes import LONG_TITLE, an_outcome, in_trouble, planned
from tests.pages.proof_sheet.cases import (
    CASES,
    JOB,
    METRIC,
    NINE_STEPS,
    several,
    together,
    with_steps,
)
from tests.workbench import a_job, a_mount, a_reveal, some_rules


def pages_of(
    outcomes: Sequence[Outcome], job: Job = JOB, paper: str = "a4", *, compact: bool = False
) -> tuple[Page, ...]:
    return proof_sheet(job, outcomes, PageLayout(paper, measure), compact=compact)


def stand_in_order(parts: Sequence[str], words: str) -> bool:
    """Whether all parts stand in the words, each behind the one before."""
    return re.search(".*".join(map(re.escape, parts)), words) is not None


cases = pytest.mark.parametrize("case", CASES)
papers = pytest.mark.parametrize("paper", PAGE_SIZES)
compactness = pytest.mark.parametrize("compact", [False, True])


@papers
@compactness
@cases
def test_nothing_leaves_the_page_and_nothing_lies_over_anything(
    case: str, paper: str, compact: bool
) -> None:
    pages = pages_of(CASES[case](), paper=paper, compact=compact)
    assert [pair for page in pages for pair in overlapping(page)] == []
    outside = [
        point
        for page in pages
        for point in points_of(page)
        if not (30 <= point[0] <= page.width - 30 and 20 <= point[1] <= page.height - 20)
    ]
    assert outside == []


@papers
@compactness
@cases
def test_nothing_reaches_into_the_foot_of_the_page(case: str, paper: str, compact: bool) -> None:
    pages = pages_of(CASES[case](), paper=paper, compact=compact)
    foot = next(text.y for text in texts_of(pages) if text.text == ON_DENSITY)
    lower = [
        text.text
        for text in texts_of(pages)
        if text.y > foot - 12 and not re.fullmatch(r"\d+ of \d+", text.text)
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


def test_three_hundred_entries_all_have_a_row_and_a_page_in_their_order() -> None:
    titles = [t.text for t in texts_of(pages_of(several(300))) if t.text.startswith("Picture ")]
    assert titles == [f"Picture {n + 1}" for n in range(300)] * 2


@pytest.mark.parametrize(
    ("mount", "size", "words"),
    [
        (a_mount(), "opening 11 3/4 x 7 3/4 in", "1/8 in (3.18 mm) on each side"),
        # 13 x 8 2/3 in inside 13 1/2 x 10 1/2 in, 11/12 in above and below, 0.92 in.
        (
            a_reveal(inches("1/4")),
            "opening 13 1/2 x 10 1/2 in",
            "0.92 in (2.33 cm) at top and bottom, 1/4 in (6.35 mm) at the sides",
        ),
        # 9 5/8 in are left for 8 2/3 in; half of the rest, 0.479 in, goes above: 0.73 in there.
        (
            a_reveal(inches("1/4"), reveal_bottom=inches("5/8")),
            "opening 13 1/2 x 10 1/2 in",
            "0.73 in (1.85 cm) at the top, 1/4 in (6.35 mm) at the sides, 1.1 in (2.8 cm) at the",
        ),
        (a_reveal(inches("1/4")), "long 12 in", "1/4 in (6.35 mm) on each side"),
    ],
)
def test_the_page_of_an_entry_states_overlap_or_paper(mount: Mount, size: str, words: str) -> None:
    job = replace(JOB, mounts=(mount,))
    page = pages_of([an_outcome(job, planned(job, size))])[1]
    assert words in words_of([page])


def test_an_entry_tells_its_parts_in_the_order_of_their_weight() -> None:
    plan = planned(JOB, "12x8 in", number="17", category="Open", chosen=0.1)
    (page,) = pages_of([an_outcome(JOB, plan)])[1:]
    parts = [
        *("17", "Old pier", "Open", "Visible size, measured in the print file"),
        *("11 3/4 × 7 3/4 in", "29.85 × 19.7 cm", "Longest visible side", "at least 10 in"),
        *("Met", "A", "−0.10 D", "+0.10 D", "chosen", "1:8", "by the ruler", "Chosen under"),
        *("Image", "12 × 8 in", "Overlap", "1/8 in (3.18 mm) on each side", "tolerances leave"),
        *("Sheet", "16 × 12 in"),
    ]
    assert stand_in_order(parts, words_of([page]))


def test_the_visible_size_is_the_files_own_and_else_as_planned() -> None:
    printed, broken = planned(JOB, "12x8 in"), planned(JOB, "9x6 in")
    assert "Visible size, measured in the print file" in words_of(
        pages_of([an_outcome(JOB, printed)])
    )
    words = words_of(pages_of([an_outcome(JOB, broken)]))
    assert "Visible size, as planned" in words
    assert "measured" not in words


def test_a_broken_entry_is_not_printed_and_what_it_needs_is_drawn_to_scale() -> None:
    # By hand: 10 in on a board drawn at 1:8 are 90 pt.
    pages = pages_of([an_outcome(JOB, planned(JOB, "long 10 in"))])
    words = words_of(pages)
    assert "Breaks a rule, not printed" in words
    assert "1:8" in words
    assert "at least 10 in (25.4 cm)" in words
    lengths = [m.end[0] - m.start[0] for p in pages for m in p.marks if isinstance(m, Line)]
    assert [length for length in lengths if abs(length - 90) < 0.001]


def test_a_border_too_narrow_is_marked_with_what_is_asked() -> None:
    words = words_of(pages_of([an_outcome(JOB, planned(JOB, "long 17 1/2 in"))]))
    assert "Narrowest border at the face" in words
    assert words.count("at least 2 in (5.08 cm)") == 1


def grid_of(page: Page) -> list[Placed]:
    """The pictures of the steps: the largest of a page, each once."""
    placed = [m for m in page.marks if isinstance(m, Placed) and "life" not in m.name]
    largest = max(p.width for p in placed)
    return [p for p in placed if p.width > largest - 0.01]


def test_every_step_is_shown_at_one_size() -> None:
    plan = planned(JOB, bracket=NINE_STEPS)
    grid = grid_of(pages_of([an_outcome(JOB, plan)])[1])
    assert [p.name[2] for p in grid] == list("ABCDEFGHI")
    assert len({(p.width, p.height) for p in grid}) == 1


@papers
@cases
def test_no_text_is_smaller_than_a_caption(case: str, paper: str) -> None:
    # The user's own sizes: body text at least 9 pt, captions 7.5 pt.
    sizes = {text.size for text in texts_of(pages_of(CASES[case](), paper=paper))}
    assert {size for size in sizes if size < 7.5} == set()
    assert {size for size in sizes if 7.5 < size < 9} == set()


@papers
@compactness
@cases
def test_every_page_but_the_last_is_filled(case: str, paper: str, compact: bool) -> None:
    pages = pages_of(CASES[case](), paper=paper, compact=compact)
    assert [filled(page) for page in pages[:-1] if filled(page) < 0.75] == []


def filled(page: Page) -> float:
    """How far down its type area the marks of a page reach; both warnings are below it."""
    top, bottom = 48.0, page.height - 54.0
    return (max(y for _, y in points_of(page) if y <= bottom + 0.1) - top) / (bottom - top)


def test_the_visible_size_is_the_largest_figure_of_its_page() -> None:
    (page,) = pages_of(several(1))[1:]
    sizes = {text.text: text.size for text in texts_of([page])}
    assert sizes["11 3/4 × 7 3/4 in"] == max(sizes.values()) >= 14
    assert sizes["29.85 × 19.7 cm"] >= 14
    table = texts_of(pages_of(several(7))[:1])
    assert {text.size for text in table if text.text.startswith("11 3/4 ×")} == {11}


def test_the_unit_of_the_rules_comes_first() -> None:
    outcome = an_outcome(METRIC, planned(METRIC, "30x20 cm"))
    (page,) = pages_of([outcome], job=METRIC)[1:]
    sizes = {text.text: text.size for text in texts_of([page])}
    assert sizes["29.35 × 19.35 cm"] > sizes["11 9/16 × 7 5/8 in"]
    assert "at least 25 cm" in sizes


def test_the_parts_at_life_size_are_all_of_one_size_and_in_one_row() -> None:
    # The user's own sizes: 40 x 30 mm with four steps, 32 x 24 mm with five.
    (four,) = pages_of(with_steps(4))[1:]
    (five,) = pages_of(with_steps(5))[1:]
    assert sizes_of_parts(four) == {(40.0, 30.0)}
    assert sizes_of_parts(five) == {(32.0, 24.0)}
    assert len({part.y for part in parts_of(five)}) == 1
    assert len(parts_of(five)) == 5


def parts_of(page: Page) -> list[Placed]:
    return [m for m in page.marks if isinstance(m, Placed) and "life" in m.name]


def sizes_of_parts(page: Page) -> set[tuple[float, float]]:
    mm = 25.4 / 72
    return {(round(p.width * mm, 3), round(p.height * mm, 3)) for p in parts_of(page)}


def test_a_compact_page_has_two_entries_without_parts_and_without_mounts() -> None:
    pages = pages_of(several(4), compact=True)
    assert [len(parts_of(page)) for page in pages] == [0, 0, 0, 0]  # the last is the hang
    assert all("1:8" not in words_of([page]) for page in pages[1:])
    assert stand_in_order(["Picture 1", "Picture 2"], words_of(pages[1:2]))


def test_what_needs_a_decision_comes_first_in_the_table() -> None:
    broken = an_outcome(JOB, planned(JOB, "long 9 in", number="7", title="Short"))
    (table, *_) = pages_of([*several(2), broken])
    parts = ["Short", "Breaks a rule, not printed", "size: long", "Picture 1", "choose a step"]
    assert stand_in_order([*parts, "Picture 2"], words_of([table]))


def test_the_head_of_the_table_is_repeated() -> None:
    pages = pages_of(several(31))
    tables = [page for page in pages if "Against the limit" in words_of([page])]
    assert len(tables) > 1
    assert all("To do" in words_of([page]) for page in tables)


def test_every_row_with_a_page_links_to_it() -> None:
    pages = pages_of(several(3))
    links = [m.target for m in pages[0].marks if isinstance(m, Link)]
    anchors = [m.name for page in pages[1:-1] for m in page.marks if isinstance(m, Anchor)]
    assert links == anchors == ["entry-1", "entry-2", "entry-3"]


def test_there_is_room_for_the_reading_of_each_picture() -> None:
    (page,) = pages_of(together(4, "grid 2x2"))[1:]
    words = words_of([page])
    assert stand_in_order([f"picture {n}" for n in range(1, 5)], words)
    assert words.count("×") >= 4


def test_entries_in_trouble_come_first_with_reason_and_remedy() -> None:
    lost = in_trouble(
        "8", Status.NOT_UNDERSTOOD, "line 7, size: '12 by' is no size", "write '12x8 in'"
    )
    words = words_of(pages_of([*several(1), lost]))
    parts = ["Lost 8", "Row not understood", "'12 by' is no size", "'12x8 in'", "lost.jpg"]
    assert stand_in_order([*parts, "Picture 1"], words)


def test_findings_without_room_stand_at_the_end() -> None:
    pages = pages_of(CASES["much to note"]())
    words = words_of(pages)
    assert "More findings" in words_of(pages[2:])
    assert all(f"omething number {n} to be looked at" in words for n in range(12))


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


def test_shares_of_lost_shadow_stand_there_only_if_they_change() -> None:
    alike, rising = with_steps(1), with_steps(3)
    assert "shadow lost" not in words_of(pages_of(alike))
    words = words_of(pages_of(rising))
    assert "7.1 % shadow lost" in words
    assert "bare paper" not in words
    assert "9.1 % shadow lost" in words


def test_an_undecided_entry_says_which_step_was_printed() -> None:
    assert "printed, undecided" in words_of(pages_of(several(1)))
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
