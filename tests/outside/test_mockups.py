"""Mock-ups measured in their pixels; sizes are arithmetic by hand, looks common practice."""

import io
import struct
import zlib
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from proofs.lengths import Place, inches, millimetres
from proofs.measures import read_size
from proofs.outside.fonts import load_fonts
from proofs.outside.ground import board_of
from proofs.outside.mockups import back_codes, empty_mount, front_codes, front_png, mockup_png
from proofs.outside.png import png_frame, rgb_png
from proofs.plan.bench.labels import Label, label_of
from proofs.plan.entry.board import Opening
from proofs.plan.entry.mockup import GROUND, GROUND_PX, board_colour, picture_pixels
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.mounts import BevelKind, Mat, Mount, WindowShape
from tests.outside.pixels.reference import cielab_of
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
    return board_of(front_codes(empty_mount(plan), plan, [picture], not_printed=not_printed))


def back_of(plan: Plan, ink: tuple[int, int, int] = (255, 255, 255)) -> Codes:
    """The back of a mount whose picture has one colour: white leaves no ghost on a white board."""
    return board_of(back_codes(plan, label_of(plan.entry), whole_front(plan, ink), FONTS))


def whole_front(plan: Plan, ink: tuple[int, int, int] = BLUE) -> Codes:
    """The mock-up with its ground."""
    size = picture_pixels(plan)
    picture = np.full((size.height, size.width, 3), ink, np.uint8)
    return front_codes(empty_mount(plan), plan, [picture])


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
    with Image.open(io.BytesIO(mockup_png(whole_front(plan_of(a_mount()))))) as image:
        assert image.size == (1800, 2200)  # and an inch of ground on each side
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
    front = board_of(front_codes(empty_mount(plan), plan, [picture]))
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
        front_codes(empty_mount(plan), plan, [np.zeros((1000, 801, 3), np.uint8)])


@pytest.mark.parametrize("mount", [a_mount(), no_window(), a_mount(bevel=BevelKind.REVERSE)])
def test_a_mount_drawn_once_is_empty_again_for_every_picture(mount: Mount) -> None:
    plan = plan_of(mount)
    size, empty = picture_pixels(plan), empty_mount(plan)
    white, black = (np.full((size.height, size.width, 3), c, np.uint8) for c in (255, 0))
    front_codes(empty, plan, [black])
    again = front_codes(empty, plan, [white])
    assert np.array_equal(again, front_codes(empty_mount(plan), plan, [white]))
    assert not np.array_equal(again, front_codes(empty, plan, [black]))


@pytest.mark.parametrize(
    "mount",
    [
        a_mount(),
        no_window(),
        no_window(keyline=inches("1/8")),
        a_mount(bevel=BevelKind.REVERSE),
        a_mount(shape=WindowShape.OVAL),
        a_mount(inner=(Mat(inches("1/4"), millimetres("1.4"), "black"),)),
        a_mount(board=read_size("8x10 in"), mat=millimetres("1.4")),  # no more than the print
    ],
)
def test_what_mock_ups_share_is_drawn_once_and_each_is_as_if_drawn_alone(mount: Mount) -> None:
    plan = plan_of(mount)
    size, empty = picture_pixels(plan), empty_mount(plan)
    noise = np.random.default_rng(3).integers(0, 256, (2, size.height, size.width, 3), np.uint8)
    for picture in noise:
        alone = mockup_png(front_codes(empty, plan, [picture]))
        assert front_png(empty, plan, [picture]) == alone


def test_the_same_mount_gives_the_same_bytes() -> None:
    plan = plan_of(a_mount())
    assert mockup_png(whole_front(plan)) == mockup_png(whole_front(plan))
    assert mockup_png(back_of(plan, BLUE)) == mockup_png(back_of(plan, BLUE))


def test_the_ground_is_a_neutral_grey_of_lightness_50() -> None:
    # ISO 3664:2009 has a neutral surround of 10 to 60 % reflectance (from memory); L* 50 is
    # 18.42 %. Lightness as colour-science computes it.
    corner = whole_front(plan_of(a_mount()))[2, 2]
    assert tuple(corner) == GROUND
    lightness, *hue = cielab_of("srgb", corner / 255)
    assert lightness == pytest.approx(50, abs=0.3)
    assert hue == pytest.approx([0, 0], abs=0.1)


@pytest.mark.parametrize("board", ["white", "black"])
def test_a_board_casts_a_soft_shadow_that_ends_within_the_ground(board: str) -> None:
    front = whole_front(plan_of(a_mount(mat_colour=board)))
    below = front[-GROUND_PX:, 900, 0].astype(int)
    above = front[:GROUND_PX, 900, 0].astype(int)
    assert np.diff(below).min() >= 0  # lighter with each pixel away from the board
    assert np.diff(below).max() <= 6  # and nowhere an edge
    assert below[0] < above[-1] < GROUND[0]  # the light comes from above
    assert {below[-1], above[0]} == {GROUND[0]}
    assert (front[:, :, 0] == front[:, :, 2])[:GROUND_PX].all()  # grey throughout


def test_the_ghost_is_the_picture_mirrored_and_faint() -> None:
    plan = plan_of(a_mount())
    size = picture_pixels(plan)
    half = np.full((size.height, size.width, 3), 255, np.uint8)
    half[:, : size.width // 2] = (160, 20, 20)  # red on the left
    front = front_codes(empty_mount(plan), plan, [half])
    back = board_of(back_codes(plan, label_of(plan.entry), front, FONTS)).astype(int)
    board = np.array(board_colour(plan.mount.backing_colour))
    left, right = back[1000, 600], back[1000, 1000]
    assert np.abs(left - board).max() <= 1  # white leaves nothing
    lost = board - right
    assert lost[1] == pytest.approx(lost[2], abs=1)
    assert 15 < lost[0] < lost[1] < 60  # red is seen on the right, far paler than in front
    assert np.abs(back[520:1480, 380:400] - board).max() == 0  # none beyond the opening


def test_a_ghost_lightens_a_dark_board_and_keeps_to_its_oval() -> None:
    dark: dict[str, Any] = {"backing_colour": "black", "shape": WindowShape.OVAL}
    back = back_of(plan_of(a_mount(**dark))).astype(int)
    board = np.array(board_colour("black"))
    assert (back[1000, 800] - board).min() > 25
    assert (back[1380, 480] == board).all()  # in the corner of the oval's box


def test_the_label_on_the_back_is_the_one_that_is_printed() -> None:
    plan = plan_of(a_mount(), title="Old pier")
    alone = label_of(plan.entry)
    counted: Label = replace(alone, category="Open", place="2 of 4")
    front = whole_front(plan)
    backs = [back_codes(plan, label, front, FONTS) for label in (alone, counted)]
    left, top, right, bottom = bounds((backs[0] != backs[1]).any(axis=2))
    # In the upper right of a label of 5 x 3 in, 3/4 in from the corner of the board.
    assert (left > 100 + 75 + 200, right <= 100 + 75 + 500) == (True, True)
    assert (top >= 100 + 75, bottom < 100 + 75 + 100) == (True, True)


def dots(back: Codes) -> tuple[int, int, int, int]:
    """The bounds of the dotted line: its ink, away from writing and label."""
    ink = (back.max(axis=2) < 200)[450:1900]
    left, top, right, bottom = bounds(ink[:, 20:-20])
    return left + 20, top + 450, right + 20, bottom + 450


def test_the_dots_lie_on_the_opening_at_the_back() -> None:
    # 7 3/4 x 9 3/4 in in the middle of the board (8 x 10 in less 1/8 in a side); dots 8 px wide.
    assert dots(back_of(plan_of(a_mount()))) == pytest.approx((412.5, 512.5, 1187.5, 1487.5), abs=5)


def test_the_whole_image_is_finely_dotted_where_a_given_opening_hides_more_of_it() -> None:
    # 8 x 10 in behind 5 3/4 x 9 3/4 in: 1 1/8 in more at each side; its edge is 4 in from the
    # middle of 16 in and 5 in from that of 20 in. Finer dots are 2 px wide.
    plan = plan_of(a_mount(), "opening 5 3/4 x 9 3/4 in")
    assert plan.layout.pictures[0].image.size == read_size("8x10 in")
    assert dots(back_of(plan)) == pytest.approx((400, 500, 1200, 1500), abs=3)


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


@pytest.mark.parametrize("own", [slice(0, 5), slice(10, 20), slice(30, 37), slice(0, 37)])
def test_pngs_that_share_rows_are_those_of_their_pixels(own: slice) -> None:
    codes = np.random.default_rng(1).integers(0, 256, (37, 53, 3), np.uint8)
    frame = png_frame(codes, own)
    for ink in (0, 119, 255):
        picture = codes.copy()
        picture[own] = ink
        assert frame.png(picture, 300) == rgb_png(picture, 300)


def test_a_png_is_as_small_as_zlib_makes_it_and_the_same_each_time() -> None:
    # Soft tones with noise on a flat ground, against the zlib of Python's standard library.
    codes = np.full((400, 500, 3), 119, np.uint8)
    noise = np.random.default_rng(2).normal(0, 2, (300, 400, 3))
    codes[50:350, 50:450] = np.linspace(20, 230, 400)[None, :, None] + noise
    png = rgb_png(codes, 100)
    differences = np.diff(codes.reshape(400, 1500), axis=0, prepend=np.zeros((1, 1500), np.uint8))
    assert len(png) < len(zlib.compress(np.pad(differences, ((0, 0), (1, 0))).tobytes(), 1))
    assert rgb_png(codes, 100) == png
