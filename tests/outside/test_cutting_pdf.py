"""The cutting guide as a PDF, rendered by PDFium and measured, and turned over onto the front."""

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pytest
from numpy.typing import NDArray

from proofs.lengths import Length, Unit, inches, millimetres
from proofs.measures import read_size
from proofs.outside.fonts import load_fonts
from proofs.outside.ground import board_of
from proofs.outside.mockups import empty_mount, front_codes
from proofs.pages.cutting.all_cuts import all_cuts_parts
from proofs.pages.cutting.guide import KNIFE, TURN, cutting_guide, further_prints
from proofs.pages.cutting.mat_drawing import print_drawing
from proofs.pages.drawing import Shape
from proofs.pages.flow import Chapter, FlowPart, PageLayout, section
from proofs.pages.stamp import STAMP, stamp_words
from proofs.pages.typography import setter_for
from proofs.plan.cutting.mount_kinds import BenchEntry, MountKind, at_bench, mount_kinds
from proofs.plan.entry.board import Cut, Opening
from proofs.plan.entry.mockup import PX_PER_INCH, picture_pixels
from proofs.plan.entry.planning import plan_entry
from proofs.records.job import Job
from proofs.records.mounts import WindowKind, WindowPlacing
from proofs.records.page_sizes import PAGE_SIZES
from proofs.records.ruler_readings import RulerReading, by_print
from proofs.records.rules import VisibleRule
from tests.outside.pdf_bytes import bytes_of
from tests.pages.outcomes import LONG_TITLE
from tests.workbench import HAND, SHIPPED, a_job, a_mount, an_entry, facts, no_window, some_rules

FONTS = load_fonts()
DPI = 600
ON_PAGE_MM = 0.2  # what the user asks of a rendered page
LINE_MM = 1.1 * 25.4 / 72  # how wide a cut is drawn
TEN = some_rules(visible=VisibleRule(longest_least=inches(10)))
WEIGHTED = a_job(a_mount(placing=WindowPlacing.BOTTOM_WEIGHTED), TEN)
Codes = NDArray[np.uint8]


def benched(job: Job, number: int, *readings: RulerReading, **cells: Any) -> BenchEntry:
    size = cells.pop("size", "long 10 3/8 in")
    entry = an_entry(size, number=str(number), **cells)
    return at_bench(job, plan_entry(job, entry, facts(2000, 3000)), by_print(readings))


def off_centre() -> BenchEntry:
    """A bottom-weighted mount whose opening a ruler would find left of the middle as well."""
    plan = plan_entry(WEIGHTED, an_entry("long 10 3/8 in"), facts(2000, 3000))
    (picture,) = plan.layout.pictures
    moved = replace(
        picture,
        cuts=tuple(map(shifted, picture.cuts)),
        image=to_the_left(picture.image),
        sight=to_the_left(picture.sight),
    )
    return at_bench(WEIGHTED, replace(plan, layout=replace(plan.layout, pictures=(moved,))), {})


def shifted(cut: Cut) -> Cut:
    return Cut(to_the_left(cut.back), to_the_left(cut.face))


def to_the_left(edge: Opening) -> Opening:
    return replace(edge, place=replace(edge.place, x=edge.place.x - inches(2)))


def back_of(bench: BenchEntry) -> Opening:
    return bench.plan.layout.windows[0][0].back


def pdf_of(job: Job, benches: list[BenchEntry], paper: str = "a4") -> bytes:
    kinds = mount_kinds(benches)
    unmeasured = [bench.plan.entry.number for bench in benches if not bench.is_measured]
    stamp = stamp_words(unmeasured, len(benches), setter_for(paper, FONTS.width))
    layout = PageLayout(paper, FONTS.width, stamp=stamp)
    table = Chapter((*all_cuts(job, kinds, layout), *prints(job, kinds, layout)), stamp)
    chapters = [*cutting_guide(job, kinds, layout), table]
    pages = layout.chapters([chapter for chapter in chapters if chapter.parts])
    return bytes_of(pages, fonts=FONTS, picture_bytes=lambda _: b"", title="Mounting")


def all_cuts(job: Job, kinds: Sequence[MountKind], layout: PageLayout) -> list[FlowPart]:
    parts = all_cuts_parts(job, kinds, layout.setter)
    return section("All cuts", parts) if parts else []


def prints(job: Job, kinds: Sequence[MountKind], layout: PageLayout) -> list[FlowPart]:
    parts = further_prints(job, kinds, layout.setter)
    return section("Prints", parts) if parts else []


def texts_of(pdf: bytes) -> list[str]:
    document = pdfium.PdfDocument(pdf)
    pages = (document[n].get_textpage().get_text_bounded() for n in range(len(document)))
    return [" ".join(page.split()) for page in pages]


def scale_of(bench: BenchEntry) -> float:
    """The scale that the page of an entry states, 1 to this number."""
    (text, _) = texts_of(pdf_of(WEIGHTED, [bench]))
    (scale,) = re.findall(r"1 : (\d+(?:\.\d)?) ·", text)
    return float(scale)


@cache
def page_of_off_centre() -> Codes:
    page = pdfium.PdfDocument(pdf_of(WEIGHTED, [off_centre()]))[0]
    return np.asarray(page.render(scale=DPI / 72, grayscale=True).to_numpy())


def board_on(page: Codes) -> tuple[int, int, int, int]:
    """Left, top, right and bottom of the drawn mat: nothing else is as high."""
    inked = page < 250
    down = inked.sum(axis=0)
    columns = np.flatnonzero(down > 0.8 * down.max())
    edge = inked[:, columns[0] + 1]
    ends = np.flatnonzero(np.diff(edge.astype(np.int8)))
    longest = int(np.argmax(np.diff(ends)))
    return int(columns[0]), int(ends[longest]) + 1, int(columns[-1]) + 1, int(ends[longest + 1]) + 1


def opening_on(mat: Codes) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of the cuts on a drawn mat, in the middle of their lines."""
    dark = mat < 100
    middle = dark.shape[0] * 9 // 20
    columns = np.flatnonzero(dark[middle])
    across = (columns[0] + columns[-1]) // 2
    rows = np.flatnonzero(dark[:, across - 60])
    rows = rows[rows > 0.06 * len(dark)]  # below T
    half = LINE_MM / 2 * DPI / 25.4
    return columns[0] + half, rows[0] + half, columns[-1] + 1 - half, rows[-1] + 1 - half


def mm(pixels: float) -> float:
    return pixels * 25.4 / DPI


def test_the_mat_is_drawn_to_scale_as_it_is_seen_from_the_back() -> None:
    page, bench = page_of_off_centre(), off_centre()
    left, top, right, bottom = board_on(page)
    scale = scale_of(off_centre())
    # 16 x 20 in are 406.4 x 508 mm.
    expected_mm = (406.4 / scale, 508 / scale)
    assert (mm(right - left), mm(bottom - top)) == pytest.approx(expected_mm, abs=ON_PAGE_MM)
    cut = opening_on(page[top:bottom, left:right])
    back = back_of(bench)
    # Mirrored by hand: what is right of the opening in front is left of it here.
    from_left = inches(16) - back.place.x - back.size.width
    expected = (from_left, back.place.y, from_left + back.size.width)
    assert [mm(edge) for edge in cut[:3]] == pytest.approx(
        [length.mm / scale for length in expected], abs=ON_PAGE_MM
    )
    assert mm(cut[3] - cut[1]) == pytest.approx(back.size.height.mm / scale, abs=ON_PAGE_MM)


def test_turned_like_a_page_the_drawing_lies_on_the_front_of_the_mockup() -> None:
    page, bench = page_of_off_centre(), off_centre()
    left, top, right, bottom = board_on(page)
    turned = page[top:bottom, left:right][:, ::-1]
    # The mock-up of the front, with a black picture: its window is what is not mat.
    pixels = picture_pixels(bench.plan)
    black = np.zeros((pixels.height, pixels.width, 3), np.uint8)
    front = board_of(front_codes(empty_mount(bench.plan), bench.plan, [black]))
    seen = front.max(axis=2) < 60
    columns, rows = (np.flatnonzero(seen.sum(axis=axis) > 100) for axis in (0, 1))
    window = (columns[0], rows[0], columns[-1] + 1, rows[-1] + 1)
    in_mm = [edge * 25.4 / PX_PER_INCH / scale_of(bench) for edge in window]
    assert [mm(edge) for edge in opening_on(turned)] == pytest.approx(in_mm, abs=ON_PAGE_MM)


def test_the_numbers_are_those_of_the_back_and_add_up_to_the_board() -> None:
    bench = off_centre()
    (text, _) = texts_of(pdf_of(WEIGHTED, [bench]))
    back = back_of(bench)
    left = inches(16) - back.place.x - back.size.width
    parts = [in_sixteenths(n) for n in (left, back.size.width, back.place.x)]
    assert " + ".join(parts) + " = 16 in" in text
    assert left - back.place.x > inches("3.5")  # so that left and right cannot be mistaken


def in_sixteenths(length: Length) -> str:
    whole, part = divmod(length.nm, inches(1).nm)
    sixteenths = part // inches("1/16").nm
    shift = (sixteenths & -sixteenths).bit_length() - 1 if sixteenths else 0
    fraction = f" {sixteenths >> shift}/{16 >> shift}" if sixteenths else ""
    return f"{whole}{fraction}"


def test_a_page_says_what_the_cutter_must_know() -> None:
    (text, table) = texts_of(pdf_of(WEIGHTED, [benched(WEIGHTED, 1)]))
    for words in ("BACK", "make 1", "16 × 20 in", "white, white core, 4-ply (1.4 mm)", "falls out"):
        assert words in text
    assert TURN in text
    assert KNIFE in text
    assert "at least for the rule – 10 1/8 in at most before paper shows" in text
    assert "10 3/16 in" in text
    assert "0.055 in (1.4 mm) past the corner line" in text
    assert "All cuts" in table


def test_a_page_is_stamped_until_every_print_of_it_is_measured() -> None:
    came = benched(WEIGHTED, 1).plan.layout.pictures[0].image.size
    reading = RulerReading("1", came)
    planned, half, whole = (
        texts_of(pdf_of(WEIGHTED, benches))[0]
        for benches in (
            [benched(WEIGHTED, 1)],
            [benched(WEIGHTED, 1, reading), benched(WEIGHTED, 2)],
            [benched(WEIGHTED, 1, reading)],
        )
    )
    assert STAMP in planned
    assert f"{STAMP} (2)" in half
    assert "lanned" not in whole


def ink_of(page: Any) -> tuple[int, int, int, int]:
    """How far the ink of a page keeps from its left, top, right and bottom edge, in points."""
    ink = page.render(scale=1, grayscale=True).to_numpy() < 250
    columns, rows = np.flatnonzero(ink.any(axis=0)), np.flatnonzero(ink.any(axis=1))
    height, width = ink.shape
    return int(columns[0]), int(rows[0]), width - 1 - int(columns[-1]), height - 1 - int(rows[-1])


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("count", [1, 7, 60])
def test_every_entry_stands_on_a_page_and_nothing_leaves_the_type_area(
    count: int, paper: str
) -> None:
    benches = [
        benched(WEIGHTED, n, title=LONG_TITLE, size=["long 10 3/8 in", "long 12 in"][n % 2])
        for n in range(1, count + 1)
    ]
    pages = list(pdfium.PdfDocument(pdf_of(WEIGHTED, benches, paper)))
    text = " ".join(page.get_textpage().get_text_bounded() for page in pages)
    assert len(re.findall(r"\b\d+\s+The light that comes", text)) == count
    size = PAGE_SIZES[paper]
    sizes = {tuple(round(side, 2) for side in page.get_size()) for page in pages}
    assert sizes == {(round(size.width.points, 2), round(size.height.points, 2))}
    left, top, right, bottom = (min(kept) for kept in zip(*map(ink_of, pages), strict=True))
    # Margins of 15 mm at the sides, the stamp 1/4 in down, the foot 30 points up.
    assert min(left, right) >= 41
    assert top >= 17.4
    assert bottom >= 26


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("count", [1, 7])
def test_a_kind_of_mount_takes_one_page_where_its_prints_have_room(count: int, paper: str) -> None:
    benches = [
        benched(WEIGHTED, n, size="long 12 in", board="16x20 in") for n in range(1, count + 1)
    ]
    pages = pdfium.PdfDocument(pdf_of(WEIGHTED, benches, paper))
    texts = [page.get_textpage().get_text_bounded() for page in pages]
    assert sum(text.count("BACK") for text in texts) == 1


def test_a_cutter_whose_scale_is_off_is_told_by_how_much() -> None:
    cutter = replace(
        HAND,
        unit=Unit.MM,
        step=millimetres(1),
        scale_offset=-millimetres("0.5"),
        overrun=millimetres(2),
    )
    job = a_job(a_mount(), TEN, cutter=cutter)
    text, table = texts_of(pdf_of(job, [benched(job, 1)]))
    assert "Set 0.5 mm less than each number" in text
    at = benched(job, 1).plan.layout.borders_back.top
    assert f"{at.mm:g} mm" in table
    assert f"{at.mm - 0.5:g} mm" in table
    assert "(2 mm) past the corner line" in text


def test_a_cutter_led_by_hand_is_told_to_draw_lines() -> None:
    job = a_job(a_mount(), TEN, cutter=replace(HAND, has_stop=False))
    text, table = texts_of(pdf_of(job, [benched(job, 1)]))
    assert "Pencil each line at its number from the edge, in inches" in text
    assert "line at" in text
    assert "Pencil each line at this distance" in table
    assert "stop" not in text + table
    text, table = texts_of(pdf_of(WEIGHTED, [benched(WEIGHTED, 1)]))
    assert "Set each number as given, in inches" in text
    assert "scale set" in text
    assert "Set the stop once for each number" in table


def test_a_border_beyond_the_reach_is_reported_on_its_page_and_at_its_number() -> None:
    # An image of 12 x 9 in on a board of 20 x 16 in, less 1/8 in of overlap on each side, is in
    # borders of 4 1/8 in at the sides and of 3 5/8 in above and below.
    job = a_job(a_mount(board=read_size("20x16 in")), cutter=replace(HAND, reach=inches(4)))
    text, table = texts_of(pdf_of(job, [benched(job, 1, size="12x9 in", crop="4x3")]))
    assert "The cutter reaches only 4 in: draw left 4 1/8 in, right 4 1/8 in, and cut by" in text
    assert table.count("beyond the cutter's reach") == 1


def test_a_float_with_all_borders_beyond_the_reach_takes_one_page() -> None:
    # 12 x 8 in with 1/2 in of paper and a gap of 1/4 in leave borders of over 3 in on 20 x 16 in.
    job = a_job(SHIPPED.mount("float-window"), TEN, cutter=replace(HAND, reach=inches(2)))
    came = RulerReading("1", read_size("12x8 in"), read_size("14x11 in"))
    cells = {"size": "12x8 in", "crop": "3x2", "title": LONG_TITLE}
    bench = benched(job, 1, came, **cells)
    text, *others = texts_of(pdf_of(job, [bench], "letter"))
    assert "The cutter reaches only 2 in: draw every line, and cut by straightedge" in text
    assert ["All cuts" in other for other in others] == [True]


def test_a_mount_without_a_window_says_that_nothing_is_cut() -> None:
    job = a_job(no_window(), TEN)
    (text,) = texts_of(pdf_of(job, [benched(job, 1)]))
    assert "Nothing to cut" in text
    assert "BACK" not in text


def test_a_mat_that_is_cut_already_is_only_checked() -> None:
    given = a_mount(board=read_size("16x20 in"), opening=read_size("10 1/2 x 13 1/2 in"))
    job = a_job(given, TEN)
    (text,) = texts_of(pdf_of(job, [benched(job, 1, size="largest")]))
    assert "take 1" in text
    assert "This mat is cut already, and its opening is given: nothing is cut." in text
    assert "10 1/2 × 13 1/2 in" in text
    assert "2 3/4 + 10 1/2 + 2 3/4 = 16 in" in text
    # What must not be there: a knife, a test cut, a piece that falls out, the table of all cuts.
    assert [
        word for word in ("Knife", "Pencil", "scrap", "falls out", "All cuts") if word in text
    ] == []


def test_an_image_that_reaches_beyond_the_board_stays_on_the_drawing() -> None:
    # 5:1 behind 12 x 11 in is 56 1/4 in wide, on a board of 20 in.
    plan = plan_entry(WEIGHTED, an_entry("opening 12x11 in"), facts(5000, 1000))
    (kind,) = mount_kinds([at_bench(WEIGHTED, plan, {})])
    block = print_drawing(kind, setter_for("a4", FONTS.width), 100.0)
    across = [x for mark in block.marks if isinstance(mark, Shape) for x, _ in mark.points]
    assert across
    assert (min(across) >= 0, max(across) <= 100.0) == (True, True)


def test_a_float_is_placed_by_the_edge_of_its_trimmed_paper() -> None:
    # 12 x 8 in and 1/2 in of paper are 13 x 9 in, in the middle of 20 x 16 in; half of 20 - 13 and
    # of 16 - 9 in is 3 1/2 in. Trimmed by hand to 12 1/2 x 9 in it lies 3 3/4 in from the left.
    mount = no_window(window=WindowKind.FLOAT, paper=inches("1/2"), board=read_size("20x16 in"))
    job = a_job(mount)
    cells = {"size": "12x8 in", "crop": "3x2"}
    (text,) = texts_of(pdf_of(job, [benched(job, 1, **cells)]))
    assert "paper from left" in text
    assert "3 1/2 in 3 1/2 in" in text
    assert "trim to 13 × 9 in, 1/2 in outside the image" in text
    assert "distances to the edge of the trimmed paper below" in text
    small = RulerReading("1", read_size("12x8 in"), read_size("12.5x9 in"))
    (text,) = texts_of(pdf_of(job, [benched(job, 1, small, **cells)]))
    assert "3 3/4 in 3 1/2 in" in text
    assert "trimmed to 12 1/2 × 9 in, 1/4 left of and 1/2 in above the image" in text


def test_a_print_stuck_down_is_placed_by_the_edge_it_is_trimmed_to() -> None:
    job = a_job(no_window(board=read_size("20x16 in")))
    (text,) = texts_of(pdf_of(job, [benched(job, 1, size="12x8 in", crop="3x2")]))
    assert "4 in 4 in" in text
    assert "trim to 12 × 8 in, along the image" in text


def test_the_same_mounts_give_the_same_bytes() -> None:
    assert pdf_of(WEIGHTED, [off_centre()]) == pdf_of(WEIGHTED, [off_centre()])
