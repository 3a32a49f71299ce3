"""The photograph at print size: rotated, cropped, resampled and sharpened in this order.

Outside source: numpy rotates and crops the same pixels; the rest is the program's own rule.
"""

from pathlib import Path

import numpy as np
import pytest

from proofs.lengths import PixelSize
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.resize.print_size import reduced, sized_for_print
from proofs.outside.pixels.source.decode import decode
from proofs.pixel_areas import Area
from proofs.records.papers import Sharpening
from tests.outside.pixels.pictures import Array, photograph, tiff
from tests.outside.pixels.pipeline import sized

WIDTH, HEIGHT = 60, 40


def pixels() -> Array:
    return photograph("coffee")[100 : 100 + HEIGHT, 200 : 200 + WIDTH]


def made(path: Path, turn: int, crop: Area | None, size: PixelSize) -> Array:
    base = sized_for_print(decode(path), turn=turn, crop=crop, size=size, ppi=300)
    return np.asarray(base.image.numpy()) / 257


@pytest.mark.parametrize("turn", [0, 1, 2, 3])
def test_quarter_turns_go_clockwise(tmp_path: Path, turn: int) -> None:
    expected = np.rot90(pixels(), -turn)
    size = PixelSize(expected.shape[1], expected.shape[0])
    path = tiff(tmp_path / "a.tif", pixels())
    assert np.array_equal(made(path, turn, None, size), expected)


def test_the_crop_is_in_pixels_of_the_picture_as_hung(tmp_path: Path) -> None:
    path = tiff(tmp_path / "a.tif", pixels())
    got = made(path, 1, Area(left=3, top=7, width=20, height=30), PixelSize(20, 30))
    assert np.array_equal(got, np.rot90(pixels(), -1)[7:37, 3:23])


@pytest.mark.parametrize(
    "crop", [Area(-1, 0, 5, 5), Area(0, 0, WIDTH + 1, 5), Area(50, 0, 11, 5), Area(0, 0, 5, 0)]
)
def test_a_crop_outside_the_picture_is_a_fault_of_the_program(tmp_path: Path, crop: Area) -> None:
    path = tiff(tmp_path / "a.tif", pixels())
    with pytest.raises(ValueError, match="is not within 60 x 40 pixels"):
        made(path, 0, crop, PixelSize(5, 5))


@pytest.mark.parametrize("size", [PixelSize(WIDTH, HEIGHT), PixelSize(90, 60)])
def test_an_image_is_sharpened_once_where_requested(tmp_path: Path, size: PixelSize) -> None:
    path = tiff(tmp_path / "a.tif", pixels())
    plain, sharp = (
        sized(path, size, sharpen=s).image.numpy() for s in (Sharpening.OFF, Sharpening.STANDARD)
    )
    assert sharp.std() > plain.std()
    assert np.array_equal(sized(path, size, sharpen=Sharpening.STANDARD).image.numpy(), sharp)


def test_the_image_stays_in_the_encoding_of_its_source(tmp_path: Path) -> None:
    base = sized(tiff(tmp_path / "a.tif", pixels()))
    assert (base.image.format, base.image.bands) == ("ushort", 3)
    assert np.array_equal(base.image.numpy(), pixels().astype(np.uint16) * 257)


def test_an_image_for_the_screen_has_the_requested_size_and_the_same_tones(tmp_path: Path) -> None:
    base: ProfiledImage = sized(tiff(tmp_path / "a.tif", pixels()), PixelSize(600, 400))
    small = reduced(base, PixelSize(33, 22))
    assert (small.image.width, small.image.height) == (33, 22)
    assert small.image.avg() == pytest.approx(base.image.avg(), rel=0.01)
    assert small.profile == base.profile
