"""Full-size templates, rendered by PDFium, joined by their register marks, and measured."""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from skimage.measure import label, regionprops

from proofs.commands.mount.run import MountOptions
from proofs.lengths import Unit, millimetres
from proofs.measures import read_size
from proofs.outside.bench_pdfs import templates_pdf
from proofs.pages.stamp import STAMP
from proofs.pages.templates.frame import WHOLE_FOOT, page_frames
from proofs.plan.cutting.tiling import tiled
from proofs.plan.entry.board import Opening
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import WindowPlacing
from tests.pages_read import Codes, Words, rendered, words_of
from tests.workbench import HAND, a_job, a_mount, a_plan

A4 = MountOptions(out=Path())
JOB = a_job()
DPI = 300
MM = 25.4 / DPI
# What is asked of a template: 0.3 mm over the whole board when the pages are joined, and 0.2 mm
# for its rules.
JOINED_MM = 0.3
RULE_MM = 0.2
ON_PAGE_MM = 0.2  # what the user asks of a rendered page
# A mark is found to about a pixel.
MARK_MM = 0.1

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Mark:
    """A register mark as found: its place on the page, and the one that its figures tell."""

    x_px: float
    y_px: float
    x_mm: float
    y_mm: float


def off_centre() -> Plan:
    """12 x 8 in on 20 x 16 in, 1/8 in hidden, as a bottom-weighted mount has it."""
    return a_plan(a_job(a_mount(placing=WindowPlacing.BOTTOM_WEIGHTED)), "12x8 in")


METRIC_JOB = a_job(cutter=replace(HAND, unit=Unit.MM))


def metric() -> Plan:
    """30 x 20 cm in the middle of 50 x 40 cm, 3 mm hidden."""
    mount = a_mount(overlap=millimetres(3), board=read_size("50x40 cm"))
    return a_plan(a_job(mount), "30x20 cm")


PLANS = {"inches": off_centre, "millimetres": metric}


@cache
def pdf_of(paper: str, job: str = "inches") -> bytes:
    options = MountOptions(out=Path(), paper_size=paper)
    return templates_pdf(JOB, [PLANS[job]()], options, measured=["1"], is_whole=True)


@cache
def pages_of(paper: str, job: str = "inches") -> list[Codes]:
    return rendered(pdf_of(paper, job), DPI)


def crosses(page: Codes) -> list[tuple[float, float]]:
    """The middles of the red crosses, in pixels."""
    red = page[:, :, 0].astype(int) - page[:, :, 2] > 40
    apart = label(red, connectivity=2)  # type: ignore[no-untyped-call]  # the library has none
    regions = regionprops(apart)  # type: ignore[no-untyped-call]  # nor here
    found = [region.bbox for region in regions]
    return [
        ((left + right) / 2, (top + bottom) / 2)
        for top, left, bottom, right in found
        if min(right - left, bottom - top) * MM > 5
    ]


@cache
def marks_of(paper: str, job: str = "inches") -> list[list[Mark]]:
    """The register marks of every page, each with the figures nearest to it."""
    pages = zip(pages_of(paper, job), words_of(pdf_of(paper, job)), strict=True)
    return [[_told(cross, words) for cross in crosses(page)] for page, words in pages]


def _told(cross: tuple[float, float], words: list[Words]) -> Mark:
    x, y = cross

    def distance(words: Words) -> float:
        middle = (words.left + words.right) / 2, (words.top + words.bottom) / 2
        return math.dist(middle, (x * MM, y * MM))

    told = [piece for piece in words if re.fullmatch(r"\d+ · \d+", piece.text)]
    x_mm, y_mm = (float(figure) for figure in min(told, key=distance).text.split(" · "))
    return Mark(x, y, x_mm, y_mm)


def origin(marks: list[Mark]) -> tuple[float, float]:
    """Where the board's top left lies on a page, in pixels, as its marks tell."""
    x = float(np.mean([m.x_px - m.x_mm / MM for m in marks]))
    return x, float(np.mean([m.y_px - m.y_mm / MM for m in marks]))


@cache
def joined(paper: str, job: str) -> NDArray[np.uint8]:
    """All pages laid on each other by their marks: the darkest of what lies at each place.

    Row 0, column 0 is 4 mm outside the board's top left. Each page is cut round its tile.
    """
    board = PLANS[job]().layout.board
    edge = round(4 / MM)
    shape = (round(board.height.mm / MM) + 2 * edge, round(board.width.mm / MM) + 2 * edge)
    canvas = np.full(shape, 255, np.uint8)
    tiling = min(
        (tiled(board, p.room) for p in page_frames(paper, WHOLE_FOOT)), key=lambda t: len(t.tiles)
    )
    pages = zip(pages_of(paper, job), marks_of(paper, job), tiling.tiles, strict=True)
    for page, marks, tile in pages:
        x, y = origin(marks)
        left, top, right, bottom = (round(mm / MM) for mm in sides(tile.area))
        cut = page[round(y) + top : round(y) + bottom, round(x) + left : round(x) + right]
        there = canvas[edge + top : edge + bottom, edge + left : edge + right]
        np.minimum(there, cut[: there.shape[0], : there.shape[1]].max(axis=2), out=there)
    return canvas


def sides(opening: Opening) -> tuple[float, float, float, float]:
    place, size = opening.place, opening.size
    right, bottom = place.x + size.width, place.y + size.height
    return place.x.mm, place.y.mm, right.mm, bottom.mm


def lines_across(band: NDArray[np.uint8]) -> list[float]:
    """Where dark lines cross a band from left to right: their middles, in mm from the board."""
    return [middle - 4 for middle in middles((band < 150).mean(axis=0) > 0.12)]


def middles(dark: Mask) -> list[float]:
    """The middles of the runs that are dark, in mm."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], dark.astype(np.int8), [0]))))
    return [float(start + end) / 2 * MM for start, end in edges.reshape(-1, 2)]


# By hand, in mm: a board of 508 x 406.4; an image of 304.8 wide with 101.6 at its left; the back
# opening 1/8 in inside it, the face 1.4 mm outside that.
ACROSS = [0, 101.6, 103.375, 104.775, 403.225, 404.625, 406.4, 508]
# The back opening is 7 3/4 in high, with 1/2 in more below than above: 3 7/8 in above.
DOWN = [0, 95.25, 97.025, 98.425, 295.275, 296.675, 298.45, 406.4]
# The metric one: an image of 300 x 200 with 100 all round; the back opening 3 mm inside it.
METRIC_ACROSS = [0, 100, 101.6, 103, 397, 398.4, 400, 500]
METRIC_DOWN = [0, 100, 101.6, 103, 297, 298.4, 300, 400]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(("job", "lines"), [("inches", ACROSS), ("millimetres", METRIC_ACROSS)])
def test_the_joined_pages_are_true_from_left_to_right(
    paper: str, job: str, lines: list[float]
) -> None:
    band = joined(paper, job)[round(169 / MM) : round(189 / MM)]
    assert lines_across(band) == pytest.approx(lines, abs=JOINED_MM)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(("job", "lines"), [("inches", DOWN), ("millimetres", METRIC_DOWN)])
def test_the_joined_pages_are_true_from_top_to_bottom(
    paper: str, job: str, lines: list[float]
) -> None:
    band = joined(paper, job)[:, round(192 / MM) : round(208 / MM)].T
    assert lines_across(band) == pytest.approx(lines, abs=JOINED_MM)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_mark_stands_where_its_figures_say(paper: str) -> None:
    off = [
        max(abs(m.x_px - x - m.x_mm / MM), abs(m.y_px - y - m.y_mm / MM)) * MM
        for marks in marks_of(paper)
        for x, y in [origin(marks)]
        for m in marks
    ]
    # 3 by 2 pages: seven seams, two marks on each, each on two pages.
    assert len(off) == 28
    assert max(off) < MARK_MM


def ticks(page: Codes, points_off: float) -> list[float]:
    """The left edges, in mm, of the ticks that reach so far off the rule's line (down is more)."""
    dark = page.max(axis=2) < 150
    top = dark[: round(12.5 / MM)]
    line = int(np.argmax(top.sum(axis=1)))
    row = dark[line + round(points_off / 72 * DPI)]
    edges = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(np.int8)))) == 1)
    # The other rule crosses before this one begins.
    begins = int(np.flatnonzero(dark[line, : round(100 / MM)] & ~before(dark[line]))[-1])
    return [float(edge) * MM for edge in edges if edge >= begins - 1]


def before(dark: Mask) -> Mask:
    """Whether the pixel to the left is dark as well."""
    return np.concatenate(([False], dark[:-1]))[: round(100 / MM)]


AXES: dict[str, Callable[[Codes], Codes]] = {
    "across": lambda page: page,
    "down": lambda page: page.transpose(1, 0, 2),
}


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("axis", ["across", "down"])
def test_the_rule_of_200_mm_is_true(paper: str, axis: str) -> None:
    page = AXES[axis](pages_of(paper)[0])
    found = ticks(page, 3.4 if axis == "across" else -3.4)
    # Every 10 mm from 0 to 200.
    wanted = [found[0] + 10 * n for n in range(21)]
    assert found[:21] == pytest.approx(wanted, abs=RULE_MM)


@pytest.mark.parametrize(("paper", "length"), [("a4", 7), ("letter", 8)])
@pytest.mark.parametrize("axis", ["across", "down"])
def test_the_rule_in_inches_is_true(paper: str, axis: str, length: int) -> None:
    page = AXES[axis](pages_of(paper)[0])
    found = ticks(page, -3.4 if axis == "across" else 3.4)
    wanted = [found[0] + 12.7 * n for n in range(2 * length + 1)]
    assert found[: len(wanted)] == pytest.approx(wanted, abs=RULE_MM)


def test_a_small_board_is_whole_on_one_page() -> None:
    plan = a_plan(a_job(a_mount(board=read_size("5x7 in"))), "3x2 in")
    pdf = templates_pdf(JOB, [plan], A4)
    (page,) = rendered(pdf, DPI)
    dark = (page.max(axis=2) < 150)[round(14 / MM) :, round(14 / MM) :]
    # The board's edges are the longest lines right of and below the rules.
    columns = middles(dark[: round(200 / MM)].sum(axis=0) > 100 / MM)
    rows = middles(dark.sum(axis=1) > 160 / MM)
    # A landscape picture on a board of 7 x 5 in.
    assert columns[-1] - columns[0] == pytest.approx(177.8, abs=JOINED_MM)
    assert rows[-1] - rows[0] == pytest.approx(127, abs=JOINED_MM)


def all_text(pdf: bytes) -> str:
    return " ".join(piece.text for page in words_of(pdf) for piece in page)


def test_mounts_that_are_alike_share_a_template_and_name_their_entries() -> None:
    plan = off_centre()
    plans = [replace(plan, entry=replace(plan.entry, number=n)) for n in ("3", "8")]
    pdf = templates_pdf(JOB, plans, A4, is_whole=True)
    assert len(words_of(pdf)) == 6
    assert "Template 1 of 1, page 6 of 6 · 2 entries: 3, 8" in all_text(pdf)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_page_says_how_it_is_printed_and_that_nobody_cuts_from_it(paper: str) -> None:
    pages = [" ".join(piece.text for piece in page) for page in words_of(pdf_of(paper))]
    assert [page.count("Print at 100 %") for page in pages] == [1] * 6
    assert [page.count("do not cut from it") for page in pages] == [1] * 6


def test_pages_of_prints_that_nobody_measured_are_stamped_and_others_are_not() -> None:
    stamped = templates_pdf(JOB, [off_centre()], A4, is_whole=True)
    assert all_text(stamped).count(STAMP) == 6
    assert STAMP not in all_text(pdf_of("a4"))


def test_each_page_is_marked_on_its_map() -> None:
    # The map lies at the foot of the page, left of all words; its own grey marks the page.
    maps = [page[round(275 / MM) :, : round(37 / MM)] for page in pages_of("a4")]
    marked = [np.argwhere(np.all(m == (201, 198, 192), axis=2)).mean(axis=0) for m in maps]
    (_, first), (_, second), (_, third), *_ = marked
    assert first < second < third
    assert marked[0][0] < marked[3][0]


@cache
def corners_of(paper: str, job: str) -> bytes:
    options = MountOptions(out=Path(), paper_size=paper)
    return templates_pdf(METRIC_JOB if job == "millimetres" else JOB, [PLANS[job]()], options)


@cache
def corner_pages(paper: str, job: str) -> list[tuple[Codes, list[Mark]]]:
    """The pages of the corners, each with its register marks."""
    pdf = corners_of(paper, job)
    pages = zip(rendered(pdf, DPI), words_of(pdf), strict=True)
    return [(page, [_told(cross, words) for cross in crosses(page)]) for page, words in pages]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("job", PLANS)
def test_the_corners_of_a_mount_take_two_pages_in_place_of_six(paper: str, job: str) -> None:
    assert len(pages_of(paper, job)) == 6
    assert len(corner_pages(paper, job)) == 2


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    ("job", "across", "down"),
    [("inches", ACROSS, DOWN), ("millimetres", METRIC_ACROSS, METRIC_DOWN)],
)
def test_every_line_at_a_corner_is_where_the_marks_beside_it_say(
    paper: str, job: str, across: list[float], down: list[float]
) -> None:
    found = [part for page, marks in corner_pages(paper, job) for part in parts_of(page, marks)]
    assert len(found) == 4
    # The board's edge and the lines at a corner, at the left or at the right, above or below.
    assert [
        (xs, ys)
        for xs, ys in found
        if not any(are_there(side, xs) for side in (across[:4], across[4:]))
        or not any(are_there(side, ys) for side in (down[:4], down[4:]))
    ] == []
    sides = [(are_there(across[:4], xs), are_there(down[:4], ys)) for xs, ys in found]
    assert sorted(sides) == [(False, False), (False, True), (True, False), (True, True)]


def are_there(wanted: list[float], found: list[float]) -> bool:
    """Whether each of these lines is among those found."""
    return all(min(abs(line - one) for line in found) < ON_PAGE_MM for one in wanted)


def parts_of(page: Codes, marks: list[Mark]) -> list[tuple[list[float], list[float]]]:
    """For each half of a page, where lines are, in mm from the board's top left by its marks."""
    by_half: dict[tuple[int, int], list[Mark]] = {}
    for mark in marks:
        x, y = mark.x_px - mark.x_mm / MM, mark.y_px - mark.y_mm / MM
        same = next((k for k in by_half if math.dist(k, (x, y)) < 1 / MM), (round(x), round(y)))
        by_half.setdefault(same, []).append(mark)
    return [_lines_of(page, held) for held in by_half.values()]


def _lines_of(page: Codes, marks: list[Mark]) -> tuple[list[float], list[float]]:
    """Where lines cross the bands through the marks of one half, and beyond it."""
    x, y = origin(marks)
    dark = page.max(axis=2) < 150
    half = round(4 / MM)
    rows = [dark[round(m.y_px) - half : round(m.y_px) + half] for m in marks]
    columns = [dark[:, round(m.x_px) - half : round(m.x_px) + half] for m in marks]
    xs = [found - x * MM for row in rows for found in middles(row.mean(axis=0) > 0.15)]
    ys = [found - y * MM for col in columns for found in middles(col.mean(axis=1) > 0.15)]
    return xs, ys


def test_the_figures_of_a_corner_are_those_of_the_mount() -> None:
    # By hand, as above: 103.375 and 97.025 mm, and an opening of 298.45 x 196.85 mm (7 3/4 in).
    text = all_text(corners_of("a4", "inches"))
    assert text.count("4 1/8 in from the") == 4
    assert text.count("3 7/8 in from the top") == 2
    assert text.count("4 3/8 in from the bottom") == 2
    assert text.count("11 3/4 in to the") == 4
    assert text.count("7 3/4 in to the") == 4
    metric = all_text(corners_of("a4", "millimetres"))
    assert metric.count("103 mm from the") == 8


def test_without_plans_there_is_nothing_to_draw() -> None:
    with pytest.raises(ValueError, match="no plan"):
        templates_pdf(JOB, [], A4)
