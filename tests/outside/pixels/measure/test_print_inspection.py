"""Whole inspections: planted defects are found, turned with the picture, whatever the strips."""

from pathlib import Path

import numpy as np
import pytest

from proofs.inspection.marks import Inspection, Mark, MarkKind
from proofs.inspection.print_view import PrintView
from proofs.lengths import Edge
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.print_inspection import inspect_print
from tests.inspection.grounds import MM, PPI, USUAL, VIEW, inspected, marks_of, sky
from tests.inspection.planting import Planted, Planter
from tests.outside.pixels.little_cms import INTENTS, by_little_cms
from tests.outside.pixels.pictures import tiff
from tests.outside.pixels.pipeline import sized
from tests.workbench import SHIPPED

SEARCHED = (MarkKind.SPECK, MarkKind.LINE, MarkKind.STREAK)
HALF_MM = 0.5  # a mark is on a speck if its middle is within the speck, or nearly


def planted(seed: int = 3) -> Planter:
    """A sky with specks of several sizes, a hair, a scratch and a streak."""
    planter = Planter(sky(), PPI, seed)
    planter.streak(5)
    planter.line("scratch", 20, -12)
    planter.line("hair", 9, 14, bend=0.08)
    for area, contrast in ((0.03, -20), (0.1, 12), (0.3, -12), (1.2, 10)):
        planter.speck(area, contrast)
    return planter


DEFECTS = planted().codes


def is_on(mark: Mark, speck: Planted) -> bool:
    x, y = mark.area.centre
    return bool(np.hypot(x - speck.x / MM, y - speck.y / MM) < HALF_MM)


def test_every_planted_speck_is_found() -> None:
    planter = planted()
    marks = marks_of(planter.codes, MarkKind.SPECK)
    specks = [p for p in planter.planted if p.kind == "speck"]
    assert len(specks) == 4
    assert all(any(is_on(mark, speck) for mark in marks) for speck in specks)


def test_a_speck_is_as_large_and_as_dark_as_it_was_planted() -> None:
    planter = Planter(sky(), PPI, 5)
    planter.speck(0.5, -15)
    (speck,), (mark,) = planter.planted, marks_of(planter.codes, MarkKind.SPECK)
    assert mark.area_mm2 == pytest.approx(speck.area_mm2, rel=0.25)
    assert mark.contrast == pytest.approx(speck.contrast, abs=2)


def test_a_ring_and_a_soft_spot_are_found_too() -> None:
    planter = Planter(sky(), PPI, 6)
    planter.speck(0.8, -12, "ring")
    planter.speck(0.8, 12, "soft")
    assert len(marks_of(planter.codes, MarkKind.SPECK)) == 2


def test_lines_are_found_with_their_length() -> None:
    planter = Planter(sky(), PPI, 7)
    planter.line("scratch", 25, -12)
    (mark,) = marks_of(planter.codes, MarkKind.LINE)
    assert mark.length_mm == pytest.approx(25, abs=3)
    assert mark.contrast < 0


def test_a_streak_is_one_mark_from_edge_to_edge() -> None:
    planter = Planter(sky(), PPI, 8)
    planter.streak(-4)
    (mark,) = marks_of(planter.codes, MarkKind.STREAK)
    assert mark.length_mm == pytest.approx(planter.planted[0].length_mm, abs=1)


def test_nothing_is_found_on_calm_ground_without_defects() -> None:
    assert [m for m in inspected(sky(seed=9)).marks if m.kind in SEARCHED] == []


def turned_area(mark: Mark, height_mm: float) -> tuple[float, float]:
    """Where the middle of a mark is after a quarter turn clockwise."""
    x, y = mark.area.centre
    return height_mm - y, x


def mirrored_area(mark: Mark, width_mm: float) -> tuple[float, float]:
    x, y = mark.area.centre
    return width_mm - x, y


def test_mirroring_the_picture_mirrors_the_marks() -> None:
    before = [m for m in inspected(DEFECTS).marks if m.kind in SEARCHED]
    mirrored = np.ascontiguousarray(DEFECTS[:, ::-1])
    after = [m for m in inspected(mirrored).marks if m.kind in SEARCHED]
    wanted = sorted((m.kind, *mirrored_area(m, DEFECTS.shape[1] / MM)) for m in before)
    found = sorted((m.kind, *m.area.centre) for m in after)
    assert [kind for kind, *_ in wanted] == [kind for kind, *_ in found]
    assert np.array([w[1:] for w in wanted]) == pytest.approx(
        np.array([f[1:] for f in found]), abs=HALF_MM
    )


def test_turning_the_picture_turns_the_marks() -> None:
    codes = DEFECTS
    before = [m for m in inspected(codes).marks if m.kind in SEARCHED]
    turned = np.ascontiguousarray(np.rot90(codes, -1))
    after = [m for m in inspected(turned).marks if m.kind in SEARCHED]
    wanted = sorted((m.kind, *turned_area(m, codes.shape[0] / MM)) for m in before)
    found = sorted((m.kind, *m.area.centre) for m in after)
    assert len(before) >= 7
    assert [kind for kind, *_ in wanted] == [kind for kind, *_ in found]
    # Directions of lines are in steps, and blocks are counted from the top left.
    assert np.array([w[1:] for w in wanted]) == pytest.approx(
        np.array([f[1:] for f in found]), abs=HALF_MM
    )


@pytest.mark.parametrize("rows", [48, 333, 5000])
def test_strips_of_any_height_give_the_same_marks(rows: int) -> None:
    assert inspected(DEFECTS, rows=rows) == inspected(DEFECTS)


def test_marks_are_where_they_are_at_any_resolution() -> None:
    planter = Planter(sky(), PPI, 5)
    planter.speck(0.5, -15)
    large = np.ascontiguousarray(planter.codes.repeat(2, axis=0).repeat(2, axis=1))
    view = PrintView(2 * PPI, {}, VIEW.steps, VIEW.black_lightness)
    (mark,) = marks_of(large, MarkKind.SPECK, view=view)
    assert is_on(mark, planter.planted[0])


def test_tones_are_lost_step_by_step() -> None:
    codes = sky()
    codes[100:200, 100:200] = 255
    codes[300:400, 300:400] = 6
    view = PrintView(PPI, {}, (("A", -0.1), ("B", 0.2)), 9.0)
    marks = inspected(codes, view).marks
    bare = [m for m in marks if m.kind == MarkKind.CLIPPED]
    assert [m.step for m in bare] == ["A", "B"]
    assert bare[0].area_mm2 == pytest.approx((100 / MM) ** 2, rel=0.03)
    assert {m.step for m in marks if m.kind == MarkKind.BLOCKED} == {"A", "B"}


def test_a_mat_loses_the_edge_that_is_like_it() -> None:
    codes = sky()
    codes[:40, 200:500] = 250
    view = PrintView(PPI, dict.fromkeys(Edge, (98.2, 0.0, 0.0)), VIEW.steps, 9.0)
    (mark,) = [m for m in inspected(codes, view).marks if m.kind == MarkKind.LOST_EDGE]
    assert mark.side == Edge.TOP
    assert mark.length_mm == pytest.approx(300 / MM, abs=2)


def test_rough_ground_counts_as_not_searched() -> None:
    codes = sky()
    noise = np.random.default_rng(2).normal(0, 40, (500, 350, 1))
    codes[:, :350] = np.clip(codes[:, :350] + noise, 0, 255)
    # The noise reaches 3 mm further, as far as texture is averaged: 5 % of the width.
    assert inspected(codes).searched_share == pytest.approx(0.45, abs=0.02)


def inspection_of(pixels: np.ndarray, profile: bytes) -> Inspection:
    base = ProfiledImage(vips.image_of_codes(pixels), profile)
    view = PrintView(PPI, dict.fromkeys(Edge, (97.0, 0.0, 0.0)), VIEW.steps, 9.0)
    return inspect_print(base, view, USUAL)


SRGB = spaces.built_in_profile("srgb")
NOISE = np.random.default_rng(4).integers(0, 65536, (200, 300, 3)).astype(np.uint16)


@pytest.mark.parametrize(
    "pixels",
    [
        np.full((200, 300, 3), 30_000, np.uint16),
        np.full((200, 300, 3), 0, np.uint16),
        np.full((300, 1, 3), 30_000, np.uint16),
        np.full((1, 300, 3), 30_000, np.uint16),
        np.full((1, 1, 3), 30_000, np.uint16),
        NOISE[:, :1],
        NOISE[:7, :9],
        NOISE,
        (NOISE // 257).astype(np.uint8),
    ],
    ids=["grey", "black", "1 wide", "1 high", "1 pixel", "thin noise", "tiny", "noise", "8 bits"],
)
def test_odd_pictures_are_inspected_and_show_no_specks(pixels: np.ndarray) -> None:
    assert [m for m in inspection_of(pixels, SRGB).marks if m.kind == MarkKind.SPECK] == []


def test_a_grey_picture_shows_the_same_specks_as_in_colour() -> None:
    planter = Planter(sky(), PPI, 5)
    planter.speck(0.5, -15)
    grey = planter.codes[..., 1:2].astype(np.uint16) * 257
    found = inspection_of(grey, spaces.built_in_profile("grey"))
    assert [m.kind for m in found.marks if m.kind in SEARCHED] == [MarkKind.SPECK]


def test_dust_in_a_picture_of_four_inks_is_found_where_it_is(tmp_path: Path) -> None:
    # The inks are those of a press, by Little CMS through Pillow.
    planter = Planter(sky(), PPI, 5)
    planter.speck(0.5, -15)
    planter.line("scratch", 20, -12)
    press = vips.fallback_cmyk_profile()
    inks = by_little_cms(planter.codes, SRGB, press, ("RGB", "CMYK"), INTENTS["relative"], 0)
    path = tiff(tmp_path / "inks.tif", inks, icc_profile=press, photometric="separated")
    found = [m for m in inspect_print(sized(path), VIEW, USUAL).marks if m.kind in SEARCHED]
    assert {m.kind for m in found} == {MarkKind.SPECK, MarkKind.LINE}
    (speck,) = [m for m in found if m.kind == MarkKind.SPECK]
    assert is_on(speck, planter.planted[0])
    assert speck.contrast == pytest.approx(planter.planted[0].contrast, abs=4)


INKS = np.random.default_rng(6).integers(0, 256, (120, 180, 4)).astype(np.uint8)


@pytest.mark.parametrize("pixels", [INKS, INKS[:, :1], INKS * 0, INKS * 0 + 255])
def test_odd_pictures_of_four_inks_are_inspected_and_show_no_specks(pixels: np.ndarray) -> None:
    found = inspection_of(pixels, vips.fallback_cmyk_profile())
    assert [m for m in found.marks if m.kind in SEARCHED] == []


def test_a_quick_inspection_shows_no_more_than_a_careful_one() -> None:
    base = ProfiledImage(vips.image_of_codes(DEFECTS.astype(np.uint16) * 257), SRGB)
    counts = [
        sum(m.kind in SEARCHED for m in inspect_print(base, VIEW, SHIPPED.inspection(name)).marks)
        for name in ("quick", "usual", "careful")
    ]
    assert counts == sorted(counts)
