"""Mock-ups measured in their pixels; sizes are arithmetic by hand, looks common practice."""

import io
import struct
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from proofs.lengths import Place, inches, millimetres
from proofs.measures import read_size
from proofs.outside.fonts import load_fonts
from proofs.outside.mockups import back_png, empty_mount, front_png
from proofs.outside.png import rgb_png
from proofs.plan.entry.board import Opening
from proofs.plan.entry.mockup import board_colour, picture_pixels
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.mounts import BevelKind, Mount
from tests.workbench import a_job, a_mount, a_reveal, an_entry, facts, no_window

Codes = NDArray[np.uint8]
FONTS = load_fonts()
BLUE = (20, 40, 200)
# Worked example of matting, common practice: a print of 8 x 10 in whose mat hides 1/4 in all
# round shows 7 1/2 x 9 1/2 in.
EXAMPLE: dict[str, Any] = {
    "overlap": inches("1/4"),
    "mat_colour": "black",
}
NEARLY = 8  # codes: sRGB is no plain power, and the mat shades the pixel next to it
HALF_PIXEL = 0.5  # edges fall between pixels; each is found to the nearest one


def plan_of(mount: Mount, size: str = "8x10 in", **cells: Any) -> Plan:
    return plan_entry(a_job(mount), an_entry(size, **cells), facts(2400, 3000))


def front_of(plan: Plan, *, not_printed: bool = False) -> Codes:
    size = picture_pixels(plan)
    picture = np.empty((size.height, size.width, 3), np.uint8)
    picture[:] = BLUE
    return read(front_png(empty_mount(plan), plan, [picture], not_printed=not_printed))


def back_of(plan: Plan) -> Codes:
    return read(back_png(plan, FONTS))


def read(png: bytes) -> Codes:
    with Image.open(io.BytesIO(png)) as image:
        return np.asarray(image)


def bounds(mask: NDArray[np.bool_]) -> tuple[int, int, int, int]:
    """Left, top, right and bottom of the pixels that are true."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1


def picture_bounds(front: Codes) -> tuple[int, int, int, int]:
    return bounds(front[:, :, 2].astype(int) - front[:, :, 0] > 60)


def not_mat(front: Codes, colour: str) -> tuple[int, int, int, int]:
    away = np.abs(front.astype(int) - board_colour(colour)).max(axis=2) > 60
    away[:3], away[-3:], away[:, :3], away[:, -3:] = False, False, False, False
    return bounds(away)


def test_a_mockup_is_100_px_an_inch_of_board_and_says_so_and_that_it_is_srgb() -> None:
    plan = plan_of(a_mount())
    size = picture_pixels(plan)
    black = np.zeros((size.height, size.width, 3), np.uint8)
    png = front_png(empty_mount(plan), plan, [black])
    with Image.open(io.BytesIO(png)) as image:
        assert image.size == (1600, 2000)
        assert [round(ppi) for ppi in image.info["dpi"]] == [100, 100]
        assert b"sRGB IEC61966-2-1" in image.info["icc_profile"]


def test_the_sight_size_is_to_scale_and_lies_where_it_should() -> None:
    front = front_of(plan_of(a_mount(**EXAMPLE)))
    # 7 1/2 x 9 1/2 in in the middle of 16 x 20 in: 4 1/4 and 5 1/4 in from left and top.
    assert picture_bounds(front) == pytest.approx((425, 525, 1175, 1475), abs=HALF_PIXEL)


def test_the_bevel_core_is_as_wide_as_the_board_is_thick() -> None:
    front = front_of(plan_of(a_mount(**EXAMPLE, mat=inches("1/8"))))
    # A 45-degree bevel of 1/8 in is 12.5 px wide in plan, on each side (geometry).
    face = (425 - 12.5, 525 - 12.5, 1175 + 12.5, 1475 + 12.5)
    assert not_mat(front, "black") == pytest.approx(face, abs=HALF_PIXEL)


@pytest.mark.parametrize("bevel", [BevelKind.REVERSE, BevelKind.STRAIGHT])
def test_a_reverse_bevel_or_a_straight_cut_shows_no_core(bevel: str) -> None:
    front = front_of(plan_of(a_mount(**EXAMPLE, bevel=bevel, mat=inches("1/8"))))
    bright = front.min(axis=2) > 128
    assert not bright[5:-5, 5:-5].any()
    assert picture_bounds(front) == pytest.approx((425, 525, 1175, 1475), abs=HALF_PIXEL)


def test_an_edge_between_two_pixels_is_shared_out_between_them() -> None:
    # The opening starts at 425.4 px, so 40 % of that pixel is the mat (by hand).
    plan = plan_of(a_mount(**(EXAMPLE | {"overlap": inches("0.254")}), bevel=BevelKind.STRAIGHT))
    mat, shared, inside = (int(code) for code in front_of(plan)[1000, 424:427, 2])
    assert mat == board_colour("black")[2]
    # Light adds up, and sRGB codes follow its 2.2th root nearly enough.
    light = 0.4 * mat**2.2 + 0.6 * inside**2.2
    assert shared == pytest.approx(light ** (1 / 2.2), abs=NEARLY)


def test_paper_is_seen_round_the_whole_image_and_more_below() -> None:
    dark = {"mat_colour": "black", "core_colour": "black"}
    front = front_of(plan_of(a_reveal(inches("1/4"), reveal_bottom=inches("3/8"), **dark)))
    left, top, right, bottom = picture_bounds(front)
    opening = bounds((front[:, :, 2] > 128)[5:-5, 5:-5])
    assert (right - left, bottom - top) == (800, 1000)
    # 1/4 in is 25 px, 3/8 in are 37.5 px.
    seen = (left - opening[0] - 5, top - opening[1] - 5, opening[3] + 5 - bottom)
    assert seen == pytest.approx((25, 25, 37.5), abs=2 * HALF_PIXEL)
    assert tuple(front[bottom + 18, 800]) == (255, 255, 255)


def test_without_a_window_the_print_lies_on_the_board_and_shades_it_softly() -> None:
    front = front_of(plan_of(no_window()))
    assert picture_bounds(front) == (400, 500, 1200, 1500)
    board = np.array(board_colour("white"))
    shade = board - front[1502, 800].astype(int)
    assert (shade > 2).all()
    assert (shade < 60).all()


def test_the_middle_of_the_picture_is_the_picture_itself() -> None:
    plan = plan_of(a_mount())
    size = picture_pixels(plan)
    picture = np.random.default_rng(5).integers(0, 256, (size.height, size.width, 3), np.uint8)
    front = read(front_png(empty_mount(plan), plan, [picture]))
    inside = (slice(600, 1400), slice(500, 1100))
    place = picture[600 - 500 : 1400 - 500, 500 - 400 : 1100 - 400]
    assert (front[inside] == place).all()


def test_a_mat_and_its_core_have_the_colours_of_the_mount() -> None:
    front = front_of(plan_of(a_mount(mat_colour="black", core_colour="cream", mat=inches("1/8"))))
    assert tuple(front[100, 100]) == board_colour("black")
    core = front[1000, 407].astype(int)  # the left face, its middle by hand
    assert core[0] > core[2] + 15


def test_what_was_not_printed_says_so_below_on_the_right_and_nowhere_else() -> None:
    plan = plan_of(a_mount())
    changed = (front_of(plan) != front_of(plan, not_printed=True)).any(axis=2)
    left, top, right, bottom = bounds(changed)
    assert (left > 1300, top > 1900, right < 1600, bottom < 2000) == (True, True, True, True)


@pytest.mark.parametrize("size", ["long 16 in", "long 30 in", "long 1 in"])
@pytest.mark.parametrize("mount", [a_mount(), no_window(), a_mount(bevel=BevelKind.REVERSE)])
def test_an_image_too_large_or_tiny_is_still_shown(mount: Mount, size: str) -> None:
    front = front_of(plan_of(mount, size))
    assert front.shape == (2000, 1600, 3)
    assert tuple(front[1000, 800]) == BLUE


def test_a_picture_of_another_size_is_refused() -> None:
    plan = plan_of(a_mount())
    with pytest.raises(ValueError, match="not 800 × 1000 px"):
        front_png(empty_mount(plan), plan, [np.zeros((1000, 801, 3), np.uint8)])


@pytest.mark.parametrize("mount", [a_mount(), no_window(), a_mount(bevel=BevelKind.REVERSE)])
def test_a_mount_drawn_once_is_empty_again_for_every_picture(mount: Mount) -> None:
    plan = plan_of(mount)
    size, empty = picture_pixels(plan), empty_mount(plan)
    white, black = (np.full((size.height, size.width, 3), c, np.uint8) for c in (255, 0))
    front_png(empty, plan, [black])
    again = front_png(empty, plan, [white])
    assert again == front_png(empty_mount(plan), plan, [white])
    assert again != front_png(empty, plan, [black])


def test_the_same_mount_gives_the_same_bytes() -> None:
    plan = plan_of(a_mount())
    assert back_png(plan, FONTS) == back_png(plan, FONTS)


def dots(back: Codes) -> tuple[int, int, int, int]:
    """The bounds of the dotted line: its ink, away from writing and label."""
    ink = (back.max(axis=2) < 200)[450:1900]
    left, top, right, bottom = bounds(ink[:, 20:-20])
    return left + 20, top + 450, right + 20, bottom + 450


def test_the_dots_lie_on_the_opening_at_the_back() -> None:
    # 7 3/4 x 9 3/4 in in the middle of the board (8 x 10 in less 1/8 in a side); dots 8 px wide.
    assert dots(back_of(plan_of(a_mount()))) == pytest.approx((412.5, 512.5, 1187.5, 1487.5), abs=5)


def test_an_opening_off_the_middle_lies_mirrored_on_the_back() -> None:
    plan = plan_of(a_mount())
    layout = plan.layout
    (lying,) = layout.pictures
    assert lying.back is not None
    moved = Opening(lying.back.size, Place(inches(2), lying.back.place.y))
    cuts = (replace(lying.cuts[0], back=moved),)
    off = replace(plan, layout=replace(layout, pictures=(replace(lying, cuts=cuts),)))
    # 2 in from the left of 16 in, 7 3/4 in wide: from behind 6 1/4 in from the left (by hand).
    left, _, right, _ = dots(back_of(off))
    assert (left, right) == pytest.approx((625, 1400), abs=5)


def test_label_and_arrow_stand_on_the_upper_half() -> None:
    empty = a_mount(backing_colour="black")
    back = back_of(plan_of(empty))
    label = bounds(np.all(back > 240, axis=2))
    assert (label[0] < 150, label[1] < 150, label[2] < 600, label[3] < 500) == (True,) * 4
    arrow = back[30:100, 780:820].max(axis=2) > 100
    assert arrow.any()
    assert arrow[:10].sum() < arrow[10:40].sum()


@pytest.mark.parametrize("title", ["x" * 300, "The old pier " * 30, "日本", "Ночной берег"])
def test_a_title_of_any_length_stays_on_its_label(title: str) -> None:
    plain = back_of(plan_of(a_mount(), title="a"))
    changed = (plain != back_of(plan_of(a_mount(), title=title))).any(axis=2)
    label = bounds(np.all(plain == (255, 255, 253), axis=2))
    left, top, right, bottom = bounds(changed)
    assert (left >= label[0], top >= label[1]) == (True, True)
    assert (right <= label[2], bottom <= label[3]) == (True, True)


def test_small_boards_get_a_whole_back_too() -> None:
    mount = a_mount(board=read_size("5x7 in"), mat=millimetres("1.4"))
    back = back_of(plan_of(mount, "4x5 in", category="Open"))
    assert back.shape == (700, 500, 3)


def test_a_png_holds_exactly_the_pixels_given_and_says_how_large_they_are() -> None:
    # Read back by Pillow; pHYs as the PNG specification lays it out: 300 ppi = 11811 a metre.
    codes = np.random.default_rng(1).integers(0, 256, (37, 53, 3), np.uint8)
    png = rgb_png(codes, 300)
    assert (read(png) == codes).all()
    place = png.index(b"pHYs") + 4
    assert struct.unpack(">IIB", png[place : place + 9]) == (11811, 11811, 1)
