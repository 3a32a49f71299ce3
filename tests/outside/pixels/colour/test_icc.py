"""ICC profiles as bytes: those the program builds, and any that it reads.

Outside source: ICC.1 for header fields and curve types (values as in the program's check
values), colour-science for matrices and curves, Little CMS through Pillow as a second reader.
"""

import io
import struct

import numpy as np
import pytest
from PIL import ImageCms

from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.matrix_models import curve_of, matrix_model
from tests.outside.pixels import near, reference

BUILT_IN = ("srgb", "a98-rgb", "display-p3")


@pytest.mark.parametrize("name", [*BUILT_IN, "wide", "grey"])
def test_headers_follow_the_standard(name: str) -> None:
    profile = spaces.built_in_profile(name)
    assert int.from_bytes(profile[:4], "big") == len(profile)
    assert profile[8] == 2
    assert profile[12:16] == b"mntr"
    assert profile[16:20] == (b"GRAY" if name == "grey" else b"RGB ")
    assert profile[20:24] == b"XYZ "
    assert profile[36:40] == b"acsp"
    assert profile[68:80].hex() == "0000f6d6000100000000d32d"  # D50, from two real profiles
    assert len(profile) % 4 == 0
    assert len(profile) < 4096


@pytest.mark.parametrize("name", BUILT_IN)
def test_little_cms_reads_our_profiles(name: str) -> None:
    profile = ImageCms.ImageCmsProfile(io.BytesIO(spaces.built_in_profile(name)))
    assert ImageCms.getProfileDescription(profile).strip() == icc.description(
        spaces.built_in_profile(name)
    )
    assert profile.profile.is_matrix_shaper
    red = profile.profile.red_colorant
    assert red is not None
    assert red[0] == pytest.approx(reference.to_xyz_matrix(name)[:, 0], abs=near.MATRIX)


@pytest.mark.parametrize("name", BUILT_IN)
def test_matrices_match_the_standards(name: str) -> None:
    model = matrix_model(spaces.built_in_profile(name))
    assert model is not None
    assert model.to_xyz == pytest.approx(reference.to_xyz_matrix(name), abs=near.MATRIX)
    assert model.to_xyz.sum(axis=1).tolist() == reference.D50.tolist()


@pytest.mark.parametrize("name", BUILT_IN)
def test_curves_match_the_standards(name: str) -> None:
    codes = np.linspace(0, 1, 4097)
    model = matrix_model(spaces.built_in_profile(name))
    assert model is not None
    assert model.curves[0](codes) == pytest.approx(
        reference.decoded(name, codes), abs=near.PROFILE_NUMBER
    )


def para(kind: int, *parameters: float) -> bytes:
    numbers = (round(v * 65536) for v in parameters)
    return struct.pack(">4s4xHH", b"para", kind, 0) + struct.pack(f">{len(parameters)}i", *numbers)


@pytest.mark.parametrize(
    ("tag", "expected"),
    [
        (para(0, 2.0), [0, 0.25, 1]),
        (para(1, 2.0, 2.0, -1.0), [0, 0, 1]),
        (para(2, 2.0, 0.5, 0.0, 0.5), [0.5, 0.5625, 0.75]),
        (para(3, 2.0, 1.0, 0.0, 0.5, 0.75), [0, 0.25, 1]),
        (para(4, 2.0, 1.0, 0.0, 0.5, 0.75, 0.0, 0.125), [0.125, 0.375, 1]),
        (b"curv\0\0\0\0\0\0\0\0", [0, 0.5, 1]),
        (icc.gamma_tag(2.0), [0, 0.25, 1]),
        (icc.curve_tag(np.array([0, 0.1, 1])), [0, 0.1, 1]),
    ],
)
def test_every_type_of_curve_is_read(tag: bytes, expected: list[float]) -> None:
    got = curve_of(tag)(np.array([0, 0.5, 1.0]))
    assert got == pytest.approx(expected, abs=near.PROFILE_NUMBER)


def test_descriptions_of_both_versions_are_read() -> None:
    text = "Ωide".encode("utf-16-be")
    tag = struct.pack(">4s4xII2s2sII", b"mluc", 1, 12, b"en", b"US", len(text), 28) + text
    profile = spaces.built_in_profile("srgb")
    own = icc.tags(profile)["desc"]
    longer = profile + tag
    place = profile.index(b"desc", icc.HEADER_SIZE)
    newer = longer[: place + 4] + struct.pack(">II", len(profile), len(tag)) + longer[place + 12 :]
    assert icc.description(profile) == "sRGB IEC61966-2-1"
    assert icc.description(newer) == "Ωide"
    assert own.startswith(b"desc")


@pytest.mark.parametrize("length", [0, 40, 131, 400])
def test_a_profile_cut_short_is_refused(length: int) -> None:
    with pytest.raises(ValueError, match="cut short"):
        icc.read_header(spaces.built_in_profile("srgb")[:length])


@pytest.mark.parametrize("name", ["rXYZ", "rTRC"])
def test_a_profile_with_a_tag_cut_short_is_refused(name: str) -> None:
    profile = bytearray(spaces.built_in_profile("srgb"))
    entry = profile.index(name.encode(), icc.HEADER_SIZE)
    curve = profile.index(b"curv")
    profile[curve : curve + 4] = b"para"
    struct.pack_into(">I", profile, entry + 8, 10)
    with pytest.raises(ValueError, match=r"its tag of type '(XYZ |para)' is cut short"):
        matrix_model(bytes(profile))


def test_a_profile_for_other_channels_is_refused() -> None:
    with pytest.raises(ValueError, match="the image has 1 channels"):
        icc.check_profile(spaces.built_in_profile("srgb"), 1)
