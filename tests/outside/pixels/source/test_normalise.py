"""Every colour model and sample format gives the intended colours.

Outside source: colour-science for colours (IEC 61966-2-1 and others), ICC.1 and
TIFF 6.0; files by Pillow, tifffile and the tests' own writers. Kinds of faults: those that users
of open-source picture libraries reported.
"""

import io
from pathlib import Path
from typing import Any

import imagecodecs
import numpy as np
import pytest
from PIL import Image, ImageCms

from proofs.lengths import PixelSize
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.source.decode import read_facts
from proofs.outside.pixels.vips import fallback_cmyk_profile
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import (
    COLOURS,
    chart,
    jpeg,
    patches,
    png,
)
from tests.outside.pixels.measured import (
    assert_colours,
    codes_found,
    colours_in_print,
    grey_cielab,
    linear_codes,
)
from tests.outside.pixels.pictures import Array, lab, tiff
from tests.outside.pixels.pipeline import pixels_of, written

# Grey


def dot_gain(codes: Array) -> Array:
    """The light of a press with 20 % dot gain at the middle tone: a parabola, made up."""
    ink = 1 - codes
    return np.asarray(1 - (ink + 0.8 * ink * (1 - ink)))


def test_grey_follows_its_dot_gain_profile(tmp_path: Path) -> None:
    profile = icc.build_grey_profile("Dot gain", icc.curve_tag(dot_gain(np.linspace(0, 1, 256))))
    tones = np.array([255, 192, 128, 64, 0])
    path = jpeg(tmp_path / "grey.jpg", chart(tones[:, None])[..., 0], icc_profile=profile)
    assert_colours(path, grey_cielab(dot_gain(tones / 255)), near.PATCH)
    assert read_facts(path).channels == 1


def test_16_bit_grey_follows_its_gamma(tmp_path: Path) -> None:
    profile = icc.build_grey_profile("Gamma 1.8", icc.gamma_tag(461 / 256))
    tones = np.array([65535, 32896, 9000, 0])
    path = tiff(
        tmp_path / "grey.tif",
        chart(tones[:, None], "u2")[..., 0],
        icc_profile=profile,
        photometric="minisblack",
    )
    assert_colours(path, grey_cielab((tones / 65535) ** (461 / 256)), near.PATCH_16)


def test_grey_stays_neutral_in_print(tmp_path: Path) -> None:
    path = tiff(
        tmp_path / "grey.tif",
        np.arange(256, dtype="u1")[None].repeat(9, 0),
        photometric="minisblack",
    )
    pixels = pixels_of(written(path, lab(space="a98-rgb"), 0.10)).astype(int)
    assert pixels.shape == (9, 256, 3)
    assert (pixels == pixels[..., :1]).all()


@pytest.mark.parametrize("depth", ["u1", "u2"])
def test_white_may_be_zero(tmp_path: Path, depth: str) -> None:
    most = np.iinfo(depth).max
    tones = chart(np.array([[0], [most]]), depth)[..., 0]
    path = tiff(tmp_path / "inverted.tif", tones, photometric="miniswhite")
    assert_colours(path, grey_cielab([1, 0]))


@pytest.mark.parametrize("compression", ["raw", "packbits", "group4"])
def test_1_bit_line_art_is_reduced_to_greys_the_right_way_round(
    tmp_path: Path, compression: str
) -> None:
    lines = np.ones((400, 600), dtype=bool)
    lines[:, 100:200] = False
    lines[np.add.outer(np.arange(400), np.arange(600)) % 37 < 9] = False
    path = tmp_path / "line.tif"
    Image.fromarray(lines).save(path, compression=compression)
    pixels = pixels_of(written(path, lab(), size=PixelSize(150, 100)))[..., 0]
    assert pixels[:, 29:46].max() == 0
    assert len(np.unique(pixels)) >= 12


# CMYK and CIELAB


INKS = np.array(
    [[0, 0, 0, 0], [200, 50, 0, 0], [0, 200, 150, 0], [50, 100, 100, 0], [0, 0, 0, 200]]
)


def cielab_of_cmyk(inks: Array) -> Array:
    """By Little CMS through Pillow, in 8-bit steps of CIELAB; black is not compensated."""
    image = Image.frombytes("CMYK", (len(inks), 1), inks.astype("u1").tobytes())
    profile = ImageCms.ImageCmsProfile(io.BytesIO(fallback_cmyk_profile()))
    transform = ImageCms.buildTransform(
        profile, ImageCms.createProfile("LAB"), "CMYK", "LAB", ImageCms.Intent.RELATIVE_COLORIMETRIC
    )
    numbers = np.asarray(ImageCms.applyTransform(image, transform))[0].astype(float)
    signed = np.where(numbers[:, 1:] > 127, numbers[:, 1:] - 256, numbers[:, 1:])
    return np.concatenate([numbers[:, :1] / 2.55, signed], axis=1)


INK_MAKERS = {
    # As editors write them: inverted, with a marker that says so.
    "jpeg": lambda path: jpeg(path, chart(INKS), icc_profile=fallback_cmyk_profile()),
    "tiff": lambda path: tiff(
        path, chart(INKS), icc_profile=fallback_cmyk_profile(), photometric="separated"
    ),
    "tiff of 16 bits": lambda path: tiff(
        path, chart(INKS * 257, "u2"), icc_profile=fallback_cmyk_profile(), photometric="separated"
    ),
}


@pytest.mark.parametrize("maker", INK_MAKERS)
def test_cmyk_is_not_inverted_and_follows_its_profile(tmp_path: Path, maker: str) -> None:
    path = INK_MAKERS[maker](tmp_path / "inks")
    plain = lab(bits=16, space="a98-rgb", compensated=False)
    got = reference.cielab_of("a98-rgb", patches(pixels_of(written(path, plain))) / 65535)
    assert np.linalg.norm(got - cielab_of_cmyk(INKS), axis=1).max() <= near.PATCH_INKS
    assert read_facts(path).channels == 4


def test_cmyk_stored_as_ycck_is_the_same_cmyk(tmp_path: Path) -> None:
    path = tmp_path / "ycck.jpg"
    inverted = 255 - chart(INKS)  # as editors write them, by the Adobe marker's transform 2
    file = imagecodecs.jpeg8_encode(inverted, level=97, colorspace="CMYK", outcolorspace="YCCK")
    path.write_bytes(file)
    plain = jpeg(tmp_path / "cmyk.jpg", chart(INKS))
    off = np.linalg.norm(colours_in_print(path) - colours_in_print(plain), axis=1)
    assert off.max() <= near.PATCH_JPEG


def test_cmyk_without_a_profile_is_taken_as_a_press_and_reported(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "inks.jpg", chart(INKS))
    lightness = colours_in_print(path)[:, 0]
    assert lightness[0] - lightness[4] > 40
    assert codes_found(path) == ["profile-missing"]


CIELAB = np.array([[50, 0, 0], [68, 18, 22], [36, 48, 34], [75, -12, -30]])


def signed(values: Array, scale: int, kind: str) -> Array:
    numbers = values * np.array([65535 / 100 if scale > 1 else 2.55, scale, scale])
    return np.asarray(np.rint(numbers).astype(np.int64).astype(kind))


@pytest.mark.parametrize("depth", [8, 16])
@pytest.mark.parametrize("options", [{}, {"compression": "lzw"}, {"tile": (16, 16)}])
def test_cielab_files_are_read(tmp_path: Path, depth: int, options: dict[str, Any]) -> None:
    numbers = signed(CIELAB, 1, "u1") if depth == 8 else signed(CIELAB, 256, "u2")
    path = tiff(
        tmp_path / "cielab.tif", chart(numbers, numbers.dtype.str), photometric="cielab", **options
    )
    assert_colours(path, CIELAB, near.PATCH_16 if depth == 16 else near.PATCH)
    assert read_facts(path).bits == depth


@pytest.mark.parametrize("depth", [8, 16])
def test_icclab_with_offset_a_and_b_is_read(tmp_path: Path, depth: int) -> None:
    from_below = CIELAB + np.array([0, 128, 128])
    scale = [2.55, 1, 1] if depth == 8 else [652.8, 256, 256]
    numbers = np.rint(from_below * np.array(scale)).astype(f"u{depth // 8}")
    path = tiff(tmp_path / "cielab.tif", chart(numbers, numbers.dtype.str), photometric="icclab")
    assert_colours(path, CIELAB)


def test_cielab_in_floating_point_is_read(tmp_path: Path) -> None:
    path = tiff(tmp_path / "cielab.tif", chart(CIELAB, "f4"), photometric="cielab")
    assert_colours(path, CIELAB)


# Floating point and linear light


@pytest.mark.parametrize("tagged", [True, False])
@pytest.mark.parametrize("kind", ["f2", "f4"])
def test_floating_point_is_linear_light(tmp_path: Path, tagged: bool, kind: str) -> None:
    light = reference.decoded("srgb", COLOURS / 255)
    profile = spaces.built_in_profile("linear-srgb") if tagged else b""
    path = tiff(tmp_path / "float.tif", chart(light, kind), icc_profile=profile)
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))
    assert codes_found(path) == ([] if tagged else ["profile-missing"])


def test_light_beyond_white_is_white_and_nan_is_black(tmp_path: Path) -> None:
    light = np.array([[0.18, 0.18, 0.18], [7.0, 7.0, 7.0], [np.nan] * 3, [np.inf] * 3, [-0.5] * 3])
    path = tiff(tmp_path / "float.tif", chart(light, "f4"))
    assert_colours(path, grey_cielab([0.18, 1, 0, 1, 0]))


def test_floating_point_codes_follow_their_profile(tmp_path: Path) -> None:
    path = tiff(
        tmp_path / "float.tif",
        chart(COLOURS / 255, "f4"),
        icc_profile=spaces.built_in_profile("a98-rgb"),
    )
    assert_colours(path, reference.cielab_of("a98-rgb", COLOURS / 255))


def test_grey_floating_point_is_linear_light(tmp_path: Path) -> None:
    path = tiff(
        tmp_path / "float.tif",
        chart(np.array([[0.18], [0.5]]), "f4")[..., 0],
        photometric="minisblack",
    )
    assert_colours(path, grey_cielab([0.18, 0.5]))


def test_32_bit_integers_are_read(tmp_path: Path) -> None:
    path = tiff(tmp_path / "long.tif", chart(COLOURS * 0x01010101, "u4"))
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))


def test_16_bit_linear_light_with_a_profile_is_read(tmp_path: Path) -> None:
    path = tiff(
        tmp_path / "linear.tif",
        chart(linear_codes(), "u2"),
        icc_profile=spaces.built_in_profile("linear-srgb"),
    )
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255), near.PATCH_16)


# Alpha, palettes, extra channels


@pytest.mark.parametrize("depth", ["u1", "u2"])
def test_semi_transparent_pixels_are_blended_with_paper_white_in_light(
    tmp_path: Path, depth: str
) -> None:
    most = np.iinfo(depth).max
    pixels = chart(
        np.array([[0.5, 0.2, 0.1, 0.5], [0.5, 0.2, 0.1, 0], [0.5, 0.2, 0.1, 1]]) * most, depth
    )
    path = png(tmp_path / "clear.png", pixels, {b"sRGB": b"\0"})
    alpha = pixels[0, 0, 3] / most
    light = reference.decoded("srgb", pixels[0, 0, :3] / most)
    mixed = reference.coded("srgb", light * alpha + 1 - alpha)
    whole = pixels[0, 0, :3] / most
    expected = reference.cielab_of("srgb", np.array([mixed, [1, 1, 1], whole]))
    assert_colours(path, expected, near.PATCH_16)


def test_transparent_grey_is_paper_white(tmp_path: Path) -> None:
    pixels = chart(np.array([[128, 255], [128, 0]]))
    path = png(tmp_path / "grey.png", pixels, {b"sRGB": b"\0"})
    assert_colours(path, grey_cielab([reference.decoded("srgb", np.array(128 / 255)), 1]))


def test_opaque_alpha_changes_no_code(tmp_path: Path) -> None:
    pixels = chart(np.concatenate([COLOURS, np.full((6, 1), 255)], axis=1))
    path = png(tmp_path / "opaque.png", pixels, {b"sRGB": b"\0"})
    assert np.array_equal(pixels_of(written(path, lab())), pixels[..., :3])


def test_white_on_a_transparent_background_has_no_dark_edge(tmp_path: Path) -> None:
    pixels = np.zeros((320, 480, 4), dtype="u1")
    inside = np.hypot(*np.mgrid[-160:160, -240:240]) < 120
    pixels[inside] = 255
    path = png(tmp_path / "cut-out.png", pixels)
    assert pixels_of(written(path, lab(), size=PixelSize(177, 118))).min() >= 253


def test_premultiplied_colours_are_restored(tmp_path: Path) -> None:
    alpha = np.array([255, 128, 51])
    pixels = np.concatenate([np.rint(np.outer(alpha, [220, 40, 40]) / 255), alpha[:, None]], axis=1)
    path = tiff(tmp_path / "multiplied.tif", chart(pixels), extrasamples=["assocalpha"])
    assert pixels_of(written(path, lab()))[..., 0].min() >= 218


def test_palettes_are_colours_before_they_are_resampled(tmp_path: Path) -> None:
    image = Image.fromarray(chart()).quantize(6)
    image.info["transparency"] = int(np.asarray(image)[0, 0])
    path = tmp_path / "palette.png"
    image.save(path, transparency=image.info["transparency"])
    expected = reference.cielab_of("srgb", COLOURS / 255)
    expected[0] = [100, 0, 0]
    assert_colours(path, expected)


@pytest.mark.parametrize("extra", [1, 2])
def test_extra_channels_are_ignored_and_reported(tmp_path: Path, extra: int) -> None:
    pixels = np.concatenate([COLOURS, np.full((6, extra), 9)], axis=1)
    path = tiff(tmp_path / "extra.tif", chart(pixels), extrasamples=["unspecified"] * extra)
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))
    assert codes_found(path) == ["profile-missing", "extra-channels"]


def test_an_alpha_after_a_spot_colour_is_found(tmp_path: Path) -> None:
    pixels = np.concatenate([COLOURS, np.full((6, 1), 9), np.full((6, 1), 0)], axis=1)
    path = tiff(tmp_path / "spot.tif", chart(pixels), extrasamples=["unspecified", "unassalpha"])
    assert_colours(path, [[100, 0, 0]] * 6)
