"""The wall in its pixels; places come from the plan of the hang, looks are common practice."""

import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from proofs.lengths import PixelSize
from proofs.outside.fonts import load_fonts
from proofs.outside.hang_drawing import INK, PLASTER, WALL, Caption, hang_png, hung_codes
from proofs.outside.png import png_of_strips, rgb_png
from proofs.outside.sheet_pictures import small_jpeg
from proofs.plan.entry.mockup import hung_pixels
from proofs.plan.wall.hang import Hang, Mounted, Wall, hang
from tests.outside.test_mockups import BLUE, plan_of, read, whole_front
from tests.workbench import BOARD, a_mount

Codes = NDArray[np.uint8]
FONTS = load_fonts()
JPEG_NOISE = 6  # codes, on even areas
RED, GREEN = (200, 40, 30), (30, 160, 60)
FOUR = [Mounted(BOARD, name) for name in ("Open", "Open", "Nature", "Nature")]
TITLES = [Caption(str(n + 1), f"Old pier {n}") for n in range(4)]


def board(ink: tuple[int, int, int]) -> bytes:
    """A small picture of a board that is all one colour, in the proportion of 16 x 20 in."""
    return small_jpeg(np.full((667, 533, 3), ink, np.uint8))


BOARDS = [board(ink) for ink in (BLUE, RED, GREEN, BLUE)]


def drawn(found: Hang, captions: list[Caption] | None = None) -> Codes:
    return read(hang_png(found, captions or TITLES, BOARDS.__getitem__, FONTS))


def test_every_mount_hangs_where_its_plan_says() -> None:
    found = hang(FOUR, WALL)
    wall = drawn(found)
    assert wall.shape == (found.height, found.width, 3)
    inks = [BLUE, RED, GREEN, BLUE]
    away = [
        np.abs(wall[m.top : m.bottom, m.left : m.right].astype(int) - inks[m.place]).max()
        for m in found.mounts
    ]
    assert max(away) <= JPEG_NOISE


def test_a_smaller_scale_shows_every_mount_in_its_own_pixels() -> None:
    small = Wall(1200, 1200, WALL.largest, WALL.title, WALL.heading, WALL.least_gap)
    found = hang(FOUR, small)
    assert found.scale < WALL.largest
    wall = drawn(found)
    edges = [
        wall[m.top + 1 : m.bottom - 1, m.left + 1 : m.right - 1].reshape(-1, 3).std(axis=0).max()
        for m in found.mounts
    ]
    assert max(edges) <= JPEG_NOISE


def test_between_mounts_there_is_nothing_but_wall_shadow_and_words() -> None:
    wall = drawn(hang(FOUR, WALL)).astype(int)
    for mount in hang(FOUR, WALL).mounts:
        wall[mount.top : mount.bottom, mount.left : mount.right] = PLASTER
    assert (wall.max(axis=2) - wall.min(axis=2)).max() == 0  # grey
    assert (wall.max(), wall.min()) == (PLASTER[0], INK[0])
    assert tuple(wall[0, 0]) == tuple(wall[-1, -1]) == PLASTER


def test_the_shadow_is_below_a_mount_and_soft() -> None:
    found = hang([Mounted(BOARD)], WALL)
    wall = drawn(found, [Caption("", "")])
    (mount,) = found.mounts
    below = wall[mount.bottom :, mount.left + mount.width // 2, 0].astype(int)
    above = wall[: mount.top, mount.left + mount.width // 2, 0].astype(int)
    assert PLASTER[0] - below[0] > 2 * (PLASTER[0] - above[-1])
    assert np.diff(below).min() >= 0
    assert np.diff(below).max() < 30


def test_a_title_too_long_for_its_mount_is_cut_off() -> None:
    found = hang([Mounted(BOARD)], WALL)
    (mount,) = found.mounts
    wall = drawn(found, [Caption("17", "The light over the harbour wall " * 9)])
    line = wall[mount.bottom + 20 : mount.bottom + 50].min(axis=(0, 2)) < INK[0] + 20
    columns = np.flatnonzero(line)
    assert mount.left <= columns[0] < mount.left + 6
    assert mount.right - 60 < columns[-1] < mount.right


@pytest.mark.parametrize("number", ["2026-A-0017-and-still-longer-than-that", ""])
def test_words_without_room_are_left_out(number: str) -> None:
    tiny = Wall(120, 140, 3.0, WALL.title, WALL.heading, 8)
    found = hang([Mounted(BOARD, "Open"), Mounted(BOARD, "Nature")], tiny)
    wall = drawn(found, [Caption(number, "Old pier")] * 2)
    dark = np.flatnonzero((wall.max(axis=2) < INK[0] + 20)[:, : found.mounts[0].left].any(axis=0))
    assert dark.size == 0


def test_the_small_mount_is_the_board_of_its_mock_up_three_times_smaller() -> None:
    plan = plan_of(a_mount())
    small = hung_codes(whole_front(plan))
    assert small.shape == (667, 534, 3)  # 2000 and 1600 px by 3, rounded up
    assert hung_pixels(plan) == PixelSize(534, 667)
    assert tuple(small[333, 266]) == BLUE


def test_strips_make_the_same_picture_as_the_whole() -> None:
    codes = np.random.default_rng(3).integers(0, 256, (41, 30, 3), np.uint8)
    whole = rgb_png(codes, 100)
    from_strips = png_of_strips([codes[:7], codes[7:8], codes[8:]], size_of(whole), 100)
    assert (read(from_strips) == codes).all()


def size_of(png: bytes) -> PixelSize:
    with Image.open(io.BytesIO(png)) as image:
        return PixelSize(*image.size)
