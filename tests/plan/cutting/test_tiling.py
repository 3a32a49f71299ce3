"""A board over pages; laws of geometry, no outside source."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, Size, millimetres
from proofs.measures import read_size
from proofs.plan.cutting.tiling import BEYOND, OVERLAP, Tile, Tiling, tiled
from tests.workbench import lengths_from

A4_ROOM = Size(millimetres(191), millimetres(263))
boards = st.builds(Size, lengths_from(100, 1200), lengths_from(100, 1200))
rooms = st.builds(Size, lengths_from(120, 280), lengths_from(120, 280))
_ARM = millimetres(3)


def end_x(tile: Tile) -> Length:
    return tile.area.place.x + tile.area.size.width


def end_y(tile: Tile) -> Length:
    return tile.area.place.y + tile.area.size.height


def first_row(tiling: Tiling) -> tuple[Tile, ...]:
    return tiling.tiles[: tiling.columns]


def first_column(tiling: Tiling) -> tuple[Tile, ...]:
    return tiling.tiles[:: tiling.columns]


@given(board=boards, room=rooms)
def test_every_tile_fits_its_page(board: Size, room: Size) -> None:
    assert all(room.holds(tile.area.size) for tile in tiled(board, room).tiles)


@given(board=boards, room=rooms)
def test_neighbours_share_the_overlap_and_the_whole_board_is_shown(board: Size, room: Size) -> None:
    tiling = tiled(board, room)
    across, down = first_row(tiling), first_column(tiling)
    assert all(end_x(a) - b.area.place.x == OVERLAP for a, b in pairwise(across))
    assert all(end_y(a) - b.area.place.y == OVERLAP for a, b in pairwise(down))
    assert across[0].area.place.x == down[0].area.place.y == -BEYOND
    assert end_x(across[-1]) >= board.width + BEYOND
    assert end_y(down[-1]) >= board.height + BEYOND


@given(board=boards, room=rooms)
def test_every_mark_stands_whole_on_exactly_two_pages(board: Size, room: Size) -> None:
    tiling = tiled(board, room)
    shown = [sum(tile.area.holds(mark, _ARM) for tile in tiling.tiles) for mark in tiling.marks]
    assert set(shown) <= {2}


@given(board=boards, room=rooms)
def test_two_marks_join_each_pair_of_neighbours(board: Size, room: Size) -> None:
    tiling = tiled(board, room)
    seams = (tiling.columns - 1) * tiling.rows + (tiling.rows - 1) * tiling.columns
    assert len(set(tiling.marks)) == 2 * seams
    pairs = {
        tuple(n for n, tile in enumerate(tiling.tiles) if tile.area.holds(mark, _ARM))
        for mark in tiling.marks
    }
    assert len(pairs) == seams


@pytest.mark.parametrize(
    ("board", "pages"), [("16x20 in", 6), ("40x50 cm", 6), ("5x7 in", 1), ("20x16 in", 6)]
)
def test_no_more_pages_than_it_takes(board: str, pages: int) -> None:
    # By hand, with 191 x 263 mm of room and 8 mm of overlap: 16 x 20 in needs 3 by 2.
    assert len(tiled(read_size(board), A4_ROOM).tiles) == pages
