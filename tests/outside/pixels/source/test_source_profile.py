"""Every source gives the colours that its profile, its name or its chunks declare.

Outside source: colour-science for colours (IEC 61966-2-1 and others), ICC.1, the PNG
specification, CIPA DC-008 and DCF for file formats; files by Pillow, tifffile and the
tests' own writers. Kinds of faults: those that users of open-source picture libraries reported.
"""

import io
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, TiffImagePlugin

from proofs.findings import Severity
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.cielab import ToneAdjustment
from proofs.outside.pixels.conversion.clut import tone_adjusted_profile
from proofs.outside.pixels.source.decode import decode, read_facts
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import (
    COLOURS,
    chart,
    exif_of_a_camera,
    jpeg,
    png,
    with_segment,
)
from tests.outside.pixels.measured import (
    assert_colours,
    codes_found,
    colours_in_print,
    linear_codes,
)
from tests.outside.pixels.pictures import Array, lab, tiff
from tests.outside.pixels.pipeline import written

# RGB with profiles


MAKERS = {
    "jpeg": lambda path, profile: jpeg(path, chart(), icc_profile=profile),
    "png": lambda path, profile: png(path, chart(), {b"iCCP": b"own\0\0" + zlib.compress(profile)}),
    "tiff": lambda path, profile: tiff(path, chart(), icc_profile=profile),
}
TOLERANCES = {"jpeg": near.PATCH_JPEG, "png": near.PATCH, "tiff": near.PATCH}


@pytest.mark.parametrize("space", ["srgb", "a98-rgb", "display-p3"])
@pytest.mark.parametrize("maker", MAKERS)
def test_the_embedded_profile_is_applied(tmp_path: Path, space: str, maker: str) -> None:
    profile = spaces.built_in_profile(space)
    path = MAKERS[maker](tmp_path / "picture", profile)
    assert_colours(path, reference.cielab_of(space, COLOURS / 255), TOLERANCES[maker])
    assert codes_found(path) == []
    assert read_facts(path).profile == icc.description(profile)


def parametric_p3() -> bytes:
    """A version 4 profile as phones embed: parametric curves, text in UTF-16."""
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
    return icc.build_profile(icc.ProfileHeader("mntr", "RGB ", "XYZ ", 4), "P3 of a phone", tags)


def test_a_phone_picture_with_a_version_4_profile_keeps_its_colours(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "phone.jpg", chart(), icc_profile=parametric_p3())
    assert_colours(path, reference.cielab_of("display-p3", COLOURS / 255), near.PATCH_JPEG)


def test_colours_outside_srgb_stay_distinct_in_a_larger_space(tmp_path: Path) -> None:
    ground = np.rint(
        reference.codes_of("display-p3", reference.cielab_of("srgb", np.eye(3)[:1]))[0] * 255
    )
    path = tiff(
        tmp_path / "canary.tif",
        chart(np.array([ground[0], [255, 0, 0]])),
        icc_profile=spaces.built_in_profile("display-p3"),
    )
    one, other = colours_in_print(path)
    assert np.linalg.norm(one - other) > 6


def test_an_rgb_look_up_profile_is_used(tmp_path: Path) -> None:
    profile = tone_adjusted_profile(
        spaces.built_in_profile("a98-rgb"), ToneAdjustment(), intent="relative"
    )
    path = tiff(tmp_path / "scan.tif", chart(), icc_profile=profile)
    assert_colours(path, reference.cielab_of("a98-rgb", COLOURS / 255))


# Without a profile


@pytest.mark.parametrize(
    ("colour_space", "index", "meant"), [(0xFFFF, "R03", "a98-rgb"), (1, "R98", "srgb")]
)
def test_the_colour_space_in_a_cameras_exif_is_used(
    tmp_path: Path, colour_space: int, index: str, meant: str
) -> None:
    path = jpeg(tmp_path / "_DSC0001.JPG", chart())
    with_segment(path, 0xE1, exif_of_a_camera(colour_space, index))
    assert_colours(path, reference.cielab_of(meant, COLOURS / 255), near.PATCH_JPEG)
    assert codes_found(path) == []


def test_the_colour_space_in_a_cameras_tiff_is_used(tmp_path: Path) -> None:
    path = tmp_path / "_DSC0001.TIF"
    tags = TiffImagePlugin.ImageFileDirectory_v2()
    tags[0x8769] = {0xA001: 2}  # what some makers write for Adobe RGB
    Image.fromarray(chart()).save(path, "TIFF", tiffinfo=tags)
    assert_colours(path, reference.cielab_of("a98-rgb", COLOURS / 255))
    assert codes_found(path) == []


def test_an_embedded_profile_takes_precedence_over_exif(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "_DSC0003.JPG", chart(), icc_profile=spaces.built_in_profile("srgb"))
    with_segment(path, 0xE1, exif_of_a_camera(0xFFFF, "R03"))
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255), near.PATCH_JPEG)


def test_uncalibrated_with_an_underscore_name_is_adobe_rgb_and_reported(
    tmp_path: Path,
) -> None:
    path = jpeg(tmp_path / "_DSC0001.JPG", chart())
    with_segment(path, 0xE1, exif_of_a_camera(0xFFFF, ""))
    assert_colours(path, reference.cielab_of("a98-rgb", COLOURS / 255), near.PATCH_JPEG)
    assert codes_found(path) == ["colour-guessed"]


def test_an_undeclared_space_is_srgb_and_reported(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "IMG_0001.jpg", chart())
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255), near.PATCH_JPEG)
    (finding,) = read_facts(path).notes
    assert (finding.code, finding.severity) == ("profile-missing", Severity.NOTE)
    assert finding.message == "no profile: taken as sRGB"


# Damaged and mismatched profiles


def with_columns(to_xyz: Array, curve: bytes = icc.gamma_tag(2.2)) -> bytes:
    tags = {f"{c}XYZ": icc.xyz_tag(to_xyz[:, n]) for n, c in enumerate("rgb")}
    tags |= {f"{c}TRC": curve for c in "rgb"}
    return icc.build_profile(icc.ProfileHeader("mntr", "RGB ", "XYZ ", 4), "Odd", tags)


def parametric(kind: int, *values: float) -> bytes:
    """A parametric curve; ICC.1:2022, 10.18, gives its numbers as s15Fixed16."""
    numbers = (max(min(round(v * 65_536), 2**31 - 1), -(2**31)) for v in values)
    return b"para\0\0\0\0" + struct.pack(f">HH{len(values)}i", kind, 0, *numbers)


@pytest.mark.parametrize(
    "curve",
    [
        parametric(0, -3),
        parametric(0, 32_767),
        parametric(1, -1000, 32_767, -32_768),
        parametric(3, *[-32_768] * 5),
        parametric(4, 32_767, 32_767, 32_767, 32_767, 0.5, -32_768, 32_767),
        icc.gamma_tag(255),
    ],
)
def test_curves_of_extreme_numbers_are_reported_and_ignored(tmp_path: Path, curve: bytes) -> None:
    profile = with_columns(spaces.rgb_to_xyz(spaces.SRGB), curve)
    path = tiff(tmp_path / "odd.tif", chart(), icc_profile=profile)
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))
    assert codes_found(path) == ["profile-unusable", "colour-guessed"]


def test_a_scanners_profile_with_a_single_table_is_used(tmp_path: Path) -> None:
    # ICC.1:2022, 8.3.2: an input profile needs AToB0 alone.
    both = tone_adjusted_profile(
        spaces.built_in_profile("a98-rgb"), ToneAdjustment(), intent="relative"
    )
    header = icc.ProfileHeader("scnr", "RGB ", "Lab ", 2)
    single = icc.build_profile(header, "Scanner", {"A2B0": icc.tags(both)["A2B0"]})
    path = tiff(tmp_path / "scan.tif", chart(), icc_profile=single)
    assert_colours(path, reference.cielab_of("a98-rgb", COLOURS / 255))
    assert codes_found(path) == []


def damages() -> dict[str, bytes]:
    whole = spaces.built_in_profile("a98-rgb")
    noise = np.random.default_rng(5).integers(0, 256, len(whole)).astype("u1").tobytes()
    outside = whole[:136] + struct.pack(">I", 0x00FFFFFF) + whole[140:]
    curveless = whole.replace(b"curv", b"crvv")
    return {
        "cut short": whole[:300],
        "noise": noise,
        "a tag outside": outside,
        "an unknown curve": curveless,
        "for grey": spaces.built_in_profile("grey"),
        "black curves": icc.build_matrix_profile(
            "Black", spaces.rgb_to_xyz(spaces.SRGB), icc.curve_tag(np.zeros(256))
        ),
        "nearly black curves": icc.build_matrix_profile(
            "Step", spaces.rgb_to_xyz(spaces.SRGB), icc.curve_tag(np.append(np.zeros(255), 1))
        ),
        "no luminance": with_columns(np.array([[0.5, 0.3, 0.2], [0, 0, 0], [0.1, 0.2, 0.5]])),
        "one colour": with_columns(np.full((3, 3), 0.3)),
        "a named-colour profile": whole[:12] + b"nmcl" + whole[16:],
    }


@pytest.mark.parametrize("damage", damages())
def test_an_unusable_profile_is_reported_and_ignored(tmp_path: Path, damage: str) -> None:
    path = tiff(tmp_path / "odd.tif", chart(), icc_profile=damages()[damage])
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))
    finding = decode(path).facts.notes[0]
    assert (finding.code, finding.severity) == ("profile-unusable", Severity.WARNING)
    file = Image.open(io.BytesIO(written(path, lab())))
    assert file.info["icc_profile"] == spaces.built_in_profile("srgb")


@pytest.mark.parametrize("format_", ["png", "jpeg", "webp"])
@pytest.mark.parametrize("damage", damages())
def test_an_unusable_profile_is_reported_in_every_format(
    tmp_path: Path, damage: str, format_: str
) -> None:
    path = tmp_path / "odd"
    options: dict[str, Any] = {"lossless": True} if format_ == "webp" else {}
    Image.fromarray(chart()).save(path, format_, icc_profile=damages()[damage], **options)
    assert codes_found(path) == ["profile-unusable", "colour-guessed"]


def test_a_profile_that_cannot_be_decompressed_is_reported(tmp_path: Path) -> None:
    path = png(tmp_path / "odd.png", chart(), {b"iCCP": b"name\0\0this is not packed"})
    assert codes_found(path) == ["profile-unusable", "colour-guessed"]
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))


# PNG chunks


def number(value: float) -> bytes:
    return struct.pack(">I", round(value * 100_000))


CHROMATICITIES = {
    "srgb": (0.3127, 0.3290, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06),
    "a98-rgb": (0.3127, 0.3290, 0.64, 0.33, 0.21, 0.71, 0.15, 0.06),
}


def test_a_gamma_chunk_of_1_is_linear_light(tmp_path: Path) -> None:
    path = png(tmp_path / "linear.png", chart(linear_codes(), "u2"), {b"gAMA": number(1)})
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255), near.PATCH_16)


def test_an_srgb_chunk_takes_precedence_over_a_gamma_chunk(tmp_path: Path) -> None:
    path = png(tmp_path / "both.png", chart(), {b"sRGB": b"\0", b"gAMA": number(1)})
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))
    assert codes_found(path) == []


def test_gamma_and_chromaticity_chunks_define_a_space(tmp_path: Path) -> None:
    chunks = {
        b"gAMA": number(256 / 563),
        b"cHRM": b"".join(number(v) for v in CHROMATICITIES["a98-rgb"]),
    }
    path = png(tmp_path / "wide.png", chart(), chunks)
    assert_colours(path, reference.cielab_of("a98-rgb", COLOURS / 255))


@pytest.mark.parametrize(
    ("chunk", "meant"),
    [((1, 13, 0, 1), "srgb"), ((12, 13, 0, 1), "display-p3")],
)
def test_a_cicp_chunk_takes_precedence_over_a_profile(
    tmp_path: Path, chunk: tuple[int, ...], meant: str
) -> None:
    chunks = {
        b"cICP": bytes(chunk),
        b"iCCP": b"own\0\0" + zlib.compress(spaces.built_in_profile("a98-rgb")),
    }
    path = png(tmp_path / "number.png", chart(), chunks)
    assert_colours(path, reference.cielab_of(meant, COLOURS / 255))
    assert codes_found(path) == []


@pytest.mark.parametrize("primaries", [1, 12])
def test_cicp_chunks_declare_linear_light(tmp_path: Path, primaries: int) -> None:
    meant = {1: "srgb", 12: "display-p3"}[primaries]
    path = png(
        tmp_path / "linear.png", chart(linear_codes(), "u2"), {b"cICP": bytes((primaries, 8, 0, 1))}
    )
    assert_colours(path, reference.cielab_of(meant, COLOURS / 255), near.PATCH_16)


@pytest.mark.parametrize(
    ("transfer", "words"), [(16, "HDR by PQ"), (18, "HDR by HLG"), (1, "number 9/1")]
)
def test_other_cicp_numbers_are_warned_of(tmp_path: Path, transfer: int, words: str) -> None:
    path = png(tmp_path / "bright.png", chart(), {b"cICP": bytes((9, transfer, 0, 1))})
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))
    (finding,) = decode(path).facts.notes
    assert (finding.code, finding.severity) == ("colour-guessed", Severity.WARNING)
    assert words in finding.message
    assert read_facts(path).notes == (finding,)
