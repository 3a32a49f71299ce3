"""Boards from the shelf: worked examples by hand, and a law: nothing on it is used twice."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, Size, inches, millimetres
from proofs.measures import read_size
from proofs.plan.bench.materials import Material, MaterialList, boards_of, materials
from proofs.plan.bench.nesting import SPARE, BoardPiece
from proofs.plan.bench.shelved import CutDown, Shelf
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import Mat
from proofs.records.shelf import ShelfBoard, ShelfKind
from tests.pages.outcomes import planned
from tests.workbench import SHIPPED, a_job, a_mount, facts, no_window

STOCK = SHIPPED.stock("32x40-in")
# The mat of these jobs is 1.4 mm white, their backing 3/16 in white, their board 16 x 20 in.
JOB = a_job(
    mounts=(a_mount(name="mat"), a_mount(name="black", mat_colour="black"), no_window(name="bare"))
)
NEAR = inches("1/32")


def shelved(
    kind: str, size: str = "16x20 in", count: int = 1, *, opening: str = "", line: int = 2
) -> ShelfBoard:
    """Return boards of the shelf, white and as thick as the boards of these jobs."""
    thick = inches("3/16") if kind == ShelfKind.BACKING else millimetres("1.4")
    cut = read_size(opening) if opening else None
    return ShelfBoard(ShelfKind(kind), read_size(size), thick, opening=cut, count=count, line=line)


def plans(count: int, size: str = "long 12 in", mount: str = "mat") -> list[Plan]:
    return [planned(JOB, size, number=str(n + 1), mount=mount) for n in range(count)]


def listed(found: Sequence[Plan], *boards: ShelfBoard) -> MaterialList:
    return materials(found, STOCK, boards, near=NEAR)


def left(boards: MaterialList) -> list[int]:
    return [count for _, count in boards.left]


def bought(material: Material) -> list[str]:
    """Return what the pieces are for that are cut from sheets to buy."""
    sheets = (sheet for nesting in material.bought.nestings for sheet in nesting.sheets)
    return sorted(one.piece.label for sheet in sheets for one in sheet)


def test_a_shelf_that_just_suffices_leaves_nothing_to_buy_and_nothing_over() -> None:
    # By hand: two mounts and a spare take three mats and three backings. Two blank mats lie there;
    # the third mat is cut from the sheet of 17 x 21 in, whose edges of 1/8 in leave 16 3/4 in by
    # 20 3/4 in. Three backings lie there.
    found = listed(
        plans(2),
        shelved("blank mat", count=2),
        shelved("sheet", "17x21 in"),
        shelved("backing", count=3),
    )
    mats, backings = found.materials
    assert [material.bought.count for material in (mats, backings)] == [0, 0]
    assert [one.piece.label for one in mats.taken] == ["1", "2"]
    assert [len(cut.nesting.sheets) for cut in mats.from_shelf] == [1]
    assert [one.piece.label for one in backings.taken] == ["1", "2", SPARE]
    assert left(found) == [0, 0, 0]


def test_a_shelf_that_does_not_suffice_leaves_the_rest_to_buy() -> None:
    # By hand: three mounts and a spare take four mats and four backings. One blank mat and one of
    # 20 x 24 in lie there, from which one more is cut, so two mats are bought: two of 16 x 20 in
    # from one sheet of 32 x 40 in without its edges (15 7/8 in are left beside them, 16 are
    # needed). Two backings lie there, two are bought.
    found = listed(
        plans(3),
        shelved("blank mat"),
        shelved("blank mat", "20x24 in"),
        shelved("backing", count=2),
    )
    mats, backings = found.materials
    assert [one.piece.label for one in mats.taken] == ["1"]
    assert [len(cut.nesting.sheets) for cut in mats.from_shelf] == [1]
    assert [len(bought(material)) for material in (mats, backings)] == [2, 2]
    assert [material.bought.count for material in (mats, backings)] == [1, 1]
    assert left(found) == [0, 0, 0]


def test_a_shelf_with_more_than_enough_keeps_the_rest() -> None:
    found = listed(plans(1), shelved("blank mat", count=5), shelved("backing", count=2))
    assert left(found) == [3, 0]


def test_what_does_not_match_stays_on_the_shelf() -> None:
    white = shelved("blank mat", count=9)
    others = (
        replace(white, colour="black"),
        replace(white, core="black"),
        replace(white, thickness=millimetres(3)),
        replace(white, size=read_size("11x14 in")),
        replace(white, kind=ShelfKind.BACKING),
    )
    found = listed(plans(2), *others)
    assert left(found) == [9] * 5
    assert [len(bought(material)) for material in found.materials] == [3, 3]


def test_a_sheet_serves_for_mats_or_for_backings_by_its_thickness() -> None:
    thick = replace(shelved("sheet", "32x40 in"), thickness=inches("3/16"), core="grey")
    mats, backings = listed(plans(1), thick).materials
    assert (len(mats.from_shelf), len(backings.from_shelf)) == (0, 1)


def test_an_inner_mat_is_cut_from_a_larger_blank_one() -> None:
    inner = Mat(shows=inches("1/4"), thickness=millimetres("1.4"))
    plan = planned(a_job(mount=a_mount(inner=(inner,))))
    mats, _ = listed([plan], shelved("blank mat", count=3)).materials
    assert [one.piece.label for one in mats.taken] == ["1", SPARE]
    (cut,) = mats.from_shelf
    assert [one.piece.label for sheet in cut.nesting.sheets for one in sheet] == ["1 lower"]


def test_a_ready_cut_mat_is_taken_for_the_entry_whose_opening_it_has() -> None:
    # Arithmetic: 12 x 8 in less 1/8 in on each side is 11 3/4 x 7 3/4 in.
    found = listed(plans(2), shelved("ready-cut mat", "20x16 in", opening="11 3/4x7 3/4 in"))
    mats, _ = found.materials
    assert found.ready_cut == {"1"}
    # What is cut by hand still has its spare: one for entry 2.
    assert bought(mats) == ["2", SPARE]
    assert left(found) == [0]


@pytest.mark.parametrize(
    ("size", "opening", "is_taken"),
    [
        ("16x20 in", "7 3/4x11 3/4 in", True),  # the same mat, turned
        ("20x16 in", "7 3/4x11 3/4 in", False),  # the opening runs the other way
        ("20x16 in", "11 25/32x7 3/4 in", True),  # half a mark of a ruler
        ("20x16 in", "11 7/8x7 3/4 in", False),
        ("18x16 in", "11 3/4x7 3/4 in", False),
    ],
)
def test_a_ready_cut_mat_has_to_have_the_board_and_the_opening(
    size: str, opening: str, is_taken: bool
) -> None:
    found = listed(plans(1), shelved("ready-cut mat", size, opening=opening))
    assert bool(found.ready_cut) is is_taken


def test_a_mat_that_its_mount_gives_is_taken_if_it_lies_there() -> None:
    given = a_mount(board=read_size("16x20 in"), opening=read_size("7 3/4x11 3/4 in"))
    plan = planned(a_job(mount=given), "largest")
    found = listed([plan], shelved("ready-cut mat", opening="7 3/4x11 3/4 in"))
    assert found.ready_cut == {"1"}
    assert left(found) == [0]
    assert [material.kind.use for material in found.materials] == ["mat", "backing"]
    assert [material.bought.count for material in found.materials] == [0, 1]
    assert [material.kind.use for material in listed([plan]).materials] == ["backing"]


def test_a_double_mat_is_not_taken_ready_cut() -> None:
    inner = Mat(shows=inches("1/4"), thickness=millimetres("1.4"))
    plan = planned(a_job(mount=a_mount(inner=(inner,))))
    top = plan.layout.windows[0][0].limiting.size
    mat = replace(shelved("ready-cut mat", "20x16 in", opening="1x1 in"), opening=top)
    assert listed([plan], mat).ready_cut == frozenset()


def test_a_job_of_ready_cut_mats_alone_needs_no_spare_mat() -> None:
    mats, _ = listed(
        plans(2), shelved("ready-cut mat", "20x16 in", 2, opening="11 3/4x7 3/4 in")
    ).materials
    assert [one.piece.label for one in mats.taken] == ["1", "2"]
    assert (mats.bought.count, mats.from_shelf) == (0, ())


def test_where_grain_has_to_run_one_way_a_blank_mat_is_not_turned() -> None:
    grained = replace(STOCK, may_turn=False)
    upright = shelved("blank mat", "16x20 in", 9)
    found = materials(plans(1), grained, (upright,))
    assert left(found) == [9]


def test_what_is_bought_for_the_spare_alone_says_so() -> None:
    mats, backings = listed(plans(2), shelved("blank mat", count=2)).materials
    assert (mats.is_for_spares_alone, backings.is_for_spares_alone) == (True, False)


def test_a_board_that_is_not_there_cannot_be_taken() -> None:
    with pytest.raises(ValueError, match="no board of row 0"):
        Shelf.of([shelved("sheet", count=0)]).take(0)


sizes = st.sampled_from(["16x20 in", "20x16 in", "20x24 in", "17x21 in", "11x14 in", "32x40 in"])
shelves = st.lists(
    st.one_of(
        st.builds(
            shelved,
            st.sampled_from(["blank mat", "backing", "sheet"]),
            sizes,
            st.integers(0, 3),
        ),
        st.builds(
            lambda count: shelved("ready-cut mat", "20x16 in", count, opening="11 3/4x7 3/4 in"),
            st.integers(0, 3),
        ),
    ),
    max_size=6,
).map(lambda boards: tuple(replace(board, line=n) for n, board in enumerate(boards, 2)))
PICTURES = {"wide": facts(3600, 2400), "high": facts(2400, 3600)}
jobs = st.lists(
    st.tuples(st.sampled_from(["mat", "black", "bare"]), st.sampled_from(sorted(PICTURES))),
    min_size=1,
    max_size=5,
).map(
    lambda wishes: [
        planned(JOB, number=str(n), mount=mount, photo=PICTURES[photo])
        for n, (mount, photo) in enumerate(wishes, 1)
    ]
)


def pieces(material: Material) -> Counter[BoardPiece]:
    """Return all pieces of a kind, wherever they come from."""
    nestings = [cut.nesting for cut in material.from_shelf] + [*material.bought.nestings]
    cut = (one.piece for nesting in nestings for sheet in nesting.sheets for one in sheet)
    return Counter([*(one.piece for one in material.taken), *cut, *material.bought.too_large])


def ready_cut(material: Material) -> list[BoardPiece]:
    return [one.piece for one in material.taken if one.board.opening]


def lines_used(material: Material) -> list[int | None]:
    """Return the line of each board that is taken from the shelf, once for each."""
    cut = [line for one in material.from_shelf for line in [one.board.line] * _sheets(one)]
    return [one.board.line for one in material.taken] + cut


def _sheets(cut: CutDown) -> int:
    return len(cut.nesting.sheets)


@given(jobs, shelves)
def test_nothing_on_the_shelf_is_used_twice(
    found: list[Plan], shelf: tuple[ShelfBoard, ...]
) -> None:
    boards = listed(found, *shelf)
    used = Counter(line for material in boards.materials for line in lines_used(material))
    assert [used[board.line] for board in shelf] == [
        board.count - count for board, count in boards.left
    ]
    assert min((count for _, count in boards.left), default=0) >= 0


def test_kinds_of_mat_stay_in_the_order_of_the_entries_whatever_lies_on_the_shelf() -> None:
    white, black = (
        planned(a_job(mount=a_mount(mat_colour=colour)), "long 12 in", number=number)
        for colour, number in (("white", "1"), ("black", "2"))
    )
    there = shelved("ready-cut mat", "20x16 in", opening="11 3/4x7 3/4 in")
    found = listed([white, black], replace(there, colour="black"))
    assert found.ready_cut == {"2"}
    assert [material.kind.colour for material in found.materials][:2] == ["white", "black"]


@given(jobs, shelves)
def test_every_board_of_the_job_is_there_once(
    found: list[Plan], shelf: tuple[ShelfBoard, ...]
) -> None:
    boards = listed(found, *shelf)
    expected = boards_of(found, boards.ready_cut)
    assert [material.kind for material in boards.materials] == list(expected)
    assert [pieces(material) for material in boards.materials] == [
        Counter([*expected[material.kind], *ready_cut(material)]) for material in boards.materials
    ]


@given(jobs, shelves)
def test_a_piece_from_the_shelf_lies_within_its_board(
    found: list[Plan], shelf: tuple[ShelfBoard, ...]
) -> None:
    whole = [
        (one.board.size, one.piece.size) for m in listed(found, *shelf).materials for one in m.taken
    ]
    assert all(_alike(board, piece) for board, piece in whole)
    cut = [
        (cut.board.size, one.area.right, one.area.bottom)
        for m in listed(found, *shelf).materials
        for cut in m.from_shelf
        for sheet in cut.nesting.sheets
        for one in sheet
    ]
    assert all(_within(board, right, bottom) for board, right, bottom in cut)


def _alike(board: Size, piece: Size) -> bool:
    return piece in (board, board.turned)


def _within(board: Size, right: Length, bottom: Length) -> bool:
    return right <= board.width and bottom <= board.height
