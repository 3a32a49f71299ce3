"""Several pictures on one board: figures worked by hand, and the laws of every arrangement."""

from dataclasses import replace
from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from proofs.findings import Severity
from proofs.lengths import ZERO, Length, Size, inches, millimetres, total
from proofs.measures import read_length, read_size
from proofs.plan.checks.checking import check
from proofs.plan.checks.limits import Seen
from proofs.plan.checks.size_checks import size_findings
from proofs.plan.entry.board import Cut, Layout, Opening
from proofs.plan.entry.layout import lay_out, limiting_size
from proofs.plan.entry.planning import Plan, plan_entry, resized
from proofs.records.arrangements import Arrangement, Rows, read_arrangement
from proofs.records.cells import Orientation
from proofs.records.job import Job
from proofs.records.mounts import BevelKind, Mat, Mount, WindowKind, WindowShape
from proofs.records.rules import VisibleRule
from proofs.records.size_and_crop import read_size_wish
from tests import near
from tests.workbench import (
    TRUE,
    TRUE_LAB,
    a_job,
    a_mount,
    a_reveal,
    an_entry,
    boards,
    by_code,
    facts,
    images,
    lengths_from,
    mounts,
    no_window,
    rule_sets,
    size_cell_of,
    some_rules,
    widened,
    windows,
)

LANDSCAPE, PORTRAIT, SQUARE = (3600, 2400), (2400, 3000), (3000, 3000)


def plan_of(
    *pictures: tuple[int, int],
    job: Job | None = None,
    size: str = "largest",
    arrangement: str = "row",
    **cells: Any,
) -> Plan:
    """Return the plan of pictures of these pixels on one board."""
    names = "|".join(f"{n}.jpg" for n in range(len(pictures)))
    entry = an_entry(size, file=names, arrangement=read_arrangement(arrangement), **cells)
    return plan_entry(job or a_job(), entry, *(facts(*picture) for picture in pictures))


def backs(layout: Layout) -> list[Opening]:
    """Return the openings at the back of the first mat."""
    return [picture.cuts[0].back for picture in layout.pictures]


def place(opening: Opening) -> tuple[Length, Length]:
    """Return left and top of an opening."""
    return opening.place.x, opening.place.y


def mm(*values: str) -> tuple[Length, ...]:
    """Return lengths in millimetres."""
    return tuple(millimetres(value) for value in values)


# Worked by hand, from the mount of the workbench: a mat of 1.4 mm that hides 1/8 in, bars of 1 in
# at the face, so 25.4 + 2 x 1.4 = 28.2 mm at the back; boards of 16 x 20 in are 406.4 x 508 mm.


def test_a_diptych_of_two_images_of_6_by_4_in() -> None:
    layout = plan_of(LANDSCAPE, LANDSCAPE, size="long 6 in").layout
    # Openings of 5 3/4 x 3 3/4 in are 146.05 x 95.25 mm; both and the bar are 320.3 mm wide,
    # which leaves (508 - 320.3) / 2 = 93.85 mm left and (406.4 - 95.25) / 2 = 155.575 mm above.
    assert layout.board == read_size("20x16 in")
    assert [o.size for o in backs(layout)] == [read_size("5.75x3.75 in")] * 2
    assert [place(o) for o in backs(layout)] == [mm("93.85", "155.575"), mm("268.1", "155.575")]
    borders = layout.borders_back
    assert (borders.top, borders.right, borders.bottom, borders.left) == mm(
        "155.575", "93.85", "155.575", "93.85"
    )
    assert layout.borders_face == widened(borders, -millimetres("1.4"))


def test_the_bar_of_a_diptych_is_an_inch_at_the_face_and_two_bevels_more_at_the_back() -> None:
    left, right = plan_of(LANDSCAPE, LANDSCAPE, size="long 6 in").layout.pictures
    assert right.cuts[0].face.place.x - left.cuts[0].face.right == inches(1)
    assert right.cuts[0].back.place.x - left.cuts[0].back.right == millimetres("28.2")


def test_a_grid_of_two_by_two_squares_of_5_in() -> None:
    layout = plan_of(*[SQUARE] * 4, size="long 5 in", arrangement="grid 2x2").layout
    # Openings of 4 3/4 in are 120.65 mm; two and a bar are 269.5 mm; (406.4 - 269.5) / 2 = 68.45
    # and (508 - 269.5) / 2 = 119.25 mm; the second ones start 120.65 + 28.2 = 148.85 mm on.
    assert [place(o) for o in backs(layout)] == [
        mm("68.45", "119.25"),
        mm("217.3", "119.25"),
        mm("68.45", "268.1"),
        mm("217.3", "268.1"),
    ]
    assert {o.size for o in backs(layout)} == {read_size("4.75x4.75 in")}


def test_a_triptych_of_different_shapes_shares_its_height() -> None:
    layout = plan_of(LANDSCAPE, PORTRAIT, LANDSCAPE, size="long 6 in").layout
    # 3:2, 4:5 and 3:2 at a height of 4 in are 6, 3.2 and 6 in wide; 5.75, 2.95 and 5.75 in of
    # them are seen: 146.05 + 74.93 + 146.05 mm and two bars of 28.2 are 423.43 mm, which leaves
    # (508 - 423.43) / 2 = 42.285 mm on either side.
    assert [p.image.size for p in layout.pictures] == [
        read_size("6x4 in"),
        read_size("3.2x4 in"),
        read_size("6x4 in"),
    ]
    assert [o.place.x for o in backs(layout)] == list(mm("42.285", "216.535", "319.665"))
    assert (layout.borders_back.left, layout.borders_back.right) == mm("42.285", "42.285")


def test_a_column_shares_its_width() -> None:
    layout = plan_of(LANDSCAPE, SQUARE, size="short 4 in", arrangement="column").layout
    # The landscape is 6 x 4 in; a square as wide is 6 x 6 in.
    assert [p.image.size for p in layout.pictures] == [read_size("6x4 in"), read_size("6x6 in")]
    assert layout.board == read_size("16x20 in")


def test_rows_of_an_order_of_their_own_end_together() -> None:
    layout = plan_of(LANDSCAPE, SQUARE, SQUARE, size="long 8 in", arrangement="1 / 2 3").layout
    wide, left, right = backs(layout)
    assert wide.size.width == read_length("7.75 in")
    assert (left.place.x, right.right) == (wide.place.x, wide.right)
    # 7 3/4 in less a bar of 28.2 mm are two openings of 84.325 mm.
    assert left.size == right.size == Size(*mm("84.325", "84.325"))


def test_each_picture_keeps_a_size_of_its_own() -> None:
    layout = plan_of(LANDSCAPE, SQUARE, size="long 8 in | long 4 in").layout
    assert [p.image.size.longest for p in layout.pictures] == [inches(8), inches(4)]
    big, small = backs(layout)
    # 8 x 5 1/3 in next to 4 x 4 in: the small one hangs on the middle of the large one.
    assert abs((big.place.y + big.bottom).nm - (small.place.y + small.bottom).nm) <= near.ONE_NM


def test_a_common_window_leaves_paper_between_the_pictures() -> None:
    mount = a_reveal(inches("1/2"), common=True, bar=inches(1))
    layout = plan_of(SQUARE, SQUARE, job=a_job(mount), size="long 5 in").layout
    (cuts,) = layout.windows
    # 5 + 1 + 5 in of images and paper, and half an inch of paper all round: 12 x 6 in.
    assert cuts[0].back.size == read_size("12x6 in")
    left, right = layout.pictures
    assert right.image.place.x - left.image.right == inches(1)
    assert left.image.place.x - cuts[0].back.place.x == inches("1/2")
    assert left.paper_needed == right.paper_needed == read_size("12.5x6.5 in")


def test_a_double_mat_shows_a_quarter_inch_of_its_inner_mat() -> None:
    inner = Mat(shows=inches("1/4"), thickness=millimetres("1.4"))
    (picture,) = lay_out(
        a_mount(inner=(inner,)), read_size("16x20 in"), read_size("8x10 in")
    ).pictures
    outer_cut, inner_cut = picture.cuts
    # 1/8 in hidden leaves 7.75 x 9.75 in, 196.85 x 247.65 mm, at the inner back; its face is
    # 2.8 mm larger, then 2 x 6.35 mm are seen, and the outer bevel adds 2.8 mm at the face. A
    # published answer on double mats has 0.61 in between the back openings: 2 x (6.35 + 1.4).
    assert inner_cut.back.size == Size(*mm("196.85", "247.65")) == picture.sight.size
    assert inner_cut.face.size == Size(*mm("199.65", "250.45"))
    assert outer_cut.back.size == Size(*mm("212.35", "263.15"))
    assert outer_cut.face.size == Size(*mm("215.15", "265.95"))
    apart = outer_cut.back.size.width - inner_cut.back.size.width
    assert apart == millimetres("15.5")
    assert round(apart.inches, 2) == 0.61


def test_a_float_shows_its_paper_and_the_board_round_it() -> None:
    mount = a_mount(
        window=WindowKind.FLOAT,
        overlap=ZERO,
        paper=inches("1/2"),
        gap=inches("1/4"),
        mat=millimetres("2.8"),
        spacer=inches("1/8"),
    )
    (picture,) = lay_out(mount, read_size("20x16 in"), read_size("10x8 in")).pictures
    assert picture.sight.size == read_size("10x8 in")
    assert picture.paper_edge is not None
    assert picture.paper_edge.size == picture.print_seen.size == read_size("11x9 in")
    assert picture.back is not None
    assert picture.back.size == read_size("11.5x9.5 in")
    assert mount.thickness(ZERO) == total([inches("3/16"), inches("1/8"), millimetres("2.8")])


def test_a_print_with_its_surround_reaches_an_eighth_of_an_inch_beyond_the_board() -> None:
    mount = no_window(window=WindowKind.SURROUND)
    layout = lay_out(mount, read_size("20x16 in"), read_size("12x8 in"))
    (picture,) = layout.pictures
    assert picture.paper_needed == read_size("20.25x16.25 in")
    assert picture.sight.size == read_size("12x8 in")
    assert layout.borders_face.least == inches(4)


def test_an_oval_shows_the_area_of_an_ellipse() -> None:
    (picture,) = lay_out(
        a_mount(shape=WindowShape.OVAL), read_size("16x20 in"), read_size("8x10 in")
    ).pictures
    # Pi x 7.75 x 9.75 / 4 = 59.3466 sq in, the handbook's area of an ellipse.
    assert picture.sight.size == read_size("7.75x9.75 in")
    seen = Seen(picture.sight.size, is_oval=picture.is_oval)
    assert seen.square_nm / 25_400_000**2 == pytest.approx(59.3466, abs=5e-5)


def test_a_round_window_is_as_wide_as_high() -> None:
    (picture,) = lay_out(
        a_mount(shape=WindowShape.ROUND), read_size("16x20 in"), read_size("8x10 in")
    ).pictures
    assert picture.sight.size == read_size("7.75x7.75 in")
    assert picture.sight.place.y - picture.image.place.y == inches("9/8")


@pytest.mark.parametrize(
    ("bevel", "limiting"), [(BevelKind.REVERSE, "face"), (BevelKind.STRAIGHT, "face")]
)
def test_the_face_edge_limits_a_reverse_bevel_and_a_straight_cut(bevel: str, limiting: str) -> None:
    (picture,) = lay_out(a_mount(bevel=bevel), read_size("16x20 in"), read_size("8x10 in")).pictures
    assert picture.limiting == getattr(picture, limiting)
    assert picture.sight.size == read_size("7.75x9.75 in")


# Rules.


def test_where_the_rules_say_so_the_longest_sides_count_together_and_gaps_do_not() -> None:
    rules = some_rules(visible=VisibleRule(longest_least=inches(10), sums=True))
    plan = plan_of(LANDSCAPE, LANDSCAPE, job=a_job(rules=rules), size="long 6 in")
    found = by_code(size_findings(a_job(rules=rules), plan))["longest-side"]
    # Two sides of 5 3/4 in; each may be cut 2 mm short: 11.5 in less 4 mm still are over 10 in.
    assert found.severity is Severity.MET
    assert found.measured == pytest.approx(11.5 * 25.4, abs=near.ARITHMETIC)
    assert "2 pictures together" in found.message


def test_else_each_picture_counts_by_itself_and_the_finding_names_it() -> None:
    rules = some_rules(visible=VisibleRule(longest_least=inches(5)))
    job = a_job(rules=rules)
    plan = plan_of(LANDSCAPE, PORTRAIT, job=job, size="long 6 in")
    found = by_code(size_findings(job, plan))["longest-side"]
    assert found.severity is Severity.BROKEN
    assert found.measured == pytest.approx(3.75 * 25.4, abs=near.ARITHMETIC)
    assert "picture 2, each of 2 counting by itself" in found.message


@pytest.mark.parametrize(("counts", "longest"), [(False, "10 in"), (True, "11 in")])
def test_rules_say_whether_the_paper_of_a_float_counts(counts: bool, longest: str) -> None:
    mount = no_window(window=WindowKind.FLOAT, paper=inches("1/2"))
    rules = some_rules(visible=VisibleRule(longest_least=inches(9), counts_paper=counts))
    job = a_job(mount, rules)
    found = by_code(size_findings(job, plan_of(LANDSCAPE, job=job, size="long 10 in")))
    assert found["longest-side"].measured == pytest.approx(read_length(longest).mm)
    assert ("with the paper seen" in found["longest-side"].message) == counts


def test_a_keyline_wider_than_the_rules_allow_breaks_them() -> None:
    mount = no_window(window=WindowKind.SURROUND, keyline=millimetres(2))
    job = a_job(mount, some_rules(keyline_most=millimetres(1)))
    found = by_code(check(job, plan_of(LANDSCAPE, job=job)))["keyline"]
    assert found.severity is Severity.BROKEN
    assert found.remedy


def test_every_mat_is_held_to_the_colours_of_the_rules() -> None:
    inner = Mat(inches("1/4"), millimetres("1.4"), colour="black")
    job = a_job(a_mount(inner=(inner,)), some_rules(mat_colours=("white",)))
    found = [f for f in check(job, plan_of(LANDSCAPE, job=job)) if f.code == "mat-colour"]
    assert {(f.severity, f.measured) for f in found} == {
        (Severity.MET, "white"),
        (Severity.BROKEN, "black"),
    }


# What cannot be.


def test_a_grid_of_shapes_that_do_not_line_up_is_refused_with_a_way_out() -> None:
    with pytest.raises(ValueError, match="crop them to one shape, or write '1 2 / 3 4'"):
        plan_of(LANDSCAPE, PORTRAIT, PORTRAIT, LANDSCAPE, arrangement="grid 2x2")


def test_a_grid_for_another_number_of_pictures_is_refused() -> None:
    with pytest.raises(ValueError, match="is not for 3 pictures"):
        plan_of(SQUARE, SQUARE, SQUARE, arrangement="grid 2x2")


def test_largest_is_no_size_for_one_picture_of_several() -> None:
    with pytest.raises(ValueError, match="write it once"):
        plan_of(SQUARE, SQUARE, size="long 4 in | largest")


# Laws.

counts = st.integers(2, 5)
pictures = st.lists(st.sampled_from([LANDSCAPE, PORTRAIT, SQUARE]), min_size=2, max_size=5)
inner_mats = st.lists(st.builds(Mat, lengths_from(3, 8), lengths_from(1, 3)), max_size=2).map(tuple)
several_images = st.lists(images, min_size=2, max_size=5)


@st.composite
def orders(draw: st.DrawFn, count: int) -> Rows:
    """Return rows of this many pictures, in any order."""
    numbers = draw(st.permutations(range(count)))
    cuts = sorted(draw(st.sets(st.integers(1, count - 1)))) if count > 1 else []
    return tuple(tuple(numbers[a:b]) for a, b in pairwise([0, *cuts, count]))


@st.composite
def laid_groups(draw: st.DrawFn) -> tuple[Mount, Size, tuple[Size, ...], Rows]:
    """Return a mount with a window, a board, and several images in rows."""
    mount = draw(windows)
    sizes = tuple(draw(several_images))
    return mount, draw(boards), sizes, draw(orders(len(sizes)))


def touching(one: Opening, other: Opening) -> bool:
    """Return whether two openings have any area in common."""
    across = one.place.x < other.right and other.place.x < one.right
    return across and one.place.y < other.bottom and other.place.y < one.bottom


def faces(layout: Layout) -> list[Opening]:
    """Return the openings at the face of the first mat."""
    return [picture.cuts[0].face for picture in layout.pictures]


@given(group=laid_groups(), inner=inner_mats, bar=lengths_from(13, 60))
def test_windows_never_overlap(
    group: tuple[Mount, Size, tuple[Size, ...], Rows], inner: tuple[Mat, ...], bar: Length
) -> None:
    mount, board, sizes, rows = group
    layout = lay_out(replace(mount, inner=inner, bar=bar), board, *sizes, rows=rows)
    assert not any(touching(a, b) for a, b in combinations(faces(layout), 2))
    assert not any(touching(a, b) for a, b in combinations(backs(layout), 2))


@given(group=laid_groups(), inner=inner_mats, bar=lengths_from(13, 60))
def test_borders_windows_and_bars_make_up_the_board(
    group: tuple[Mount, Size, tuple[Size, ...], Rows], inner: tuple[Mat, ...], bar: Length
) -> None:
    mount, board, sizes, _ = group
    changed = replace(mount, inner=inner, bar=bar)
    layout = lay_out(changed, board, *sizes)
    more = layout.pictures[0].cuts[0].face.size.width - layout.pictures[0].cuts[0].back.size.width
    between = (len(sizes) - 1) * bar
    assert _across(
        layout.borders_face.left, faces(layout), layout.borders_face.right
    ) + between == (board.width)
    at_back = _across(layout.borders_back.left, backs(layout), layout.borders_back.right)
    assert at_back + between + (len(sizes) - 1) * more == board.width


def _across(left: Length, openings: list[Opening], right: Length) -> Length:
    return left + total(o.size.width for o in openings) + right


@given(group=laid_groups(), bar=lengths_from(13, 60))
def test_a_column_makes_up_the_height_of_the_board(
    group: tuple[Mount, Size, tuple[Size, ...], Rows], bar: Length
) -> None:
    mount, board, sizes, _ = group
    rows = Arrangement("column").rows(len(sizes))
    layout = lay_out(replace(mount, bar=bar), board, *sizes, rows=rows)
    borders, openings = layout.borders_face, faces(layout)
    heights = total(o.size.height for o in openings) + (len(sizes) - 1) * bar
    assert borders.top + heights + borders.bottom == board.height


@given(
    board=boards,
    sizes=several_images,
    bevel=st.sampled_from([BevelKind.ORDINARY, BevelKind.REVERSE, BevelKind.STRAIGHT]),
    inner=inner_mats,
)
def test_turning_the_board_turns_everything(
    board: Size, sizes: list[Size], bevel: str, inner: tuple[Mat, ...]
) -> None:
    mount = a_mount(bevel=bevel, inner=inner)
    lying = lay_out(mount, board, *sizes)
    column = Arrangement("column").rows(len(sizes))
    standing = lay_out(mount, board.turned, *(s.turned for s in sizes), rows=column)
    for one, other in zip(lying.pictures, standing.pictures, strict=True):
        assert [_turned(cut) for cut in one.cuts] == list(other.cuts)


def _turned(cut: Cut) -> Cut:
    return Cut(_turned_line(cut.back), _turned_line(cut.face))


def _turned_line(line: Opening) -> Opening:
    return Opening(line.size.turned, type(line.place)(line.place.y, line.place.x))


@given(mount=mounts, board=boards, image=images)
def test_one_picture_lies_the_same_however_it_is_arranged(
    mount: Mount, board: Size, image: Size
) -> None:
    alone = lay_out(mount, board, image)
    assert lay_out(mount, board, image, rows=((0,),)) == alone
    assert lay_out(replace(mount, bar=inches(3)), board, image) == alone
    (picture,) = alone.pictures
    assert picture.limiting is None or picture.limiting.size == limiting_size(mount, image)


@given(
    shapes=pictures,
    inner=inner_mats,
    board=st.sampled_from([None, Orientation.PORTRAIT, Orientation.LANDSCAPE]),
)
def test_the_largest_group_stays_on_its_board(
    shapes: list[tuple[int, int]], inner: tuple[Mat, ...], board: str | None
) -> None:
    job = a_job(a_mount(inner=inner, least_border=inches(1)))
    layout = plan_of(*shapes, job=job, board=board).layout
    assert layout.borders_face.least >= inches(1)


@given(shapes=pictures, order=st.data(), side=lengths_from(60, 200))
def test_one_size_is_that_of_the_picture_that_reaches_it_first(
    shapes: list[tuple[int, int]], order: st.DataObject, side: Length
) -> None:
    rows = order.draw(orders(len(shapes)))
    text = " / ".join(" ".join(str(n + 1) for n in row) for row in rows)
    arrangement = text if len(rows) > 1 else "row"
    try:
        plan = plan_of(*shapes, size=f"long {side.nm / 1e6:.6f} mm", arrangement=arrangement)
    except ValueError:  # the others would be too small to be seen
        assume(False)
    assert max(part.image.size.longest for part in plan.parts) == side


@given(shapes=pictures)
def test_pictures_of_a_row_share_their_height_to_the_pixel(shapes: list[tuple[int, int]]) -> None:
    plan = plan_of(*shapes, size="long 4 in")
    assert len({part.pixels.height for part in plan.parts}) == 1


@given(
    shapes=pictures, rules=rule_sets, size=st.sampled_from(["largest", "long 5 in", "short 3 in"])
)
def test_a_remedy_once_applied_meets_every_rule_of_size(
    shapes: list[tuple[int, int]], rules: Any, size: str
) -> None:
    job = a_job(a_mount(overlap=inches("1/4")), rules)
    try:
        plan = plan_of(*shapes, job=job, size=size)
    except ValueError:
        assume(False)
    remedies = [size_cell_of(f.remedy) for f in check(job, plan) if f.remedy]
    assert all(_is_met(job, plan, cell) for cell in remedies if cell)


@pytest.mark.parametrize("cell", ["long 4 in | long 5 in", "short 3 in | short 4 in"])
def test_a_remedy_for_sizes_of_their_own_names_one_for_each(cell: str) -> None:
    rules = some_rules(visible=VisibleRule(longest_least=inches(6)))
    job = a_job(rules=rules, cutter=TRUE, lab=TRUE_LAB)
    plan = plan_of(SQUARE, SQUARE, job=job, size=cell, arrangement="column")
    finding = by_code(check(job, plan))["longest-side"]
    assert finding.remedy
    mended = size_cell_of(finding.remedy)
    assert len(mended.split("|")) == 2
    assert _is_met(job, plan, mended)


def _is_met(job: Job, plan: Plan, cell: str) -> bool:
    wishes = [read_size_wish(part) for part in cell.split("|")]
    found = size_findings(job, resized(job, plan, *wishes))
    return all(f.severity is Severity.MET for f in found)
