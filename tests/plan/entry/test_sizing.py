"""How large an image becomes, on paper and in pixels, by an independent sum."""

import json
from fractions import Fraction
from math import floor
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.lengths import NM_PER_INCH, ZERO, Edge, Length, PixelSize, Size, Unit, inches
from proofs.measures import read_size
from proofs.plan.entry.layout import lay_out
from proofs.plan.entry.planning import plan_entry
from proofs.plan.entry.sizing import ImageSize, SizeBounds, crop_box, image_size, pixel_size
from proofs.plan.entry.tolerances import Tolerances
from proofs.records.mounts import BevelKind, Mount
from proofs.records.rules import BorderRule
from proofs.records.size_and_crop import CropPlace, CropWish, SizeKind, SizeWish
from tests import near
from tests.workbench import (
    BOARD,
    HAND,
    a_job,
    a_mount,
    a_plan,
    a_reveal,
    an_entry,
    boards,
    facts,
    lengths_from,
    mounts,
    no_window,
    pixel_sizes,
    some_rules,
)

CASES = Path(__file__).parents[2] / "cases"
PIXELS = json.loads((CASES / "pixels.json").read_text("utf-8"))["sizes"]
SIZES = json.loads((CASES / "sizes.json").read_text("utf-8"))["cases"]

MICRON = Length(near.MICRON_NM)
LARGEST = SizeWish(SizeKind.LARGEST)
BORDERS = (BorderRule(inches("3/2"), read_size("8x10 in")), BorderRule(inches(2)))

aspects = st.fractions(Fraction(1, 4), 4, max_denominator=1000)
places = st.sampled_from(
    [CropPlace.CENTRE, CropPlace.TOP, CropPlace.BOTTOM, CropPlace.LEFT, CropPlace.RIGHT]
)
crops = st.builds(CropWish, aspects, places)
boxes = st.builds(Size, lengths_from(80, 250), lengths_from(80, 250))
ppis = st.integers(72, 720)
sides = lengths_from(50, 600)


def half_up(value: Fraction) -> int:
    """Return the nearest whole number, a half lifted: a sum of our own."""
    return floor(value + Fraction(1, 2))


def framed(mount: Mount, board: Size = BOARD, *borders: BorderRule) -> SizeBounds:
    """Return what an image has to suit, cut without error."""
    return SizeBounds(mount, board, borders, errors_of(ZERO))


def errors_of(cut: Length) -> Tolerances:
    """Return the errors of a cutter and of nothing else."""
    return Tolerances(cut, ZERO, Fraction(0), ZERO)


def seen(bounds: SizeBounds, image: Size) -> Size:
    """Return the sight size of an image in its mount."""
    return lay_out(bounds.mount, bounds.board, image).pictures[0].sight.size


def longer_by(image: Size, by: Length, aspect: Fraction) -> Size:
    """Return an image a little larger, of the same aspect."""
    return Size(image.width + by, Length(half_up((image.width + by).nm / aspect)))


@pytest.mark.parametrize(("size", "ppi", "width", "height"), PIXELS)
def test_pixels_of_known_sheets(size: str, ppi: int, width: int, height: int) -> None:
    image = read_size(size)
    aspect = Fraction(image.width.nm, image.height.nm)
    assert pixel_size(ImageSize(image, aspect, "both"), ppi) == PixelSize(width, height)


@pytest.mark.parametrize("case", SIZES, ids=lambda case: f"{case['size']} of {case['picture']}")
def test_sizes_worked_by_hand(case: dict[str, str]) -> None:
    width, height = (int(side) for side in case["picture"])
    plan = a_plan(a_job(), case["size"], width, height)
    assert plan.parts[0].image.size == read_size(case["image"])
    assert plan.layout.pictures[0].sight.size == read_size(case["sight"])
    assert plan.parts[0].pixels == PixelSize(*(int(side) for side in case["pixels"]))


@given(side=sides, aspect=aspects, ppi=ppis)
def test_a_width_that_decides_is_rounded_first_and_the_height_follows(
    side: Length, aspect: Fraction, ppi: int
) -> None:
    image = Size(side, Length(half_up(side.nm / aspect)))
    width = half_up(Fraction(side.nm * ppi, NM_PER_INCH))
    height = max(1, half_up(width / aspect))
    assert pixel_size(ImageSize(image, aspect, "width"), ppi) == PixelSize(width, height)


@given(side=sides, aspect=aspects, ppi=ppis)
def test_a_height_that_decides_is_rounded_first_and_the_width_follows(
    side: Length, aspect: Fraction, ppi: int
) -> None:
    image = Size(Length(half_up(side.nm * aspect)), side)
    height = half_up(Fraction(side.nm * ppi, NM_PER_INCH))
    width = max(1, half_up(height * aspect))
    assert pixel_size(ImageSize(image, aspect, "height"), ppi) == PixelSize(width, height)


@given(picture=pixel_sizes, crop=crops, side=st.integers(100, 400), ppi=st.sampled_from([300, 360]))
def test_the_pixels_of_a_cropped_picture_come_from_both_its_lengths(
    picture: PixelSize, crop: CropWish, side: int, ppi: int
) -> None:
    aspect = crop.aspect
    assert aspect is not None
    wish = SizeWish(SizeKind.LONG, Length(side * 1_000_000), unit=Unit.MM)
    image = image_size(wish, aspect, framed(a_mount()), cropped=True)
    long, short = Fraction(side), side * min(aspect, 1 / aspect)
    longest, shortest = (half_up(s * ppi * 10 / 254) for s in (long, short))
    pixels = pixel_size(image, ppi)
    assert max(pixels.width, pixels.height) == longest
    # The short side is a whole number of nanometres before it is a number of pixels.
    assert abs(min(pixels.width, pixels.height) - shortest) <= near.ONE_NM
    assert abs(min(pixels.width, pixels.height) - short * ppi * 10 / 254) <= Fraction(50001, 100000)


@given(aspect=aspects, side=sides)
def test_a_long_side_is_exactly_as_long_as_asked(aspect: Fraction, side: Length) -> None:
    image = image_size(SizeWish(SizeKind.LONG, side), aspect, framed(a_mount()), cropped=False)
    assert image.size.longest == side
    assert image.size.shortest.nm == half_up(side.nm * min(aspect, 1 / aspect))


@given(aspect=aspects, side=sides)
def test_a_short_side_is_exactly_as_long_as_asked(aspect: Fraction, side: Length) -> None:
    image = image_size(SizeWish(SizeKind.SHORT, side), aspect, framed(a_mount()), cropped=False)
    assert image.size.shortest == side
    assert image.size.longest.nm == half_up(side.nm * max(aspect, 1 / aspect))


@given(aspect=aspects, box=boxes)
def test_an_image_fits_its_box_turned_its_way_and_fills_one_side(
    aspect: Fraction, box: Size
) -> None:
    image = image_size(
        SizeWish(SizeKind.BOX, box=box), aspect, framed(a_mount()), cropped=False
    ).size
    long, short = box.longest, box.shortest
    assert image.longest <= long
    assert image.shortest <= short
    assert image.longest == long or image.shortest == short


@given(aspect=aspects, box=boxes, mount=mounts, board=boards)
@settings(deadline=None)
def test_what_is_seen_lies_within_the_visible_box_and_touches_it(
    aspect: Fraction, box: Size, mount: Mount, board: Size
) -> None:
    bounds = framed(mount, board)
    image = image_size(SizeWish(SizeKind.VISIBLE, box=box), aspect, bounds, cropped=False).size
    sight = seen(bounds, image)
    lying = box if (box.width >= box.height) == (aspect >= 1) else box.turned
    spare = min(lying.width - sight.width, lying.height - sight.height)
    assert ZERO <= spare <= MICRON


@given(aspect=aspects, mount=mounts, board=boards)
@settings(deadline=None)
def test_the_largest_image_keeps_the_mounts_border_and_a_micron_more_does_not(
    aspect: Fraction, mount: Mount, board: Size
) -> None:
    bounds = framed(mount, board)
    image = image_size(LARGEST, aspect, bounds, cropped=False).size
    larger = longer_by(image, MICRON if aspect >= 1 else MICRON * aspect + MICRON, aspect)
    assert lay_out(mount, board, image).borders_face.least >= mount.least_border
    assert lay_out(mount, board, larger).borders_face.least < mount.least_border


@given(aspect=aspects, board=boards, slack=lengths_from(0, 2))
@settings(deadline=None)
def test_the_largest_image_keeps_the_rules_border_after_cutting(
    aspect: Fraction, board: Size, slack: Length
) -> None:
    bounds = SizeBounds(a_mount(), board, (BorderRule(inches(2)),), errors_of(slack))
    image = image_size(LARGEST, aspect, bounds, cropped=False).size
    larger = longer_by(image, MICRON * 2, aspect)
    assert lay_out(bounds.mount, board, image).borders_face.least >= inches(2) + slack
    assert lay_out(bounds.mount, board, larger).borders_face.least < inches(2) + slack


def test_the_largest_image_keeps_the_greater_of_both_borders() -> None:
    bounds = framed(no_window(least_border=inches(3)), BOARD, BorderRule(inches(2)))
    assert image_size(LARGEST, Fraction(1), bounds, cropped=False).size == read_size("10x10 in")


def test_the_largest_image_is_the_largest_that_any_border_rule_allows() -> None:
    # On 11 x 13 in, 2 in all round leave 7 x 9; 1 1/2 in leave 8 x 10, which may have them.
    bounds = framed(no_window(), read_size("11x13 in"), *BORDERS)
    image = image_size(LARGEST, Fraction(4, 5), bounds, cropped=False)
    assert image.size == read_size("8x10 in")


def test_a_larger_picture_owes_the_larger_border() -> None:
    bounds = framed(no_window(), BOARD, *BORDERS)
    image = image_size(LARGEST, Fraction(3, 4), bounds, cropped=False)
    assert image.size == read_size("12x16 in")


def test_a_board_without_room_for_a_picture_is_refused() -> None:
    bounds = framed(a_mount(least_border=inches(8)), BOARD)
    with pytest.raises(ValueError, match="no room"):
        image_size(LARGEST, Fraction(1), bounds, cropped=False)


@given(picture=pixel_sizes, crop=crops)
def test_a_crop_lies_inside_the_picture_and_leaves_one_side_whole(
    picture: PixelSize, crop: CropWish
) -> None:
    box = crop_box(picture, crop)
    assert min(box.left, box.top) >= 0
    assert box.left + box.width <= picture.width
    assert box.top + box.height <= picture.height
    assert box.width == picture.width or box.height == picture.height


@given(picture=pixel_sizes, crop=crops)
def test_a_crop_has_its_aspect_within_half_a_pixel(picture: PixelSize, crop: CropWish) -> None:
    box = crop_box(picture, crop)
    assert crop.aspect is not None
    off_width = abs(box.width - box.height * crop.aspect)
    off_height = abs(box.height - box.width / crop.aspect)
    assert min(off_width, off_height) <= Fraction(1, 2)


@pytest.mark.parametrize(
    ("picture", "crop", "box"),
    [
        ((3000, 2000), CropWish(Fraction(4, 5)), (700, 0, 1600, 2000)),
        ((3000, 2000), CropWish(Fraction(1), CropPlace.LEFT), (0, 0, 2000, 2000)),
        ((3000, 2000), CropWish(Fraction(1), CropPlace.RIGHT), (1000, 0, 2000, 2000)),
        ((2000, 3000), CropWish(Fraction(1), CropPlace.TOP), (0, 0, 2000, 2000)),
        ((2000, 3000), CropWish(Fraction(1), CropPlace.BOTTOM), (0, 1000, 2000, 2000)),
        ((2000, 3000), CropWish(Fraction(1)), (0, 500, 2000, 2000)),
        ((3001, 2000), CropWish(Fraction(1)), (500, 0, 2000, 2000)),
        ((3000, 2000), CropWish(Fraction(3, 2), CropPlace.TOP), (0, 0, 3000, 2000)),
        ((3000, 2000), None, (0, 0, 3000, 2000)),
    ],
)
def test_a_crop_stays_where_it_is_asked_to(
    picture: tuple[int, int], crop: CropWish | None, box: tuple[int, int, int, int]
) -> None:
    found = crop_box(PixelSize(*picture), crop)
    assert (found.left, found.top, found.width, found.height) == box


def test_a_cropped_picture_has_the_asked_aspect_exactly_on_paper() -> None:
    entry = an_entry("long 10 in", crop="4x5 centre")
    plan = plan_entry(a_job(), entry, facts(3001, 2000))
    assert plan.parts[0].image.size == read_size("8x10 in")
    assert plan.parts[0].pixels == PixelSize(2400, 3000)


def test_resolution_is_the_sources_pixels_on_an_inch_of_image() -> None:
    plan = a_plan(a_job(), "long 10 in", 3000, 2000)
    assert plan.parts[0].own_ppi == pytest.approx(300, abs=near.ARITHMETIC)


def test_a_crop_lowers_the_resolution_of_the_print() -> None:
    plan = plan_entry(a_job(), an_entry("long 10 in", crop="1x1"), facts(3000, 2000))
    assert plan.parts[0].own_ppi == pytest.approx(200, abs=near.ARITHMETIC)


def test_a_turned_picture_is_sized_as_it_hangs() -> None:
    plan = plan_entry(a_job(), an_entry("long 12 in", top_edge=Edge.LEFT), facts(3000, 2000))
    assert plan.parts[0].image.size == read_size("8x12 in")
    assert plan.parts[0].pixels == PixelSize(2400, 3600)
    assert plan.layout.board == BOARD


@pytest.mark.parametrize(
    ("size", "sheet"),
    [
        ("9.75x6.5 in", "10x8 in"),
        ("long 9.76 in", "16x12 in"),
        ("15.75x10.5 in", "16x12 in"),
        ("long 15.76 in", "24x20 in"),
        ("long 23.75 in", "24x20 in"),
    ],
)
def test_the_sheet_is_the_smallest_that_leaves_the_labs_margin(size: str, sheet: str) -> None:
    # Sheets of 8x10, 12x16 and 20x24 in with 1/8 in of white on each side.
    assert a_plan(a_job(), size).parts[0].sheet == read_size(sheet)


def test_an_image_larger_than_every_sheet_has_none() -> None:
    assert a_plan(a_job(), "long 23.76 in").parts[0].sheet is None


def test_the_sheet_of_a_reveal_reaches_behind_the_mat() -> None:
    # 9 x 6 in with 1/4 in of paper and 1/4 in behind the mat on each side: 10 x 7 in.
    job = a_job(a_reveal(inches("1/4"), bevel=BevelKind.STRAIGHT))
    assert a_plan(job, "9x6 in").parts[0].sheet == read_size("10x8 in")
    assert a_plan(job, "9.01x7 in").parts[0].sheet == read_size("16x12 in")


def test_an_image_of_which_nothing_is_left_to_see_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing visible"):
        a_plan(a_job(a_mount(overlap=inches("1/4"))), "long 15 mm", 1000, 1000)


def test_the_largest_image_keeps_the_rules_border_in_the_worst_case() -> None:
    job = a_job(rules=some_rules(borders=(BorderRule(inches(2)),)))
    plan = a_plan(job, width=4000, height=3000)
    assert plan.layout.borders_face.least >= inches(2) + HAND.cut
