"""The sheet of a test strip: where its parts lie, and which step lies where.

The gap of 1/4 in and the least step of 1.5 x 2 in are common practice, no source.
"""

from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import NM_PER_INCH, PixelSize, inches
from proofs.measures import read_size
from proofs.pixel_areas import Area
from proofs.plan.sheets.strip_packing import StripEntry, StripSheet, best_packed, packed_strips
from proofs.plan.sheets.strip_sheet import (
    RULE_INCHES,
    StripFrame,
    foot_of,
    sheet_of,
    step_crop,
    step_size,
    strip_frame,
)
from proofs.plan.tones.wedge import wedge_size
from tests.workbench import LAB

HEAD, FOOT = inches("3/4"), inches("3/4")
SHEETS = ("5x7 in", "8x10 in", "10x8 in", "11x14 in", "210x297 mm", "20x24 in")

resolutions = st.sampled_from([150, 240, 300, 301, 360])
frames = st.builds(
    lambda ppi, size: strip_frame(replace(LAB, ppi=ppi), read_size(size), head=HEAD, foot=FOOT),
    resolutions,
    st.sampled_from(SHEETS),
)
prints = st.builds(PixelSize, st.integers(1, 7000), st.integers(1, 7000))
entry_lists = st.lists(
    st.tuples(st.integers(1, 26), prints).map(
        lambda drawn: StripEntry("", tuple("ABCDEFGHIJKLMNOPQRSTUVWXYZ"[: drawn[0]]), drawn[1])
    ),
    min_size=1,
    max_size=8,
).map(lambda held: [replace(entry, number=str(n)) for n, entry in enumerate(held, 1)])


def frame(size: str = "8x10 in") -> StripFrame:
    return strip_frame(LAB, read_size(size), head=HEAD, foot=FOOT)


def entries(*steps: int) -> list[StripEntry]:
    """Return an entry of 12 x 8 in for each number of steps."""
    size = PixelSize(3600, 2400)
    return [StripEntry(str(n), tuple("ABCDEFGHIJ"[:c]), size) for n, c in enumerate(steps, 1)]


def areas(sheet: StripSheet) -> list[Area]:
    return [piece.area for piece in sheet.pieces]


def overlapping(areas: Iterable[Area], apart: int = 0) -> bool:
    """Return whether any two areas come nearer to each other than ``apart``."""
    held = list(areas)
    return any(
        a.left < b.right + apart
        and b.left < a.right + apart
        and a.top < b.bottom + apart
        and b.top < a.bottom + apart
        for n, a in enumerate(held)
        for b in held[n + 1 :]
    )


def within(area: Area, other: Area) -> bool:
    return (
        area.left >= other.left
        and area.top >= other.top
        and area.right <= other.right
        and area.bottom <= other.bottom
    )


@given(frames, entry_lists)
def test_pieces_keep_a_quarter_inch_apart_and_inside_the_body(
    frame: StripFrame, held: list[StripEntry]
) -> None:
    sheets = packed_strips(frame, held)
    assert frame.gap * NM_PER_INCH >= inches("1/4").nm * frame.ppi
    assert not any(overlapping(areas(sheet), frame.gap) for sheet in sheets)
    assert all(within(area, frame.body) for sheet in sheets for area in areas(sheet))


@given(frames, entry_lists)
def test_steps_that_touch_still_never_overlap_nor_leave_the_body(
    frame: StripFrame, held: list[StripEntry]
) -> None:
    sheets = packed_strips(frame, held, edge_to_edge=True)
    assert not any(overlapping(areas(sheet)) for sheet in sheets)
    assert all(within(area, frame.body) for sheet in sheets for area in areas(sheet))


@given(frames, entry_lists)
def test_every_step_is_there_once_with_room_for_its_label(
    frame: StripFrame, held: list[StripEntry]
) -> None:
    sheets = packed_strips(frame, held)
    shown = [(p.entry, p.step) for s in sheets for p in s.pieces if not p.is_whole]
    assert sorted(shown) == sorted((e.number, step) for e in held for step in e.steps)
    labelled = [
        replace(piece.area, height=piece.area.height + frame.label_room)
        for piece in sheets[0].pieces
    ]
    assert not overlapping(labelled)
    assert all(within(area, frame.body) for area in labelled)


@given(frames)
def test_the_parts_of_a_sheet_lie_one_below_the_other_inside_the_marks(frame: StripFrame) -> None:
    parts = [frame.head, frame.body, frame.foot]
    assert not overlapping(parts)
    assert all(within(part, frame.marks) for part in parts)
    whole = Area(0, 0, frame.sheet.width, frame.sheet.height)
    assert within(frame.marks, whole)
    assert frame.marks.left >= LAB.margin.inches * frame.ppi


@given(frames)
def test_a_step_shows_at_least_an_inch_and_a_half_by_two(frame: StripFrame) -> None:
    assert frame.step.width >= 1.5 * frame.ppi
    assert frame.step.height >= 2 * frame.ppi


@given(entry_lists)
def test_an_entry_stays_on_one_sheet_while_a_sheet_can_hold_it(held: list[StripEntry]) -> None:
    one = frame("11x14 in")
    most = one.columns * one.rows
    sheets = packed_strips(one, held)
    homes = {e.number: sum(e.number in s.entries for s in sheets) for e in held}
    whole = [e.number for e in held if len(e.steps) <= 4]
    assert most >= 16
    assert {homes[number] for number in whole} <= {1}


def test_small_entries_are_ganged() -> None:
    assert len(packed_strips(frame(), entries(2, 2, 2, 2, 2, 2))) == 1


def test_an_entry_fills_a_gap_that_an_earlier_sheet_has_left() -> None:
    sheets = packed_strips(frame(), entries(4, 4, 3, 4, 1))
    assert [sheet.entries for sheet in sheets] == [("1", "2", "3", "5"), ("4",)]


def test_neighbours_touch_when_asked() -> None:
    first, second, *_ = packed_strips(frame(), entries(4), edge_to_edge=True)[0].pieces
    assert second.area.left == first.area.right


def test_small_whole_pictures_fill_what_is_left_and_are_no_longer_than_four_inches() -> None:
    pieces = packed_strips(frame(), entries(2))[0].pieces
    wholes = [piece for piece in pieces if piece.is_whole]
    assert [piece.step for piece in wholes] == ["A", "B"]
    assert 2 * 300 <= wholes[0].area.width <= 4 * 300
    assert wholes[0].area.width / wholes[0].area.height == pytest.approx(1.5, abs=0.01)


def test_a_full_sheet_has_no_small_pictures() -> None:
    assert not any(piece.is_whole for piece in packed_strips(frame(), entries(4, 4, 4))[0].pieces)


def test_a_sheet_has_one_paper_and_the_sheets_of_a_paper_follow_one_another() -> None:
    papers = ("rag", "lustre", "rag", "lustre", "rag")
    held = [replace(e, paper=p) for e, p in zip(entries(4, 4, 4, 2, 4), papers, strict=True)]
    sheets = packed_strips(frame(), held)
    # A sheet of 8x10 in holds three entries of four steps: all entries would fit on two.
    assert [(sheet.paper, sheet.entries) for sheet in sheets] == [
        ("rag", ("1", "3", "5")),
        ("lustre", ("2", "4")),
    ]
    assert len(packed_strips(frame(), entries(2, 2))) == 1


@given(frames, entry_lists, st.lists(st.sampled_from(["", "rag", "silk"]), min_size=8, max_size=8))
def test_no_sheet_mixes_papers(
    frame: StripFrame, held: list[StripEntry], papers: list[str]
) -> None:
    mixed = [replace(entry, paper=paper) for entry, paper in zip(held, papers, strict=False)]
    own = {entry.number: entry.paper for entry in mixed}
    _, sheets = best_packed(frame, mixed)
    assert all({own[number] for number in sheet.entries} == {sheet.paper} for sheet in sheets)
    assert {number for sheet in sheets for number in sheet.entries} == own.keys()


@pytest.mark.parametrize(("steps", "columns"), [((4, 4, 4), 4), ((2,), 2), ((1,), 1)])
def test_steps_are_as_wide_as_the_fewest_sheets_allow(steps: tuple[int, ...], columns: int) -> None:
    found, sheets = best_packed(frame(), entries(*steps))
    assert found.columns == columns
    assert len(sheets) == 1


def test_a_print_smaller_than_a_step_is_shown_whole() -> None:
    assert step_size(PixelSize(200, 150), frame()) == PixelSize(200, 150)


@given(prints, st.floats(0, 1), st.floats(0, 1))
def test_a_crop_lies_on_the_print_whatever_its_middle(size: PixelSize, x: float, y: float) -> None:
    shown = step_size(size, frame())
    crop = step_crop(size, shown, (x, y))
    assert (crop.width, crop.height) == (shown.width, shown.height)
    assert 0 <= crop.left <= size.width - crop.width
    assert 0 <= crop.top <= size.height - crop.height


def test_a_crop_has_its_middle_where_it_is_asked_for() -> None:
    crop = step_crop(PixelSize(3600, 2400), PixelSize(500, 600), (0.25, 0.5))
    assert (crop.left, crop.top) == (900 - 250, 1200 - 300)


def test_the_usual_sheet_is_8x10_or_what_the_lab_has_nearest() -> None:
    metric = replace(LAB, sheets=(read_size("210x297 mm"), read_size("24x30 in")))
    assert sheet_of(LAB, None) == read_size("8x10 in")
    assert sheet_of(metric, None) == read_size("210x297 mm")


def test_a_sheet_lies_as_it_is_asked_for() -> None:
    assert sheet_of(LAB, read_size("16x12 in")) == read_size("16x12 in")


def test_a_sheet_that_the_lab_does_not_sell_is_refused() -> None:
    with pytest.raises(ValueError, match=r"the lab lab sells no sheet of .*; it sells 8 × 10 in"):
        sheet_of(LAB, read_size("9x9 in"))


def test_a_sheet_too_small_for_a_step_is_refused() -> None:
    with pytest.raises(ValueError, match="too small for a test strip"):
        strip_frame(LAB, read_size("3x4 in"), head=HEAD, foot=FOOT)


@pytest.mark.parametrize("width", ["4.2", "7", "7.25", "10", "19"])
def test_nothing_at_the_foot_overlaps_or_sticks_out(width: str) -> None:
    foot = foot_of(inches(width))
    wedge, rule = wedge_size(foot.wedge_width), inches(RULE_INCHES)
    boxes = [
        (foot.wedge, wedge.width, wedge.height),
        (foot.white.place, foot.white.size.width, foot.white.size.height),
        (foot.black.place, foot.black.size.width, foot.black.size.height),
        (foot.rule, rule, inches("5/16")),
    ]
    placed = [Area(p.x.nm, p.y.nm, w.nm, h.nm) for p, w, h in boxes]
    whole = Area(0, 0, inches(width).nm, foot.height.nm)
    assert not overlapping(placed)
    assert all(within(area, whole) for area in placed)


def test_a_sheet_too_narrow_for_the_rule_is_refused() -> None:
    with pytest.raises(ValueError, match="too narrow for a rule of 4 in"):
        foot_of(inches(4))
