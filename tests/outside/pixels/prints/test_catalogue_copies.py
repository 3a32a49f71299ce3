"""Copies for the screen: sRGB, 4:4:4, within pixels and bytes, with nothing private.

Outside sources: the files are read back by Pillow, colours by colour-science; JPEG sampling by
ITU-T T.81 (from memory), the title by XMP part 1 and Dublin Core.
"""

import io
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from proofs.errors import PhotographError
from proofs.lengths import PixelSize
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.prints.catalogue_copies import (
    BEST_QUALITY,
    CatalogueCopy,
    catalogue_copy,
)
from proofs.outside.pixels.source.decode import Photograph, decode
from proofs.pixel_areas import Area
from proofs.records.rules import CatalogueRule
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import COLOURS, chart, patches
from tests.outside.pixels.pictures import photograph, profile, tiff

WHOLE = Area(0, 0, 300, 200)
SEGMENT_OF_FRAME = b"\xff\xc0"  # baseline


@pytest.fixture(scope="module")
def noise(tmp_path_factory: pytest.TempPathFactory) -> Photograph:
    """A picture that does not compress."""
    pixels = np.random.default_rng(7).integers(0, 256, (200, 300, 3)).astype(np.uint8)
    return decode(tiff(tmp_path_factory.mktemp("noise") / "noise.tif", pixels))


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Photograph:
    """300 x 200 pixels of a real photograph."""
    pixels = photograph("chelsea")[50:250, 80:380]
    return decode(tiff(tmp_path_factory.mktemp("cat") / "a.tif", pixels))


def copied(
    source: Photograph,
    rule: CatalogueRule | None = None,
    *,
    turn: int = 0,
    crop: Area = WHOLE,
    title: str = "Old pier",
) -> CatalogueCopy:
    return catalogue_copy(source, rule or CatalogueRule(), turn=turn, crop=crop, title=title)


def opened(copy: CatalogueCopy) -> Image.Image:
    image = Image.open(io.BytesIO(copy.content))
    image.load()
    return image


def test_a_copy_is_an_8_bit_srgb_jpeg_with_its_profile(picture: Photograph) -> None:
    image = opened(copied(picture))
    assert (image.format, image.mode) == ("JPEG", "RGB")
    embedded = image.info["icc_profile"]
    assert embedded == spaces.built_in_profile("srgb")
    said = ImageCms.getProfileDescription(ImageCms.ImageCmsProfile(io.BytesIO(embedded)))
    assert "sRGB" in said


def test_a_copy_is_baseline_without_subsampling(picture: Photograph) -> None:
    content = copied(picture).content
    at = content.index(SEGMENT_OF_FRAME)
    # After marker, length, precision, height and width: the components with their sampling.
    assert content[at + 9] == 3
    assert [content[at + 11 + 3 * n] for n in range(3)] == [0x11, 0x11, 0x11]
    assert b"\xff\xc2" not in content[: content.index(b"\xff\xda")]  # progressive


@settings(max_examples=25)
@given(
    width=st.none() | st.integers(100, 400),
    height=st.none() | st.integers(100, 400),
    most=st.none() | st.integers(8_000, 120_000),
    least=st.integers(40, 95),
)
def test_the_file_itself_is_within_the_limits(
    noise: Photograph, width: int | None, height: int | None, most: int | None, least: int
) -> None:
    rule = CatalogueRule(width, height, most, least)
    copy = copied(noise, rule)
    image = opened(copy)
    assert image.width <= min(300, width or 300)
    assert image.height <= min(200, height or 200)
    assert len(copy.content) <= (most or len(copy.content))
    assert least <= copy.quality <= BEST_QUALITY
    assert copy.pixels == PixelSize(*image.size)


def test_without_a_limit_the_quality_is_the_best(noise: Photograph) -> None:
    assert copied(noise).quality == BEST_QUALITY


@pytest.mark.parametrize("most", [50_000, 70_000, 90_000])
def test_the_quality_is_the_highest_within_the_limit(noise: Photograph, most: int) -> None:
    copy = copied(noise, CatalogueRule(most_bytes=most, least_quality=10))
    better = copied(noise, CatalogueRule(least_quality=copy.quality + 1, most_bytes=most))
    assert 10 < copy.quality < BEST_QUALITY
    assert len(copy.content) <= most
    assert better.pixels != copy.pixels  # one step better fits with fewer pixels only
    assert copy.notes == ()


def test_where_the_least_quality_is_too_large_there_are_fewer_pixels_and_a_note(
    noise: Photograph,
) -> None:
    copy = copied(noise, CatalogueRule(most_bytes=50_000, least_quality=90))
    assert copy.quality >= 90
    # By area: some 50 kB of the 115 kB at that quality, so two thirds of the width.
    assert 150 < copy.pixels.width < 250
    (note,) = copy.notes
    assert note.code == "catalogue-smaller"
    assert str(copy.pixels) in note.message
    assert "300 × 200 px" in note.message


def test_an_impossible_limit_is_refused(noise: Photograph) -> None:
    with pytest.raises(PhotographError, match="within 100 bytes; allow more"):
        copied(noise, CatalogueRule(most_bytes=100))


@pytest.mark.parametrize("source", ["srgb", "a98-rgb", "display-p3", "romm"])
def test_colours_match_the_source(tmp_path: Path, source: str) -> None:
    codes = COLOURS * 257
    path = tiff(tmp_path / "a.tif", chart(codes, "u2"), icc_profile=profile(source))
    crop = Area(0, 0, 120, 20)
    seen = patches(np.asarray(opened(copied(decode(path), crop=crop))))
    wanted = reference.cielab_of(source, codes / 65535)
    exact, held = reference.codes_of("srgb", wanted)
    difference = reference.difference(
        reference.cielab_of("srgb", seen / 255)[held], reference.cielab_of("srgb", exact)[held]
    )
    assert held.sum() >= 3
    assert difference.max() < near.PATCH_JPEG


def test_a_grey_picture_becomes_rgb(tmp_path: Path) -> None:
    grey = np.full((20, 30), 119, np.uint8)
    path = tiff(tmp_path / "grey.tif", grey, photometric="minisblack")
    image = opened(copied(decode(path), crop=Area(0, 0, 30, 20)))
    assert image.mode == "RGB"
    assert np.abs(np.asarray(image).astype(int) - 119).max() <= 1


@pytest.mark.parametrize(
    ("turn", "expected"),
    [(0, lambda a: a), (1, lambda a: np.rot90(a, -1)), (2, lambda a: np.rot90(a, 2))],
)
def test_a_copy_is_turned_as_the_print_hangs(
    picture: Photograph, turn: int, expected: Callable[[np.ndarray], np.ndarray]
) -> None:
    hung = expected(photograph("chelsea")[50:250, 80:380])
    crop = Area(0, 0, hung.shape[1], hung.shape[0])
    seen = np.asarray(opened(copied(picture, turn=turn, crop=crop)))
    assert seen.shape == hung.shape
    assert np.abs(seen.astype(int) - hung).mean() < 3  # JPEG's error


def test_only_the_crop_is_copied(picture: Photograph) -> None:
    copy = copied(picture, crop=Area(100, 50, 120, 90))
    hung = photograph("chelsea")[100:190, 180:300]
    assert copy.pixels == PixelSize(120, 90)
    assert np.abs(np.asarray(opened(copy)).astype(int) - hung).mean() < 3


@pytest.fixture
def private(tmp_path: Path) -> Photograph:
    exif = Image.Exif()
    exif[0x010E], exif[0x013B] = "at home", "A. Person"
    exif.get_ifd(0x8825)[2] = (52.0, 0.0, 0.0)
    Image.fromarray(photograph("chelsea")[:200]).save(tmp_path / "a.jpg", exif=exif)
    return decode(tmp_path / "a.jpg")


def test_nothing_private_is_passed_on(private: Photograph) -> None:
    copy = copied(private)
    assert b"Person" not in copy.content
    assert b"at home" not in copy.content
    assert dict(opened(copy).getexif()) == {}
    assert b"adobe.com/xap" not in copy.content


@pytest.mark.parametrize(
    "title", ["Old pier", "Évening <& dawn>", "写真", "\"Quoted\" & 'so'", "tab\tand\0nul"]
)
def test_the_title_is_in_the_file_where_the_rules_require_it(
    picture: Photograph, title: str
) -> None:
    copy = copied(picture, CatalogueRule(title_inside=True), title=title)
    packet = opened(copy).info["xmp"]
    found = ElementTree.fromstring(packet).find(
        ".//{http://purl.org/dc/elements/1.1/}title//{http://www.w3.org/1999/02/22-rdf-syntax-ns#}li"
    )
    assert found is not None
    assert found.text == "".join(c for c in title if c.isprintable())


def test_a_copy_is_the_same_each_time(picture: Photograph) -> None:
    rule = CatalogueRule(250, 250, 20_000)
    assert copied(picture, rule) == copied(picture, rule)
