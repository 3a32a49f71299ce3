"""Margin line and cut marks stay behind the mat, whatever the mount, the board and the sheet.

What the opening shows is worked out here anew, in nanometres, from the layout. That the mat is
sure to hide what lies 1/4 in beyond the opening is common practice, no source.
"""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from proofs.lengths import Length, PixelSize, Size, inches, millimetres
from proofs.measures import read_size
from proofs.pixel_areas import Area
from proofs.plan.entry.board import Layout, Opening, Picture
from proofs.plan.entry.layout import lay_out
from proofs.plan.sheets.margin_line import MarginMarks, margin_marks
from proofs.plan.sheets.placing import Placing, place
from proofs.plan.tones.wedge import wedge_size
from proofs.records.mounts import BevelKind, Mount, WindowKind
from tests.workbench import (
    LAB,
    a_mount,
    a_reveal,
    boards,
    images,
    lengths_from,
    mounts,
    no_window,
    overlaps,
)

QUARTER_NM = 6_350_000


def placed(image: Size, sheet: Size, ppi: int = 300) -> Placing:
    lab = replace(LAB, ppi=ppi)
    width, height = (round(side.nm * ppi / 25_400_000) for side in (image.width, image.height))
    return place(lab, sheet, PixelSize(max(1, width), max(1, height)))


def areas(found: MarginMarks) -> list[Area]:
    line = [found.margin_line.top, found.margin_line.strip] if found.margin_line else []
    return [*found.cut_marks, *line]


def shown(layout: Layout, picture: Picture, placing: Placing) -> list[tuple[Fraction, ...]]:
    """What each opening shows with 1/4 in round it, in pixels of the file."""
    scale, image, place_ = Fraction(placing.ppi, 25_400_000), placing.image, picture.image.place
    edges = [e for p in layout.pictures for cut in p.cuts for e in (cut.back, cut.face)]
    return [
        (
            image.left + (e.place.x - place_.x).nm * scale - QUARTER_NM * scale,
            image.top + (e.place.y - place_.y).nm * scale - QUARTER_NM * scale,
            image.left + (e.place.x + e.size.width - place_.x).nm * scale + QUARTER_NM * scale,
            image.top + (e.place.y + e.size.height - place_.y).nm * scale + QUARTER_NM * scale,
        )
        for e in edges
    ]


def is_clear(area: Area, box: tuple[Fraction, ...]) -> bool:
    left, top, right, bottom = box
    return area.right <= left or area.left >= right or area.bottom <= top or area.top >= bottom


@given(
    mount=mounts,
    board=boards,
    image=images,
    more=st.tuples(lengths_from(4, 150), lengths_from(4, 150)),
    ppi=st.sampled_from([240, 300, 360, 301]),
    wishes=st.sampled_from([(True, False), (True, True), (False, True)]),
)
def test_nothing_is_printed_in_what_the_opening_shows_or_a_quarter_inch_round_it(
    mount: Mount,
    board: Size,
    image: Size,
    more: tuple[Length, Length],
    ppi: int,
    wishes: tuple[bool, bool],
) -> None:
    layout = lay_out(mount, board, image)
    sheet = Size(image.width + 2 * more[0], image.height + 2 * more[1])
    try:
        placing = placed(image, sheet, ppi)
    except ValueError:
        assume(False)
    picture = layout.pictures[0]
    found = margin_marks(layout, picture, placing, margin_line=wishes[0], cut_marks=wishes[1])
    printed = areas(found)
    boxes = shown(layout, picture, placing)
    assert all(is_clear(area, box) for area in printed for box in boxes)
    assert not any(area.touches(placing.image) for area in printed)
    assert all(placing.free.holds(area) for area in printed)
    assert not any(
        one.touches(other) for n, one in enumerate(printed) for other in printed[n + 1 :]
    )
    assert printed or found.missing


@given(
    mount=overlaps,
    board=boards,
    pair=st.tuples(images, images),
    n=st.integers(0, 1),
    more=st.tuples(lengths_from(4, 200), lengths_from(4, 200)),
)
def test_a_neighbours_opening_stays_clear_as_well(
    mount: Mount, board: Size, pair: tuple[Size, Size], n: int, more: tuple[Length, Length]
) -> None:
    layout = lay_out(mount, board, *pair)
    sheet = Size(pair[n].width + 2 * more[0], pair[n].height + 2 * more[1])
    try:
        placing = placed(pair[n], sheet)
    except ValueError:
        assume(False)
    picture = layout.pictures[n]
    printed = areas(margin_marks(layout, picture, placing, margin_line=True, cut_marks=True))
    boxes = shown(layout, picture, placing)
    assert len(boxes) == 4
    assert all(is_clear(area, box) for area in printed for box in boxes)


@pytest.mark.parametrize(
    "mount",
    [a_mount(overlap=millimetres(9)), a_reveal(inches("1/4")), a_mount(bevel=BevelKind.REVERSE)],
)
def test_a_sheet_with_room_gets_both(mount: Mount) -> None:
    layout = lay_out(mount, read_size("16x20 in"), read_size("8x10 in"))
    placing = placed(read_size("8x10 in"), read_size("12x16 in"))
    found = margin_marks(layout, layout.pictures[0], placing, margin_line=True, cut_marks=True)
    assert (len(found.cut_marks), found.margin_line is not None, found.missing) == (8, True, ())


def test_a_cut_along_the_marks_leaves_a_quarter_inch_behind_the_mat() -> None:
    layout = lay_out(a_mount(), read_size("16x20 in"), read_size("8x10 in"))
    placing = placed(read_size("8x10 in"), read_size("12x16 in"))
    found = margin_marks(layout, layout.pictures[0], placing, margin_line=False, cut_marks=True)
    assert found.clear is not None
    # The bevel's face is 1.4 mm farther out than its back: 1/8 - 1/4 in - 1.4 mm, and a pixel.
    outside = (millimetres("1.4") - inches("1/8") + inches("1/4")).nm * 300 / 25_400_000
    assert placing.image.left - found.clear.left == pytest.approx(outside, abs=2)
    upright = [mark for mark in found.cut_marks if mark.height > mark.width]
    assert {mark.right for mark in upright} & {found.clear.left}
    assert {mark.left for mark in upright} & {found.clear.right}


# Arithmetic, at 300 pixels to the inch: an image of 2400 x 3000 pixels in the middle of a sheet of
# 3600 x 4800 begins at 600 and 900; 1/2 in of paper round it are 150 pixels, 1/16 in are 18.75.
# A mark 1/100 in wide is 3 pixels, and lies outside its line.
@pytest.mark.parametrize(
    ("mount", "trim", "why"),
    [
        (no_window(), Area(600, 900, 2400, 3000), "no mat hides any paper"),
        (
            no_window(window=WindowKind.FLOAT, paper=inches("1/2")),
            Area(450, 750, 2700, 3300),
            "the paper's edge is visible",
        ),
        (
            a_mount(window=WindowKind.FLOAT, paper=inches("1/2"), gap=inches("1/4")),
            Area(450, 750, 2700, 3300),
            "the paper's edge is visible",
        ),
    ],
)
def test_paper_whose_edge_is_seen_has_its_cut_marks_outside_the_trimmed_size(
    mount: Mount, trim: Area, why: str
) -> None:
    layout = lay_out(mount, read_size("16x20 in"), read_size("8x10 in"))
    placing = placed(read_size("8x10 in"), read_size("12x16 in"))
    found = margin_marks(layout, layout.pictures[0], placing, margin_line=True, cut_marks=True)
    upright = [mark for mark in found.cut_marks if mark.height > mark.width]
    level = [mark for mark in found.cut_marks if mark.width > mark.height]
    assert {(mark.left, mark.right) for mark in upright} == {
        (trim.left - 3, trim.left),
        (trim.right, trim.right + 3),
    }
    assert {(mark.top, mark.bottom) for mark in level} == {
        (trim.top - 3, trim.top),
        (trim.bottom, trim.bottom + 3),
    }
    assert not any(trim.touches(mark) for mark in found.cut_marks)
    assert all(placing.free.holds(mark) for mark in found.cut_marks)
    assert (len(found.cut_marks), found.missing) == (8, (f"no margin line: {why}",))


def test_a_surround_is_marked_where_it_ends_with_the_board() -> None:
    # The print is 1/8 in larger than the board of 8 x 10 in on each side, 37.5 pixels; the marks
    # are in line with the board and outside what is printed.
    board = read_size("8x10 in")
    mount = no_window(window=WindowKind.SURROUND)
    layout = lay_out(mount, board, read_size("6x8 in"))
    (picture,) = layout.pictures
    whole = replace(picture, image=Opening(board).centred(picture.paper_needed))
    placing = placed(whole.image.size, read_size("12x16 in"))
    found = margin_marks(layout, whole, placing, margin_line=False, cut_marks=True)
    upright = [mark for mark in found.cut_marks if mark.height > mark.width]
    assert sorted({mark.left for mark in upright})[1] - min(m.right for m in upright) == 8 * 300
    assert not any(placing.image.touches(mark) for mark in found.cut_marks)
    assert (len(found.cut_marks), found.missing) == (8, ())


def test_a_sheet_without_room_outside_the_trimmed_paper_has_no_marks() -> None:
    # 8 x 10 in and 1/2 in of paper all round are 9 x 11 in; the lab leaves 1/8 in of a sheet white.
    layout = lay_out(
        no_window(window=WindowKind.FLOAT, paper=inches("1/2")),
        read_size("16x20 in"),
        read_size("8x10 in"),
    )
    placing = placed(read_size("8x10 in"), read_size("9.25x11.25 in"))
    found = margin_marks(layout, layout.pictures[0], placing, margin_line=False, cut_marks=True)
    assert areas(found) == []
    assert found.missing == (
        "no cut marks: the sheet has too little white outside the trimmed paper",
    )


def test_a_sheet_no_larger_than_the_picture_needs_gets_neither_and_the_reason_is_given() -> None:
    image = read_size("8x10 in")
    layout = lay_out(a_mount(), read_size("16x20 in"), image)
    placing = placed(image, image.grown(inches("3/16")))
    found = margin_marks(layout, layout.pictures[0], placing, margin_line=True, cut_marks=True)
    assert areas(found) == []
    assert all("too little paper behind the mat" in words for words in found.missing)


def test_paper_that_hangs_over_the_board_carries_nothing() -> None:
    board, image = read_size("9x11 in"), read_size("8x10 in")
    layout = lay_out(a_mount(), board, image)
    placing = placed(image, read_size("12x16 in"))
    found = margin_marks(layout, layout.pictures[0], placing, margin_line=True, cut_marks=True)
    on_board = Area(placing.image.left - 150, placing.image.top - 150, 9 * 300, 11 * 300)
    assert all(on_board.holds(area) for area in areas(found))


def test_where_only_the_sides_have_room_the_margin_line_stands_upright_there() -> None:
    image = read_size("7.5x7.5 in")
    layout = lay_out(a_mount(), read_size("16x20 in"), image)
    found = margin_marks(
        layout,
        layout.pictures[0],
        placed(image, read_size("10x8 in")),
        margin_line=True,
        cut_marks=False,
    )
    assert found.margin_line is not None
    assert found.margin_line.is_turned
    assert found.margin_line.top.bottom < found.margin_line.strip.top
    assert found.margin_line.strip.width >= wedge_size(inches("3/2")).height.nm * 300 // 25_400_000
