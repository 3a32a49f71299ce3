"""Every kind of picture a photographer owns gives the colours that were meant.

Outside source: colour-science for colours (IEC 61966-2-1 and others), ICC.1, TIFF 6.0, the PNG
specification, CIPA DC-008 and DCF for containers; files by Pillow, tifffile and the tests' own
writers. Kinds of faults: those that users of open-source picture libraries reported.
"""

import io
import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import imagecodecs
import numpy as np
import pytest
import tifffile
from PIL import Image, ImageCms, TiffImagePlugin

from proofs.findings import Severity
from proofs.lengths import PixelSize
from proofs.outside.pixels import icc, spaces
from proofs.outside.pixels.lightness import Tone
from proofs.outside.pixels.opening import decode, look
from proofs.outside.pixels.tone_profile import baked
from proofs.outside.pixels.vips import press_profile
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import (
    COLOURS,
    PATCH,
    as_bytes,
    chart,
    exif_of_a_camera,
    jpeg,
    patches,
    png,
    with_segment,
)
from tests.outside.pixels.pictures import Array, lab, tiff
from tests.outside.pixels.route import pixels_of, written


def colours_in_print(path: Path, space: str = "display-p3") -> Array:
    """The Lab of the patches of a picture, measured in its finished 16-bit file."""
    return reference.lab_of(
        space, patches(pixels_of(written(path, lab(bits=16, space=space)))) / 65535
    )


def assert_colours(path: Path, expected: Any, tolerance: float = near.PATCH) -> None:
    off = np.linalg.norm(colours_in_print(path) - np.asarray(expected), axis=1)
    assert off.max() <= tolerance, off


def codes_found(path: Path) -> list[str]:
    return [finding.code for finding in decode(path).facts.notes]


def grey_lab(light: Any) -> Array:
    xyz = np.asarray(light, dtype=float)[:, None] * reference.D50
    return reference.lab_of_xyz(xyz)


# RGB with profiles


MAKERS = {
    "jpeg": lambda path, profile: jpeg(path, chart(), icc_profile=profile),
    "png": lambda path, profile: png(path, chart(), {b"iCCP": b"own\0\0" + zlib.compress(profile)}),
    "tiff": lambda path, profile: tiff(path, chart(), icc_profile=profile),
}
TOLERANCES = {"jpeg": near.PATCH_JPEG, "png": near.PATCH, "tiff": near.PATCH}


@pytest.mark.parametrize("space", ["srgb", "a98-rgb", "display-p3"])
@pytest.mark.parametrize("maker", MAKERS)
def test_the_embedded_profile_holds(tmp_path: Path, space: str, maker: str) -> None:
    profile = spaces.profile(space)
    path = MAKERS[maker](tmp_path / "picture", profile)
    assert_colours(path, reference.lab_of(space, COLOURS / 255), TOLERANCES[maker])
    assert codes_found(path) == []
    assert look(path).profile == icc.description(profile)


def parametric_p3() -> bytes:
    """A version 4 profile as phones embed: parametric curves, text in two bytes a letter."""
    curve = (
        b"para\0\0\0\0"
        + struct.pack(">HH", 3, 0)
        + struct.pack(
            ">5i", *(round(v * 65536) for v in (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045))
        )
    )
    matrix = reference.to_xyz_matrix("display-p3")
    tags = {f"{c}XYZ": icc.xyz_tag(matrix[:, n]) for n, c in enumerate("rgb")}
    tags |= {f"{c}TRC": curve for c in "rgb"}
    return icc.built(icc.Header("mntr", "RGB ", "XYZ ", 4), "P3 of a phone", tags)


def test_a_phone_picture_with_a_version_4_profile_keeps_its_colours(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "phone.jpg", chart(), icc_profile=parametric_p3())
    assert_colours(path, reference.lab_of("display-p3", COLOURS / 255), near.PATCH_JPEG)


def test_colours_outside_srgb_stay_apart_in_a_print_that_holds_them(tmp_path: Path) -> None:
    ground = np.rint(
        reference.codes_of("display-p3", reference.lab_of("srgb", np.eye(3)[:1]))[0] * 255
    )
    path = tiff(
        tmp_path / "canary.tif",
        chart(np.array([ground[0], [255, 0, 0]])),
        icc_profile=spaces.profile("display-p3"),
    )
    one, other = colours_in_print(path)
    assert np.linalg.norm(one - other) > 6


def test_a_look_up_profile_of_rgb_is_used(tmp_path: Path) -> None:
    profile = baked(spaces.profile("a98-rgb"), Tone(), intent="relative")
    path = tiff(tmp_path / "scan.tif", chart(), icc_profile=profile)
    assert_colours(path, reference.lab_of("a98-rgb", COLOURS / 255))


# Without a profile


@pytest.mark.parametrize(
    ("colour_space", "index", "meant"), [(0xFFFF, "R03", "a98-rgb"), (1, "R98", "srgb")]
)
def test_cameras_tell_their_colour_space_in_exif(
    tmp_path: Path, colour_space: int, index: str, meant: str
) -> None:
    path = jpeg(tmp_path / "_DSC0001.JPG", chart())
    with_segment(path, 0xE1, exif_of_a_camera(colour_space, index))
    assert_colours(path, reference.lab_of(meant, COLOURS / 255), near.PATCH_JPEG)
    assert codes_found(path) == []


def test_tiff_files_of_cameras_tell_their_colour_space_too(tmp_path: Path) -> None:
    path = tmp_path / "_DSC0001.TIF"
    tags = TiffImagePlugin.ImageFileDirectory_v2()
    tags[0x8769] = {0xA001: 2}  # what some makers write for Adobe RGB
    Image.fromarray(chart()).save(path, "TIFF", tiffinfo=tags)
    assert_colours(path, reference.lab_of("a98-rgb", COLOURS / 255))
    assert codes_found(path) == []


def test_an_embedded_profile_goes_before_exif(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "_DSC0003.JPG", chart(), icc_profile=spaces.profile("srgb"))
    with_segment(path, 0xE1, exif_of_a_camera(0xFFFF, "R03"))
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255), near.PATCH_JPEG)


def test_uncalibrated_with_a_name_that_begins_with_an_underscore_is_adobe_rgb_and_said(
    tmp_path: Path,
) -> None:
    path = jpeg(tmp_path / "_DSC0001.JPG", chart())
    with_segment(path, 0xE1, exif_of_a_camera(0xFFFF, ""))
    assert_colours(path, reference.lab_of("a98-rgb", COLOURS / 255), near.PATCH_JPEG)
    assert codes_found(path) == ["colour-guessed"]


def test_without_a_word_it_is_srgb_and_said(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "IMG_0001.jpg", chart())
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255), near.PATCH_JPEG)
    (finding,) = look(path).notes
    assert (finding.code, finding.severity) == ("profile-missing", Severity.NOTE)
    assert finding.message == "no profile: taken as sRGB"


# Damaged and mismatched profiles


def damages() -> dict[str, bytes]:
    whole = spaces.profile("a98-rgb")
    noise = np.random.default_rng(5).integers(0, 256, len(whole)).astype("u1").tobytes()
    outside = whole[:136] + struct.pack(">I", 0x00FFFFFF) + whole[140:]
    curveless = whole.replace(b"curv", b"crvv")
    return {
        "cut short": whole[:300],
        "noise": noise,
        "a tag outside": outside,
        "an unknown curve": curveless,
        "for grey": spaces.profile("grey"),
        "a named-colour profile": whole[:12] + b"nmcl" + whole[16:],
    }


@pytest.mark.parametrize("damage", damages())
def test_a_profile_that_cannot_be_used_is_said_and_left_behind(tmp_path: Path, damage: str) -> None:
    path = tiff(tmp_path / "odd.tif", chart(), icc_profile=damages()[damage])
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))
    finding = decode(path).facts.notes[0]
    assert (finding.code, finding.severity) == ("profile-unusable", Severity.WARNING)
    file = Image.open(io.BytesIO(written(path, lab())))
    assert file.info["icc_profile"] == spaces.profile("srgb")


@pytest.mark.parametrize("format_", ["png", "jpeg", "webp"])
@pytest.mark.parametrize("damage", damages())
def test_so_it_is_in_every_container(tmp_path: Path, damage: str, format_: str) -> None:
    path = tmp_path / "odd"
    options: dict[str, Any] = {"lossless": True} if format_ == "webp" else {}
    Image.fromarray(chart()).save(path, format_, icc_profile=damages()[damage], **options)
    assert codes_found(path) == ["profile-unusable", "colour-guessed"]


def test_a_profile_that_cannot_be_unpacked_is_said(tmp_path: Path) -> None:
    path = png(tmp_path / "odd.png", chart(), {b"iCCP": b"name\0\0this is not packed"})
    assert codes_found(path) == ["profile-unusable", "colour-guessed"]
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))


# Grey


def dot_gain(codes: Array) -> Array:
    """The light of a press whose middle tone of ink grows by a fifth: a parabola, made up."""
    ink = 1 - codes
    return np.asarray(1 - (ink + 0.8 * ink * (1 - ink)))


def test_grey_follows_its_dot_gain_profile(tmp_path: Path) -> None:
    profile = icc.grey_profile("Dot gain", icc.table_tag(dot_gain(np.linspace(0, 1, 256))))
    tones = np.array([255, 192, 128, 64, 0])
    path = jpeg(tmp_path / "grey.jpg", chart(tones[:, None])[..., 0], icc_profile=profile)
    assert_colours(path, grey_lab(dot_gain(tones / 255)), near.PATCH)
    assert look(path).channels == 1


def test_grey_of_16_bits_follows_its_gamma(tmp_path: Path) -> None:
    profile = icc.grey_profile("Gamma 1.8", icc.gamma_tag(461 / 256))
    tones = np.array([65535, 32896, 9000, 0])
    path = tiff(
        tmp_path / "grey.tif",
        chart(tones[:, None], "u2")[..., 0],
        icc_profile=profile,
        photometric="minisblack",
    )
    assert_colours(path, grey_lab((tones / 65535) ** (461 / 256)), near.PATCH_16)


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
    assert_colours(path, grey_lab([1, 0]))


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


# Inks and Lab


INKS = np.array(
    [[0, 0, 0, 0], [200, 50, 0, 0], [0, 200, 150, 0], [50, 100, 100, 0], [0, 0, 0, 200]]
)


def lab_of_inks(inks: Array) -> Array:
    """By Little CMS through Pillow, in 8-bit steps of Lab; black is not compensated."""
    image = Image.frombytes("CMYK", (len(inks), 1), inks.astype("u1").tobytes())
    profile = ImageCms.ImageCmsProfile(io.BytesIO(press_profile()))
    transform = ImageCms.buildTransform(
        profile, ImageCms.createProfile("LAB"), "CMYK", "LAB", ImageCms.Intent.RELATIVE_COLORIMETRIC
    )
    numbers = np.asarray(ImageCms.applyTransform(image, transform))[0].astype(float)
    signed = np.where(numbers[:, 1:] > 127, numbers[:, 1:] - 256, numbers[:, 1:])
    return np.concatenate([numbers[:, :1] / 2.55, signed], axis=1)


INK_MAKERS = {
    # As editors write them: inverted, and marked so.
    "jpeg": lambda path: jpeg(path, chart(INKS), icc_profile=press_profile()),
    "tiff": lambda path: tiff(
        path, chart(INKS), icc_profile=press_profile(), photometric="separated"
    ),
    "tiff of 16 bits": lambda path: tiff(
        path, chart(INKS * 257, "u2"), icc_profile=press_profile(), photometric="separated"
    ),
}


@pytest.mark.parametrize("maker", INK_MAKERS)
def test_inks_are_the_right_way_round_and_follow_their_profile(tmp_path: Path, maker: str) -> None:
    path = INK_MAKERS[maker](tmp_path / "inks")
    plain = lab(bits=16, space="a98-rgb", compensated=False)
    got = reference.lab_of("a98-rgb", patches(pixels_of(written(path, plain))) / 65535)
    assert np.linalg.norm(got - lab_of_inks(INKS), axis=1).max() <= near.PATCH_INKS
    assert look(path).channels == 4


def test_inks_stored_as_luminance_and_differences_are_the_same_inks(tmp_path: Path) -> None:
    path = tmp_path / "ycck.jpg"
    inverted = 255 - chart(INKS)  # as editors write them, by the Adobe marker's transform 2
    file = imagecodecs.jpeg8_encode(inverted, level=97, colorspace="CMYK", outcolorspace="YCCK")
    path.write_bytes(file)
    plain = jpeg(tmp_path / "cmyk.jpg", chart(INKS))
    off = np.linalg.norm(colours_in_print(path) - colours_in_print(plain), axis=1)
    assert off.max() <= near.PATCH_JPEG


def test_inks_without_a_profile_are_printed_by_a_press_and_said(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "inks.jpg", chart(INKS))
    lightness = colours_in_print(path)[:, 0]
    assert lightness[0] - lightness[4] > 40
    assert codes_found(path) == ["profile-missing"]


LAB = np.array([[50, 0, 0], [68, 18, 22], [36, 48, 34], [75, -12, -30]])


def signed(values: Array, scale: int, kind: str) -> Array:
    numbers = values * np.array([65535 / 100 if scale > 1 else 2.55, scale, scale])
    return np.asarray(np.rint(numbers).astype(np.int64).astype(kind))


@pytest.mark.parametrize("depth", [8, 16])
@pytest.mark.parametrize("options", [{}, {"compression": "lzw"}, {"tile": (16, 16)}])
def test_cielab_files_are_read(tmp_path: Path, depth: int, options: dict[str, Any]) -> None:
    numbers = signed(LAB, 1, "u1") if depth == 8 else signed(LAB, 256, "u2")
    path = tiff(
        tmp_path / "lab.tif", chart(numbers, numbers.dtype.str), photometric="cielab", **options
    )
    assert_colours(path, LAB, near.PATCH_16 if depth == 16 else near.PATCH)
    assert look(path).bits == depth


@pytest.mark.parametrize("depth", [8, 16])
def test_cielab_counted_from_below_is_read(tmp_path: Path, depth: int) -> None:
    from_below = LAB + np.array([0, 128, 128])
    scale = [2.55, 1, 1] if depth == 8 else [652.8, 256, 256]
    numbers = np.rint(from_below * np.array(scale)).astype(f"u{depth // 8}")
    path = tiff(tmp_path / "lab.tif", chart(numbers, numbers.dtype.str), photometric="icclab")
    assert_colours(path, LAB)


def test_cielab_in_floating_point_is_read(tmp_path: Path) -> None:
    path = tiff(tmp_path / "lab.tif", chart(LAB, "f4"), photometric="cielab")
    assert_colours(path, LAB)


# Floating point and linear light


@pytest.mark.parametrize("tagged", [True, False])
@pytest.mark.parametrize("kind", ["f2", "f4"])
def test_floating_point_is_linear_light(tmp_path: Path, tagged: bool, kind: str) -> None:
    light = reference.decoded("srgb", COLOURS / 255)
    profile = spaces.profile("linear-srgb") if tagged else b""
    path = tiff(tmp_path / "float.tif", chart(light, kind), icc_profile=profile)
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))
    assert codes_found(path) == ([] if tagged else ["profile-missing"])


def test_light_beyond_white_is_white_and_what_is_no_number_black(tmp_path: Path) -> None:
    light = np.array([[0.18, 0.18, 0.18], [7.0, 7.0, 7.0], [np.nan] * 3, [np.inf] * 3, [-0.5] * 3])
    path = tiff(tmp_path / "float.tif", chart(light, "f4"))
    assert_colours(path, grey_lab([0.18, 1, 0, 1, 0]))


def test_floating_point_in_codes_follows_its_profile(tmp_path: Path) -> None:
    path = tiff(
        tmp_path / "float.tif", chart(COLOURS / 255, "f4"), icc_profile=spaces.profile("a98-rgb")
    )
    assert_colours(path, reference.lab_of("a98-rgb", COLOURS / 255))


def test_grey_floating_point_is_linear_light(tmp_path: Path) -> None:
    path = tiff(
        tmp_path / "float.tif",
        chart(np.array([[0.18], [0.5]]), "f4")[..., 0],
        photometric="minisblack",
    )
    assert_colours(path, grey_lab([0.18, 0.5]))


def test_32_bit_whole_numbers_are_read(tmp_path: Path) -> None:
    path = tiff(tmp_path / "long.tif", chart(COLOURS * 0x01010101, "u4"))
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))


def linear_codes() -> Array:
    return np.rint(reference.decoded("srgb", COLOURS / 255) * 65535)


def test_16_bit_linear_light_with_a_profile_is_read(tmp_path: Path) -> None:
    path = tiff(
        tmp_path / "linear.tif",
        chart(linear_codes(), "u2"),
        icc_profile=spaces.profile("linear-srgb"),
    )
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255), near.PATCH_16)


# PNG chunks


def number(value: float) -> bytes:
    return struct.pack(">I", round(value * 100_000))


CHROMATICITIES = {
    "srgb": (0.3127, 0.3290, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06),
    "a98-rgb": (0.3127, 0.3290, 0.64, 0.33, 0.21, 0.71, 0.15, 0.06),
}


def test_a_gamma_chunk_of_1_is_linear_light(tmp_path: Path) -> None:
    path = png(tmp_path / "linear.png", chart(linear_codes(), "u2"), {b"gAMA": number(1)})
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255), near.PATCH_16)


def test_an_srgb_chunk_goes_before_a_gamma_chunk(tmp_path: Path) -> None:
    path = png(tmp_path / "both.png", chart(), {b"sRGB": b"\0", b"gAMA": number(1)})
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))
    assert codes_found(path) == []


def test_gamma_and_chromaticity_chunks_make_a_space(tmp_path: Path) -> None:
    chunks = {
        b"gAMA": number(256 / 563),
        b"cHRM": b"".join(number(v) for v in CHROMATICITIES["a98-rgb"]),
    }
    path = png(tmp_path / "wide.png", chart(), chunks)
    assert_colours(path, reference.lab_of("a98-rgb", COLOURS / 255))


@pytest.mark.parametrize(
    ("chunk", "meant"),
    [((1, 13, 0, 1), "srgb"), ((12, 13, 0, 1), "display-p3")],
)
def test_a_colour_number_goes_before_a_profile(
    tmp_path: Path, chunk: tuple[int, ...], meant: str
) -> None:
    chunks = {
        b"cICP": bytes(chunk),
        b"iCCP": b"own\0\0" + zlib.compress(spaces.profile("a98-rgb")),
    }
    path = png(tmp_path / "number.png", chart(), chunks)
    assert_colours(path, reference.lab_of(meant, COLOURS / 255))
    assert codes_found(path) == []


@pytest.mark.parametrize("primaries", [1, 12])
def test_colour_numbers_tell_linear_light(tmp_path: Path, primaries: int) -> None:
    meant = {1: "srgb", 12: "display-p3"}[primaries]
    path = png(
        tmp_path / "linear.png", chart(linear_codes(), "u2"), {b"cICP": bytes((primaries, 8, 0, 1))}
    )
    assert_colours(path, reference.lab_of(meant, COLOURS / 255), near.PATCH_16)


def test_other_colour_numbers_are_srgb_and_said(tmp_path: Path) -> None:
    path = png(tmp_path / "bright.png", chart(), {b"cICP": bytes((9, 16, 0, 1))})
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))
    assert codes_found(path) == ["colour-guessed"]


# Alpha, palettes, extra channels


@pytest.mark.parametrize("depth", ["u1", "u2"])
def test_half_clear_pixels_are_mixed_with_paper_white_in_light(tmp_path: Path, depth: str) -> None:
    most = np.iinfo(depth).max
    pixels = chart(
        np.array([[0.5, 0.2, 0.1, 0.5], [0.5, 0.2, 0.1, 0], [0.5, 0.2, 0.1, 1]]) * most, depth
    )
    path = png(tmp_path / "clear.png", pixels, {b"sRGB": b"\0"})
    alpha = pixels[0, 0, 3] / most
    light = reference.decoded("srgb", pixels[0, 0, :3] / most)
    mixed = reference.coded("srgb", light * alpha + 1 - alpha)
    whole = pixels[0, 0, :3] / most
    expected = reference.lab_of("srgb", np.array([mixed, [1, 1, 1], whole]))
    assert_colours(path, expected, near.PATCH_16)


def test_clear_grey_is_paper_white(tmp_path: Path) -> None:
    pixels = chart(np.array([[128, 255], [128, 0]]))
    path = png(tmp_path / "grey.png", pixels, {b"sRGB": b"\0"})
    assert_colours(path, grey_lab([reference.decoded("srgb", np.array(128 / 255)), 1]))


def test_opaque_alpha_changes_no_code(tmp_path: Path) -> None:
    pixels = chart(np.concatenate([COLOURS, np.full((6, 1), 255)], axis=1))
    path = png(tmp_path / "opaque.png", pixels, {b"sRGB": b"\0"})
    assert np.array_equal(pixels_of(written(path, lab())), pixels[..., :3])


def test_white_cut_out_of_a_clear_ground_has_no_dark_edge(tmp_path: Path) -> None:
    pixels = np.zeros((320, 480, 4), dtype="u1")
    inside = np.hypot(*np.mgrid[-160:160, -240:240]) < 120
    pixels[inside] = 255
    path = png(tmp_path / "cut-out.png", pixels)
    assert pixels_of(written(path, lab(), size=PixelSize(177, 118))).min() >= 253


def test_colours_multiplied_by_alpha_come_back(tmp_path: Path) -> None:
    alpha = np.array([255, 128, 51])
    pixels = np.concatenate([np.rint(np.outer(alpha, [220, 40, 40]) / 255), alpha[:, None]], axis=1)
    path = tiff(tmp_path / "multiplied.tif", chart(pixels), extrasamples=["assocalpha"])
    assert pixels_of(written(path, lab()))[..., 0].min() >= 218


def test_palettes_are_colours_before_they_are_resampled(tmp_path: Path) -> None:
    image = Image.fromarray(chart()).quantize(6)
    image.info["transparency"] = int(np.asarray(image)[0, 0])
    path = tmp_path / "palette.png"
    image.save(path, transparency=image.info["transparency"])
    expected = reference.lab_of("srgb", COLOURS / 255)
    expected[0] = [100, 0, 0]
    assert_colours(path, expected)


@pytest.mark.parametrize("extra", [1, 2])
def test_channels_that_are_no_colour_are_left_out_and_said(tmp_path: Path, extra: int) -> None:
    pixels = np.concatenate([COLOURS, np.full((6, extra), 9)], axis=1)
    path = tiff(tmp_path / "extra.tif", chart(pixels), extrasamples=["unspecified"] * extra)
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))
    assert codes_found(path) == ["profile-missing", "extra-channels"]


def test_an_alpha_behind_a_spot_colour_is_found(tmp_path: Path) -> None:
    pixels = np.concatenate([COLOURS, np.full((6, 1), 9), np.full((6, 1), 0)], axis=1)
    path = tiff(tmp_path / "spot.tif", chart(pixels), extrasamples=["unspecified", "unassalpha"])
    assert_colours(path, [[100, 0, 0]] * 6)


# Containers


@pytest.mark.parametrize(
    "options",
    [
        {"tile": (16, 16)},
        {"bigtiff": True},
        {"compression": "deflate", "predictor": 2},
        {"byteorder": ">"},
        {"rowsperstrip": 3, "compression": "lzw"},
    ],
)
def test_the_same_picture_is_the_same_however_it_is_packed(
    tmp_path: Path, options: dict[str, Any]
) -> None:
    plain = tiff(tmp_path / "plain.tif", chart())
    packed = tiff(tmp_path / "packed.tif", chart(), **options)
    assert written(packed, lab()) == written(plain, lab())


def test_planes_one_behind_the_other_are_the_same_picture(tmp_path: Path) -> None:
    plain = tiff(tmp_path / "plain.tif", chart())
    path = tiff(tmp_path / "planes.tif", np.moveaxis(chart(), 2, 0).copy(), planarconfig="separate")
    assert written(path, lab()) == written(plain, lab())


@pytest.mark.parametrize("options", [{"rowsperstrip": 16}, {"tile": (32, 32)}])
def test_jpeg_inside_tiff_is_read_in_its_colours(tmp_path: Path, options: dict[str, Any]) -> None:
    path = tmp_path / "archive.tif"
    tifffile.imwrite(
        path,
        np.asarray(Image.fromarray(chart()).convert("YCbCr")),
        photometric="ycbcr",
        compression="jpeg",
        subsampling=(2, 2),
        metadata=None,
        **options,
    )
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255), near.PATCH_JPEG)


def test_of_several_pages_the_first_is_used_and_said(tmp_path: Path) -> None:
    path = tmp_path / "pages.tif"
    with tifffile.TiffWriter(path) as writer:
        writer.write(chart(), photometric="rgb", metadata=None)
        writer.write(chart(COLOURS[::-1]), photometric="rgb", metadata=None)
    assert codes_found(path) == ["profile-missing", "several-pages"]
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))


@pytest.mark.parametrize("marked", [True, False])
@pytest.mark.parametrize("smallest_first", [True, False])
def test_of_one_picture_in_several_sizes_the_largest_is_used(
    tmp_path: Path, marked: bool, smallest_first: bool
) -> None:
    path = tmp_path / "levels.tif"
    levels = [chart()[::n, ::n] for n in (1, 2, 4)]
    with tifffile.TiffWriter(path) as writer:
        for level in reversed(levels) if smallest_first else levels:
            reduced = int(marked and level.shape != levels[0].shape)
            writer.write(level, photometric="rgb", subfiletype=reduced, metadata=None)
    assert look(path).pixels.width == 6 * PATCH
    assert [n.code for n in look(path).notes] == ["profile-missing"]
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))


def test_a_picture_inside_a_small_first_page_is_found(tmp_path: Path) -> None:
    path = tmp_path / "inside.tif"
    with tifffile.TiffWriter(path) as writer:
        small = chart()[::4, ::4]
        writer.write(small, photometric="rgb", subfiletype=1, subifds=1, metadata=None)
        writer.write(chart(), photometric="rgb", metadata=None)
    assert look(path).pixels.width == 6 * PATCH
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))


def test_an_animated_webp_gives_its_first_picture_and_says_so(tmp_path: Path) -> None:
    path = tmp_path / "moving.webp"
    first, second = Image.fromarray(chart()), Image.fromarray(chart(COLOURS[::-1]))
    first.save(path, save_all=True, append_images=[second], lossless=True, duration=100)
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))
    assert "several-pages" in codes_found(path)


def test_a_moving_png_gives_its_first_picture_and_says_so(tmp_path: Path) -> None:
    path = tmp_path / "moving.png"
    first, second = Image.fromarray(chart()), Image.fromarray(chart(COLOURS[::-1]))
    first.save(path, save_all=True, append_images=[second], duration=100)
    assert_colours(path, reference.lab_of("srgb", COLOURS / 255))
    assert codes_found(path) == ["profile-missing", "several-pages"]


def test_a_second_picture_in_a_phone_jpeg_changes_nothing(tmp_path: Path) -> None:
    plain = jpeg(tmp_path / "plain.jpg", chart())
    double = tmp_path / "double.jpg"
    preview = as_bytes(Image.fromarray(chart(COLOURS[::-1])), "JPEG")
    double.write_bytes(plain.read_bytes() + preview)
    marked = with_segment(double, 0xE2, b"MPF\0II*\0\x08\0\0\0\0\0" + b"\0" * 60)
    gain_map = (
        b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-'
        b'syntax-ns#"><rdf:Description rdf:about="" xmlns:hdrgm="http://ns.adobe.com/hdr-gain-map/'
        b'1.0/" hdrgm:Version="1.0"/></rdf:RDF></x:xmpmeta>'
    )
    with_segment(marked, 0xE1, b"http://ns.adobe.com/xap/1.0/\0" + gain_map)
    file = written(marked, lab(format_="jpeg"))
    assert file == written(plain, lab(format_="jpeg"))
    assert b"hdrgm" not in file
    assert b"MPF\0" not in file


TURNS = {
    1: lambda a: a,
    2: lambda a: a[:, ::-1],
    3: lambda a: a[::-1, ::-1],
    4: lambda a: a[::-1],
    5: lambda a: a.transpose(1, 0, 2),
    6: lambda a: a.transpose(1, 0, 2)[::-1],
    7: lambda a: a[::-1, ::-1].transpose(1, 0, 2),
    8: lambda a: a.transpose(1, 0, 2)[:, ::-1],
}


def turned_jpeg(path: Path, stored: Array, orientation: int) -> Path:
    exif = Image.Exif()
    exif[274] = orientation
    return jpeg(path, stored, exif=exif)


def turned_tiff(path: Path, stored: Array, orientation: int) -> Path:
    tags = [(274, 3, 1, orientation, True)]
    tifffile.imwrite(path, stored, photometric="rgb", metadata=None, extratags=tags)
    return path


@pytest.mark.parametrize("orientation", TURNS)
@pytest.mark.parametrize("maker", [turned_jpeg, turned_tiff])
def test_pictures_stand_upright_by_their_orientation_tag(
    tmp_path: Path, orientation: int, maker: Callable[[Path, Array, int], Path]
) -> None:
    upright = chart()
    upright[: PATCH // 2] = 255 - upright[: PATCH // 2]
    stored = np.ascontiguousarray(TURNS[orientation](upright))  # CIPA DC-008, tag 274
    path = maker(tmp_path / "turned", stored, orientation)
    facts = look(path)
    assert (facts.pixels.width, facts.pixels.height) == (6 * PATCH, PATCH)
    got = pixels_of(written(path, lab())).astype(int)
    assert np.abs(got - upright).max() <= near.JPEG_CODES


def test_dark_16_bit_ramps_keep_their_levels(tmp_path: Path) -> None:
    ramp = np.linspace(0, 6000, 2000).astype("u2")[None, :, None].repeat(8, 0).repeat(3, 2)
    path = tiff(tmp_path / "night.tif", ramp, icc_profile=spaces.profile("srgb"))
    sixteen = pixels_of(written(path, lab(bits=16), -0.10))
    assert len(np.unique(sixteen[0, :, 0])) >= 1500
    eight = pixels_of(written(path, lab(), -0.30))[0, :, 0].astype(int)
    assert set(np.diff(eight).tolist()) == {0, 1}
