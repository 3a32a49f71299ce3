"""Photographs of a grey card, made here: the level put in must be the level read.

An 18 % grey is sRGB 118 and linear 0.1812 (IEC 61966-2-1, computed). Tags are those of Exif 2.3:
33434 exposure time, 33437 f-number, 34855 ISO, and 37377, 37378 in APEX units.
"""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from PIL import Image, ImageCms
from PIL.TiffImagePlugin import IFDRational

from proofs.errors import PhotographError
from proofs.outside.card import CardPhotograph, read_card
from proofs.outside.pixels.colour.spaces import built_in_profile, srgb_to_linear
from proofs.outside.pixels.metadata.embed import with_tiff_tags
from proofs.outside.pixels.source.decode import decode
from proofs.plan.tones.metering import Exposure

SIZE = (600, 400)
PLAIN = {33434: IFDRational(1, 20), 33437: IFDRational(28, 10), 34855: 100}
JPEG_LEVEL = 0.002  # one code at sRGB 118 is 0.0034 of light; the mean of many comes nearer


def photograph(
    path: Path, picture: Image.Image, tags: dict[int, Any] | None = None, **how: Any
) -> Path:
    """Save a picture with these tags as a camera does."""
    exif = Image.Exif()
    exif.get_ifd(0x8769).update(PLAIN if tags is None else tags)
    picture.save(path, exif=exif.tobytes(), **how)
    return path


def exposure(card: CardPhotograph) -> Exposure:
    """Return the complete exposure of a card."""
    return Exposure(card.iso or 0, card.seconds or 0, card.aperture or 0)


def even(code: int = 118) -> Image.Image:
    return Image.new("RGB", SIZE, (code, code, code))


def sloping(darkest: float, *, noise: float = 0.0) -> Image.Image:
    """A card lit from one side: across its middle third the light falls to this share."""
    width, height = SIZE
    third = np.linspace(-1, 2, width)  # 0 to 1 across the middle third
    light = 0.18 * (1 - (1 - darkest) * third) * np.ones((height, 1))
    codes = 255 * (1.055 * np.clip(light, 0.004, 1) ** (1 / 2.4) - 0.055)
    grain = np.random.default_rng(1).normal(0, noise, (height, width))
    channel = (codes + grain).clip(0, 255).round().astype(np.uint8)
    return Image.fromarray(np.repeat(channel[:, :, None], 3, axis=2))


@pytest.mark.parametrize("ending", [".jpg", ".tif", ".png"])
def test_a_card_gives_its_exposure_and_its_level(tmp_path: Path, ending: str) -> None:
    card = read_card(photograph(tmp_path / f"card{ending}", even()))
    assert exposure(card) == Exposure(iso=100, seconds=1 / 20, aperture=2.8)
    assert card.level == pytest.approx(0.181164, abs=JPEG_LEVEL)
    assert card.evenness == pytest.approx(1)


@pytest.mark.parametrize(("code", "level"), [(64, 0.051269), (100, 0.127438), (192, 0.527115)])
def test_the_level_of_a_card_is_measured(tmp_path: Path, code: int, level: float) -> None:
    # Levels: computed, and the same by colour-science's sRGB function.
    card = read_card(photograph(tmp_path / "card.png", even(code)))
    assert card.level == pytest.approx(level, abs=2e-6)


def test_codes_are_decoded_as_by_colour_science() -> None:
    models = pytest.importorskip("colour.models")
    codes = np.arange(256.0)
    assert srgb_to_linear(codes / 255) == pytest.approx(models.eotf_sRGB(codes / 255), abs=1e-7)


def test_a_grey_picture_is_accepted(tmp_path: Path) -> None:
    card = read_card(photograph(tmp_path / "card.jpg", even().convert("L")))
    assert card.level == pytest.approx(0.181164, abs=JPEG_LEVEL)


def test_a_profile_in_the_picture_is_applied(tmp_path: Path) -> None:
    # sRGB codes under the profile of sRGB itself stay what they are.
    built_in_profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    card = read_card(photograph(tmp_path / "card.jpg", even(), icc_profile=built_in_profile))
    assert card.level == pytest.approx(0.181164, abs=JPEG_LEVEL)


def test_only_the_middle_of_the_frame_is_measured(tmp_path: Path) -> None:
    picture = Image.new("RGB", SIZE, (250, 20, 20))
    picture.paste((118, 118, 118), (150, 100, 450, 300))
    card = read_card(photograph(tmp_path / "card.png", picture))
    assert card.level == pytest.approx(0.181164, abs=JPEG_LEVEL)


def test_grain_does_not_count_as_unevenness(tmp_path: Path) -> None:
    card = read_card(photograph(tmp_path / "card.png", sloping(1, noise=8)))
    assert card.evenness > 0.9


def test_a_slight_fall_off_is_measured(tmp_path: Path) -> None:
    card = read_card(photograph(tmp_path / "card.png", sloping(0.88)))
    assert card.evenness == pytest.approx(0.88, abs=0.02)


@pytest.mark.parametrize(
    "picture",
    [
        sloping(0.7),
        Image.fromarray(np.indices((400, 600)).sum(0).astype(np.uint8)).convert("RGB"),
        Image.fromarray((np.indices((400, 600)) // 16 % 2).prod(0).astype(np.uint8) * 120 + 60),
    ],
    ids=["shadow", "ramps", "chequers"],
)
def test_a_frame_too_uneven_to_be_a_card_is_refused(tmp_path: Path, picture: Image.Image) -> None:
    path = photograph(tmp_path / "card.png", picture.convert("RGB"))
    with pytest.raises(PhotographError, match=r"card.png: .*too uneven to be a card.*fill the"):
        read_card(path)


@pytest.mark.parametrize(("code", "found"), [(254, "burnt out"), (3, "black")])
def test_a_card_that_cannot_be_measured_is_refused(tmp_path: Path, code: int, found: str) -> None:
    path = photograph(tmp_path / "card.png", even(code))
    with pytest.raises(PhotographError, match=f"{found}; photograph it with"):
        read_card(path)


@pytest.mark.parametrize("missing", list(PLAIN))
def test_values_missing_from_exif_are_none(tmp_path: Path, missing: int) -> None:
    tags = {key: value for key, value in PLAIN.items() if key != missing}
    card = read_card(photograph(tmp_path / "card.jpg", even(), tags))
    told = {33434: card.seconds, 33437: card.aperture, 34855: card.iso}
    assert told == {33434: 0.05, 33437: 2.8, 34855: 100, missing: None}


def test_exposures_in_apex_units_are_read_too(tmp_path: Path) -> None:
    # Exif 2.3: time 2^-Tv and N^2 = 2^Av.
    tags = {37377: IFDRational(6, 1), 37378: IFDRational(4, 1), 34855: 200}
    card = read_card(photograph(tmp_path / "card.jpg", even(), tags))
    assert exposure(card) == Exposure(iso=200, seconds=float(Fraction(1, 64)), aperture=4)


def test_an_impossible_exposure_is_none(tmp_path: Path) -> None:
    tags = {37377: IFDRational(-(2**31), 1), 37378: IFDRational(2**32 - 1, 1), 34855: 200}
    card = read_card(photograph(tmp_path / "card.png", even(), tags))
    assert (card.iso, card.seconds, card.aperture) == (200, None, None)


@pytest.mark.parametrize("tag", [34865, 34866])
def test_a_sensitivity_too_large_for_its_tag_is_read_from_another(tmp_path: Path, tag: int) -> None:
    # Exif 2.3: 65535 where the value does not fit; 34865 and 34866 are the longer tags.
    card = read_card(photograph(tmp_path / "a.jpg", even(), PLAIN | {34855: 65535, tag: 102_400}))
    assert exposure(card) == Exposure(iso=102_400, seconds=1 / 20, aperture=2.8)


@pytest.mark.parametrize("bad", [IFDRational(0, 1), IFDRational(0, 0)])
def test_a_lens_without_an_aperture_leaves_the_rest(tmp_path: Path, bad: IFDRational) -> None:
    card = read_card(photograph(tmp_path / "card.png", even(), PLAIN | {33437: bad}))
    assert (card.iso, card.seconds, card.aperture) == (100, 0.05, None)


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"no picture", "is not a picture the program can read"),
        (b"", "is empty"),
        (b"\0\0\0\x18ftypheic" + bytes(60), "HEIC or AVIF.*save it as TIFF or JPEG"),
    ],
)
def test_what_is_not_a_picture_is_refused(tmp_path: Path, content: bytes, found: str) -> None:
    path = tmp_path / "card.jpg"
    path.write_bytes(content)
    with pytest.raises(PhotographError, match=f"card.jpg: .*{found}"):
        read_card(path)


def test_a_picture_cut_short_is_refused(tmp_path: Path) -> None:
    path = photograph(tmp_path / "card.jpg", sloping(1, noise=8))
    path.write_bytes(path.read_bytes()[:4000])
    with pytest.raises(PhotographError, match=r"card.jpg: is cut short or damaged"):
        read_card(path)


def deep(path: Path) -> Path:
    """Save a card of 16-bit RGB, L* 49.5, as an editor exports it."""
    codes = np.full((400, 600, 3), 30326, np.uint16)  # 0.46274 of 65535: sRGB 118 of 255
    tifffile.imwrite(path, codes, photometric="rgb", compression="lzw", predictor=2)
    tagged = decode(photograph(path.with_suffix(".jpg"), even())).metadata
    path.write_bytes(with_tiff_tags(path.read_bytes(), tagged))
    return path


def deep_grey(path: Path) -> Path:
    return photograph(path, Image.fromarray(np.full((400, 600), 30326, np.uint16)))


@pytest.mark.parametrize("made", [deep, deep_grey])
def test_16_bit_cards_are_measured(tmp_path: Path, made: Callable[[Path], Path]) -> None:
    card = read_card(made(tmp_path / "card.tif"))
    assert exposure(card) == Exposure(iso=100, seconds=1 / 20, aperture=2.8)
    assert card.level == pytest.approx(0.181164, abs=2e-5)


def test_a_card_in_a_wide_space_has_the_same_level(tmp_path: Path) -> None:
    # A grey of 18 % is code 0.18^(1/2.19921875) = 0.45857 in a space of gamma 563/256.
    path = tmp_path / "card.tif"
    codes = np.full((400, 600, 3), round(0.18 ** (256 / 563) * 65535), np.uint16)
    tifffile.imwrite(path, codes, photometric="rgb", iccprofile=built_in_profile("a98-rgb"))
    assert read_card(path).level == pytest.approx(0.18, abs=2e-5)


def test_a_rotated_photograph_is_measured(tmp_path: Path) -> None:
    path = tmp_path / "card.jpg"
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8769).update(PLAIN)
    sloping(0.88).save(path, exif=exif.tobytes())
    card = read_card(path)
    assert exposure(card) == Exposure(iso=100, seconds=1 / 20, aperture=2.8)
    assert card.evenness == pytest.approx(0.88, abs=0.02)


def test_a_thumbnail_is_too_small_to_measure(tmp_path: Path) -> None:
    path = photograph(tmp_path / "card.png", even().resize((60, 40)))
    with pytest.raises(PhotographError, match="60 x 40 pixels"):
        read_card(path)
