"""The bench's pages as values: all that must stand on them, and nothing over anything else.

What they must show comes from the user's own list; layouts have no outside source.
"""

import datetime
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal

import pytest

from proofs.findings import Status
from proofs.lengths import ZERO, inches, millimetres
from proofs.measures import read_size
from proofs.pages.bench.left_out import left_out_words
from proofs.pages.bench.materials import material_parts
from proofs.pages.bench.mounting import mounting_parts
from proofs.pages.bench.packing import last_look_parts, log_parts, packing_parts
from proofs.pages.bench.timetable import timetable_parts
from proofs.pages.drawing import Page, Shape, Text
from proofs.pages.flow import PageLayout, section
from proofs.pages.typography import ACCENT
from proofs.plan.bench.materials import MaterialList, materials
from proofs.plan.bench.mounting import Mounting, mounting
from proofs.plan.bench.packing import PackedMount, Parcel, packed_mount, parcel_of
from proofs.plan.bench.timetable import Schedule, scheduled
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.page_sizes import PAGE_SIZES
from proofs.records.shelf import ShelfBoard, ShelfKind
from proofs.records.timetables import WorkDays
from tests.pages.marks_on_pages import box_of, measure, overlapping, points_of, words_of
from tests.pages.outcomes import LONG_TITLE, an_outcome, in_trouble, planned
from tests.workbench import (
    BOARD,
    SHIPPED,
    a_job,
    a_mount,
    a_reveal,
    an_entry,
    facts,
    no_window,
    some_rules,
)

MOUNTS = (
    a_mount(name="mat"),
    no_window(name="bare"),
    a_reveal(inches("1/4"), name="reveal"),
    a_mount(name="black", mat_colour="black", core_colour="black", backing=millimetres(3)),
)
JOB = a_job(mounts=MOUNTS, rules=some_rules(title="Spring prints", thickness_most=millimetres(6)))
NAME = "Prints of everything that hangs on a wall and has a very long name indeed " * 4
STAMP = "Planned: measure the print first"
SIZES = ("long 10 in", "long 12 in", "long 15 in", "long 9 in", "long 14 in")
STOCK = SHIPPED.stock("32x40-in")
MARKS = marks_of(JOB)
SCHEDULE = scheduled(SHIPPED.timetable("usual"), datetime.date(2026, 10, 18))
LATE = datetime.date(2026, 9, 20)


def plans(count: int, title: str = LONG_TITLE) -> list[Plan]:
    """Return plans of every kind of mount, by turns."""
    return [
        planned(
            JOB,
            SIZES[n % len(SIZES)],
            photo=facts(2400, 3600) if n % 3 else facts(),
            number=f"2026-A-{n + 1:04}",
            title=f"{title} {n}",
            mount=MOUNTS[n % len(MOUNTS)].name,
        )
        for n in range(count)
    ]


def parcels(count: int, title: str = LONG_TITLE) -> list[PackedMount]:
    return [packed_mount(mounting(JOB, plan)) for plan in plans(count, title)]


def material_pages(found: MaterialList, marks: Marks, layout: PageLayout) -> tuple[Page, ...]:
    return layout.pages(section("Material list", material_parts(found, marks, layout)))


def mounting_pages(found: Sequence[Mounting], layout: PageLayout) -> tuple[Page, ...]:
    return layout.pages(section("Mounting plan", mounting_parts(found, layout.setter)))


def packing_pages(parcel: Parcel, layout: PageLayout) -> tuple[Page, ...]:
    return layout.pages(section("Packing list", packing_parts(parcel, layout.name, layout.setter)))


def timetable_pages(
    schedule: Schedule, today: datetime.date, layout: PageLayout
) -> tuple[Page, ...]:
    return layout.pages(section("Timetable", timetable_parts(schedule, today, layout)))


def material(count: int, paper: str) -> tuple[Page, ...]:
    return material_pages(materials(plans(count), STOCK), MARKS, PageLayout(paper, measure, NAME))


def mounting_plan(count: int, paper: str) -> tuple[Page, ...]:
    found = [mounting(JOB, plan) for plan in plans(count)]
    return mounting_pages(found, PageLayout(paper, measure, NAME, STAMP))


def last_look(count: int, paper: str) -> tuple[Page, ...]:
    layout = PageLayout(paper, measure, NAME)
    return layout.pages(section("Last look", last_look_parts(parcels(count), layout.setter)))


def packing(count: int, paper: str) -> tuple[Page, ...]:
    return packing_pages(parcel_of(parcels(count)), PageLayout(paper, measure, NAME))


def log(count: int, paper: str) -> tuple[Page, ...]:
    layout = PageLayout(paper, measure, NAME)
    return layout.pages(section("Print log", log_parts(parcels(count), layout.setter)))


def dates(count: int, paper: str) -> tuple[Page, ...]:
    today = LATE + datetime.timedelta(days=count)
    return timetable_pages(SCHEDULE, today, PageLayout(paper, measure, NAME))


MAKERS: tuple[Callable[[int, str], tuple[Page, ...]], ...] = (
    *(material, mounting_plan, last_look, packing, log, dates),
)
makers = pytest.mark.parametrize("made", MAKERS, ids=lambda made: str(made.__name__))
papers = pytest.mark.parametrize("paper", PAGE_SIZES)


@papers
@pytest.mark.parametrize("count", [1, 7, 60])
@makers
def test_nothing_leaves_the_page_and_nothing_lies_over_anything(
    made: Callable[[int, str], tuple[Page, ...]], count: int, paper: str
) -> None:
    pages = made(count, paper)
    outside = [
        (x, y)
        for page in pages
        for x, y in points_of(page)
        if not (0 <= x <= page.width and 0 <= y <= page.height)
    ]
    assert outside == []
    assert [pair for page in pages for pair in overlapping(page)] == []


@makers
def test_every_page_names_its_list_and_its_number(
    made: Callable[[int, str], tuple[Page, ...]],
) -> None:
    pages = made(60, "a4")
    counts = [f"{n} of {len(pages)}" for n in range(1, len(pages) + 1)]
    assert [next(c for c in counts if c in texts(page)) for page in pages] == counts


@pytest.mark.parametrize("made", [mounting_plan, last_look, packing, log])
def test_every_entry_stands_on_the_page(made: Callable[[int, str], tuple[Page, ...]]) -> None:
    numbers = [f"2026-A-{n + 1:04}" for n in range(60)]
    said = words_of(made(60, "letter")).replace("- ", "-")
    assert [number for number in numbers if number not in said] == []


def texts(page: Page) -> list[str]:
    return [mark.text for mark in page.marks if isinstance(mark, Text)]


def test_the_head_of_a_table_comes_again_on_every_page() -> None:
    assert all("ruler" in texts(page) for page in last_look(60, "a4"))


def test_the_stamp_stands_on_every_page_of_the_mounting_plan() -> None:
    pages = mounting_plan(60, "a4")
    assert len(pages) > 1
    assert all(STAMP in texts(page) for page in pages)


def test_nothing_stands_level_with_the_stamp() -> None:
    pages = mounting_plan(60, "letter")
    frames = [
        max(y for m in page.marks if isinstance(m, Shape) and m.fill == ACCENT for _, y in m.points)
        for page in pages
    ]
    highest = [
        min(box_of(m)[1] for m in page.marks if isinstance(m, Text) and m.text != STAMP)
        for page in pages
    ]
    assert [top for top, below in zip(highest, frames, strict=True) if top < below + 4] == []


def test_the_material_list_says_what_to_buy_and_what_a_clean_sheet_would_save() -> None:
    two = [planned(a_job(), number=str(n)) for n in range(3)]
    said = words_of(material_pages(materials(two, STOCK), MARKS, PageLayout("a4", measure)))
    assert said.count("2 sheets") == 2
    assert said.count("1 would do if the sheets are clean and square") == 2
    assert said.count("spare") > 2


LARGE, SMALL = read_size("40x60 in"), read_size("20x32 in")
PRICED = replace(
    STOCK,
    further=(LARGE, SMALL),
    mat_prices=((STOCK.sheet, Decimal("9.80")), (LARGE, Decimal(30)), (SMALL, Decimal("5.50"))),
    currency="crowns",
)
WHITE = ShelfBoard(ShelfKind.BLANK, BOARD, millimetres("1.4"), count=2)


def test_the_material_list_says_what_the_shelf_gives_and_keeps() -> None:
    three = [planned(a_job(), number=str(n)) for n in range(1, 4)]
    mat = replace(WHITE, kind=ShelfKind.READY_CUT, opening=read_size("8x10 in"), count=4)
    found = materials(three, STOCK, [WHITE, mat])
    said = words_of(material_pages(found, MARKS, PageLayout("a4", measure)))
    assert "2 blank mats 16 × 20 in: entries 1, 2" in said
    assert "What will be left on the shelf" in said
    assert "Blank mat 16 × 20 in white, white core, 4-ply (1.4 mm) 2 0" in said
    assert (
        "Ready-cut mat 16 × 20 in, opening 8 × 10 in white, white core, 4-ply (1.4 mm) 4 4" in said
    )


def test_the_material_list_says_which_sheets_are_bought_and_what_they_cost() -> None:
    # By hand: two mats and a spare are 16 x 20 in: one sheet of 32 x 40 in without its edges holds
    # two of them, one of 20 x 32 in one. 9.80 and 5.50 are less than three times 5.50, and than
    # twice 9.80.
    two = [planned(a_job(), number=str(n)) for n in range(2)]
    said = words_of(material_pages(materials(two, PRICED), MARKS, PageLayout("a4", measure)))
    assert "1 sheet 32 × 40 in 1 sheet 20 × 32 in" in said
    assert "Sheets to buy: 15.30 crowns, besides backings, which have no price" in said


@papers
def test_nothing_overlaps_on_a_material_list_with_a_long_shelf(paper: str) -> None:
    shelf = [replace(WHITE, size=read_size(f"{n}x{n + 4} in"), line=n) for n in range(12, 50)]
    layout = PageLayout(paper, measure, NAME)
    pages = material_pages(materials(plans(40), PRICED, shelf), MARKS, layout)
    assert len(pages) > 1
    assert [pair for page in pages for pair in overlapping(page)] == []


def test_the_material_list_gives_sizes_on_the_cutters_marks_in_both_units() -> None:
    # Arithmetic: 8 1/32 in is 203.99 mm.
    plan = planned(a_job(mount=a_mount(board=read_size("8 1/32 x 10 in"))), "long 5 in")
    said = words_of(material_pages(materials([plan], STOCK), MARKS, PageLayout("a4", measure)))
    assert "2 of 8 1/32 × 10 in (203.99 × 254 mm)" in said


def test_the_material_list_shows_every_piece_once_on_its_drawing() -> None:
    two = [planned(a_job(), number=f"no. {n}") for n in range(3)]
    (page,) = material_pages(materials(two, STOCK), MARKS, PageLayout("a4", measure))
    assert [texts(page).count(f"no. {n}") for n in range(3)] == [2, 2, 2]


def test_pieces_that_no_sheet_holds_are_told_by_their_entries() -> None:
    found = materials(
        [planned(a_job(), number="no.8")], replace(STOCK, sheet=read_size("12x16 in"))
    )
    said = words_of(material_pages(found, MARKS, PageLayout("a4", measure)))
    told = "2 pieces are too large for this stock; find larger sheets: entry no.8, spare"
    assert said.count(told) == 2


def test_a_board_as_large_as_its_stock_is_cut_only_from_a_clean_and_square_sheet() -> None:
    plan = planned(a_job())
    small = replace(STOCK, sheet=BOARD)
    said = words_of(material_pages(materials([plan], small), MARKS, PageLayout("a4", measure)))
    assert "too large" not in said
    assert said.count("factory edge, if the sheets are clean and square: entry 1, spare") == 2
    whole = materials([plan], replace(small, edge=ZERO))
    said = words_of(material_pages(whole, MARKS, PageLayout("a4", measure)))
    assert "too large" not in said
    assert "used up to the factory edges, if the sheets are clean and square" in said


@pytest.mark.parametrize(
    ("made", "caution"),
    [
        (material, "cut away from your body"),
        (material, "toolmaker's instructions and your local rules come first"),
        (mounting_plan, "presses and irons burn"),
        (mounting_plan, "Spray adhesive is very flammable"),
        (mounting_plan, "your local rules come first"),
        (mounting_plan, "fingers behind its guard"),
        (mounting_plan, "toolmaker's instructions and your local rules come first"),
        (packing, "lift close to your body"),
    ],
)
def test_a_caution_stands_where_the_step_is(
    made: Callable[[int, str], tuple[Page, ...]], caution: str
) -> None:
    # Cautions follow published guidance for knives, spray adhesives and lifting, in other words.
    assert caution in words_of(made(7, "a4"))


def test_the_rules_of_the_exhibition_win_over_the_plan() -> None:
    assert "rules of the exhibition in hand always win" in words_of(mounting_plan(1, "a4"))
    assert "rules of the exhibition in hand always win" in words_of(packing(1, "a4"))
    assert "rules of the exhibition in hand always win" in words_of(dates(1, "a4"))


@papers
def test_the_entries_left_out_are_named_at_the_foot_of_every_page(paper: str) -> None:
    words = "Entries left out: 3, 9 (print again); 4 (breaks a rule)"
    layout = PageLayout(paper, measure, NAME, STAMP, words)
    pages = mounting_pages([mounting(JOB, plan) for plan in plans(60)], layout)
    assert len(pages) > 1
    assert all(words in texts(page) for page in pages)
    assert [pair for page in pages for pair in overlapping(page)] == []


def test_entries_left_out_are_named_by_their_reasons() -> None:
    plan = planned(JOB)
    left = [
        in_trouble("8", Status.BROKEN, "too small", ""),
        replace(an_outcome(JOB, plan), entry=replace(plan.entry, number="3")),
        in_trouble("9", Status.BROKEN, "too small", ""),
        in_trouble("5", Status.UNREADABLE, "no picture", ""),
    ]
    words = "8, 9 (breaks a rule); 3 (print again); 5 (cannot be read)"
    assert left_out_words(left, ["3"]) == f"Entries left out: {words}"
    assert left_out_words([], []) == ""


def test_the_material_list_names_all_entries_left_out_however_many() -> None:
    words = f"Entries left out: {', '.join(map(str, range(100, 200)))} (print again)"
    layout = PageLayout("a4", measure, left_out=words)
    said = words_of(material_pages(materials(plans(1), STOCK), MARKS, layout))
    assert f"{words}." in said


def test_a_thickness_that_breaks_the_rules_is_told_with_its_remedy() -> None:
    # Arithmetic: 6 mm less a mat of 1.4 mm and a print of 0.27 mm leave 4.33 mm, 4.3 in tenths.
    said = words_of(mounting_plan(1, "a4"))
    assert "rules: at most 0.24 in (6 mm)" in said
    assert "a backing of at most 4.3 mm would do" in said


def test_prints_of_one_entry_that_are_held_alike_share_a_row() -> None:
    job = a_job()
    entry = an_entry("long 5 in", file="a.jpg | b.jpg | c.jpg", number="no.8")
    group = mounting(job, plan_entry(job, entry, facts(), facts(), facts()))
    (page,) = mounting_pages([group], PageLayout("a4", measure))
    assert texts(page).count("no.8") == 1


def test_prints_of_one_entry_that_are_held_differently_are_told_apart() -> None:
    job = a_job()
    entry = an_entry("long 5 in", file="a.jpg | b.jpg | c.jpg", number="no.8")
    plan = plan_entry(job, entry, facts(), facts(), facts())
    bare = replace(plan.parts[1], sheet=plan.layout.pictures[1].image.size)
    group = mounting(job, replace(plan, parts=(plan.parts[0], bare, plan.parts[2])))
    said = words_of(mounting_pages([group], PageLayout("a4", measure)))
    assert "(pictures 1, 3)" in said
    assert "(picture 2)" in said


@pytest.mark.parametrize(
    ("size", "sheet", "words"),
    # Arithmetic: half of what the sheet has more than the image, and 1/8 in that the mat overlaps.
    [
        ("12x8 in", "12.5x11 in", "3/8 in (9.53 mm) covered 1 5/8 in (4.13 cm) at the top"),
        ("12x8 in", "14x8.5 in", "1/4 in (6.35 mm) covered 3/8 in (9.53 mm) at the top"),
        (
            "14x10 in",
            "16x10.5 in",
            "1 1/4 in (3.18 cm) covered 3/8 in (9.53 mm) at top and bottom, 1 1/8 in (2.86 cm) at"
            " the sides",
        ),
        ("14x10 in", "15x11 in", "1 in (2.54 cm) covered 5/8 in (1.59 cm) on each side"),
        ("14x10 in", "14.25x10.25 in", "1/8 in (3.18 mm) covered 1/4 in (6.35 mm) at the strips"),
    ],
)
def test_the_paper_covered_is_that_of_the_side_where_the_hold_sits(
    size: str, sheet: str, words: str
) -> None:
    job = a_job()
    plan = planned(job, size, crop=size.partition(" ")[0])
    held = mounting(job, replace(plan, parts=(replace(plan.parts[0], sheet=read_size(sheet)),)))
    assert words in words_of(mounting_pages([held], PageLayout("a4", measure)))


def test_the_corners_in_the_table_keep_the_rule_above_it() -> None:
    # 3/8 in and 1 1/8 in are 1 1/2 in together: a leg of 1 1/4 in is shorter, though the mat covers
    # less than half of it on one side.
    said = words_of(mounting_plan(7, "a4"))
    assert "no longer than what the mat covers on both sides of the corner, added up" in said
    assert "half its leg" not in said


def test_the_window_is_joined_to_its_backing_before_a_print_is_made_fast() -> None:
    said = words_of(mounting_plan(7, "a4"))
    assert said.index("Hinge the mat") < said.index("Corners") < said.index("Dry-mounted")
    bare = mounting(JOB, planned(JOB, mount="bare"))
    assert "Hinge the mat" not in words_of(mounting_pages([bare], PageLayout("a4", measure)))


def test_a_heavy_stack_asks_for_two() -> None:
    light, heavy = (
        [PackedMount("1", "Old pier", BOARD, inches("1/4"), grams)] for grams in (500.0, 24_000.0)
    )
    asked = "two people, or two cases"
    assert asked not in words_of(packing_pages(parcel_of(light), PageLayout("a4", measure)))
    assert asked in words_of(packing_pages(parcel_of(heavy), PageLayout("a4", measure)))


@pytest.mark.parametrize(
    ("today", "said"),
    [
        (datetime.date(2026, 9, 4), "Late: test strip should have begun already, 1 day ago."),
        (LATE, "Late: test strip and prints should have begun already, the first 17 days ago."),
        (datetime.date(2026, 10, 17), "The last day of receipt, Fri 16 October 2026, has passed."),
    ],
)
def test_a_date_already_past_is_said_plainly(today: datetime.date, said: str) -> None:
    assert said in words_of(timetable_pages(SCHEDULE, today, PageLayout("a4", measure)))


HOLIDAYS = "Public holidays are not known and count as working days: name your country"


@pytest.mark.parametrize(
    ("week", "words"),
    [
        (WorkDays(), "Days not worked: Sat, Sun."),
        (WorkDays(frozenset({0, 1, 2, 3, 4, 5})), "Days not worked: Sun."),
        (WorkDays(frozenset(range(7))), "Days not worked: none."),
        # 28 September 2026 is a Monday, 3 October a Saturday; Christmas is after the closing date.
        (
            WorkDays(
                days_off=frozenset(
                    {
                        datetime.date(2026, 9, 28),
                        datetime.date(2026, 10, 3),
                        datetime.date(2026, 12, 25),
                    }
                )
            ),
            "Days not worked: Sat, Sun, Mon 28 September 2026.",
        ),
    ],
)
def test_the_timetable_names_the_days_not_worked(week: WorkDays, words: str) -> None:
    usual = replace(SHIPPED.timetable("usual"), work_days=week)
    made = scheduled(usual, datetime.date(2026, 10, 18))
    said = words_of(timetable_pages(made, LATE, PageLayout("a4", measure)))
    assert f"{words} {HOLIDAYS}" in said


def test_a_timetable_all_ahead_says_nothing_of_lateness() -> None:
    early = datetime.date(2026, 9, 3)
    said = words_of(timetable_pages(SCHEDULE, early, PageLayout("a4", measure)))
    assert "Late" not in said
    assert "late" not in said
    assert "receipt, not postmark" in said
    assert "received by Fri 16 October 2026" in said


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("in_a_row", [2, 3, 4, 5])
def test_a_blank_material_list_takes_the_same_room(paper: str, in_a_row: int) -> None:
    layout, found = PageLayout(paper, measure), materials(plans(31), STOCK)
    drawn, blank = (
        list(material_parts(found, MARKS, layout, in_a_row=in_a_row, is_drawn=is_drawn))
        for is_drawn in (True, False)
    )
    assert [part.block.height for part in drawn] == [part.block.height for part in blank]
    assert layout.filled(drawn) == layout.filled(blank)
    count = [sum(len(part.block.marks) for part in parts) for parts in (drawn, blank)]
    assert count[0] > 2 * count[1]
