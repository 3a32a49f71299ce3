"""CMYK and look-up profiles against Little CMS, through Pillow; and profiles checked in advance.

Outside source: Little CMS by Pillow's ImageCms with its transforms unoptimised, and CIEDE2000 by
colour-science. The press is the CMYK profile that comes with the image library; the printer is
made up below.
"""

import io
from pathlib import Path

import numpy as np
import pytest
import pyvips
from numpy.typing import NDArray
from PIL import Image

from proofs.errors import ProfileError
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.cielab import ToneAdjustment
from proofs.outside.pixels.colour.output_space import OutputSpace, lab_icc_profile
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.clut import tone_adjusted_profile
from proofs.outside.pixels.conversion.convert import converted
from proofs.outside.pixels.prints.encoding import encoded, read_back
from proofs.outside.pixels.source import cmyk
from proofs.records.labs import FileFormat, RenderingIntent
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import chart
from tests.outside.pixels.little_cms import COMPENSATED, INTENTS, by_little_cms, printer_profile
from tests.outside.pixels.pictures import Array, lab, natural_colours, tiff
from tests.outside.pixels.pipeline import sized, written


def cielab_of_device(codes: Array, profile: bytes, name: str) -> Array:
    image = pyvips.Image.new_from_array(np.ascontiguousarray(codes), interpretation=name)
    found = image.icc_import(input_profile=vips.profile_file(profile), intent="relative")
    return np.asarray(found.numpy(), dtype=float)


def natural_picture() -> Array:
    colours = (natural_colours(8) >> 8).astype("u1")
    return np.asarray(colours[: len(colours) // 50 * 50].reshape(-1, 50, 3))


def press_inks() -> Array:
    """CMYK codes of a real separation: what the press profile makes of natural colours."""
    press = vips.fallback_cmyk_profile()
    return by_little_cms(
        natural_picture(), spaces.built_in_profile("srgb"), press, ("RGB", "CMYK"), 0, 0
    )


@pytest.mark.parametrize("compensated", [True, False])
@pytest.mark.parametrize("output", ["srgb", "a98-rgb"])
def test_cmyk_becomes_the_colours_of_little_cms(
    tmp_path: Path, output: str, compensated: bool
) -> None:
    pixels, press = press_inks(), vips.fallback_cmyk_profile()
    expected = by_little_cms(
        pixels,
        press,
        spaces.built_in_profile(output),
        ("CMYK", "RGB"),
        INTENTS["relative"],
        COMPENSATED if compensated else 0,
    )
    path = tiff(tmp_path / "cmyk.tif", pixels, icc_profile=press, photometric="separated")
    target = OutputSpace(spaces.built_in_profile(output), 8, RenderingIntent.RELATIVE, compensated)
    got = converted(sized(path), target, 0.0).numpy()
    off = reference.difference(
        reference.cielab_of(output, got / 255), reference.cielab_of(output, expected / 255)
    )
    assert off.mean() <= near.MEAN_TO_LITTLE_CMS


@pytest.mark.parametrize("compensated", [True, False])
@pytest.mark.parametrize("intent", RenderingIntent)
@pytest.mark.parametrize("source", ["srgb", "a98-rgb"])
def test_pictures_for_a_press_get_the_cmyk_of_little_cms(
    tmp_path: Path, source: str, intent: RenderingIntent, compensated: bool
) -> None:
    pixels, press = natural_picture(), vips.fallback_cmyk_profile()
    flags = COMPENSATED if compensated else 0
    expected = by_little_cms(
        pixels, spaces.built_in_profile(source), press, ("RGB", "CMYK"), INTENTS[intent], flags
    )
    path = tiff(tmp_path / "picture.tif", pixels, icc_profile=spaces.built_in_profile(source))
    got = converted(sized(path), OutputSpace(press, 8, intent, compensated), 0.0).numpy()
    off = reference.difference(
        cielab_of_device(got, press, "cmyk"), cielab_of_device(expected, press, "cmyk")
    )
    assert off.mean() <= near.MEAN_TO_LITTLE_CMS


@pytest.mark.parametrize("compensated", [True, False])
@pytest.mark.parametrize("intent", RenderingIntent)
def test_pictures_for_a_printer_with_tables_match_little_cms(
    tmp_path: Path, intent: RenderingIntent, compensated: bool
) -> None:
    printer = tmp_path / "printer.icc"
    printer.write_bytes(printer_profile())
    pixels = natural_picture()
    flags = COMPENSATED if compensated else 0
    expected = by_little_cms(
        pixels,
        spaces.built_in_profile("srgb"),
        printer.read_bytes(),
        ("RGB", "RGB"),
        INTENTS[intent],
        flags,
    )
    path = tiff(tmp_path / "picture.tif", pixels, icc_profile=spaces.built_in_profile("srgb"))
    own = lab(space=str(printer), intent=intent, compensated=compensated)
    got = converted(
        sized(path), OutputSpace(lab_icc_profile(own), 8, intent, compensated), 0.0
    ).numpy()
    off = reference.difference(
        cielab_of_device(got, printer.read_bytes(), "srgb"),
        cielab_of_device(expected, printer.read_bytes(), "srgb"),
    )
    assert off.mean() <= near.MEAN_TO_LITTLE_CMS


def test_a_source_with_tables_is_printed_as_by_little_cms(tmp_path: Path) -> None:
    scanner = tone_adjusted_profile(
        spaces.built_in_profile("a98-rgb"), ToneAdjustment(0.2), intent="relative"
    )
    pixels = natural_picture()
    expected = by_little_cms(
        pixels, scanner, spaces.built_in_profile("srgb"), ("RGB", "RGB"), 1, COMPENSATED
    )
    path = tiff(tmp_path / "scan.tif", pixels, icc_profile=scanner)
    got = converted(sized(path), OutputSpace(spaces.built_in_profile("srgb"), 8), 0.0).numpy()
    off = reference.difference(
        reference.cielab_of("srgb", got / 255), reference.cielab_of("srgb", expected / 255)
    )
    assert off.mean() <= near.MEAN_TO_LITTLE_CMS


def test_absolute_keeps_the_paper_of_a_source_with_tables_as_by_little_cms(
    tmp_path: Path,
) -> None:
    paper = printer_profile(np.array([0.87, 0.90, 0.763]))
    pixels = natural_picture()
    expected = by_little_cms(pixels, paper, spaces.built_in_profile("srgb"), ("RGB", "RGB"), 3, 0)
    path = tiff(tmp_path / "print.tif", pixels, icc_profile=paper)
    target = OutputSpace(spaces.built_in_profile("srgb"), 8, RenderingIntent.ABSOLUTE)
    got = converted(sized(path), target, 0.0).numpy()
    off = reference.difference(
        reference.cielab_of("srgb", got / 255), reference.cielab_of("srgb", expected / 255)
    )
    assert off.mean() <= near.MEAN_TO_LITTLE_CMS


@pytest.mark.parametrize("format_", [FileFormat.TIFF, FileFormat.JPEG])
def test_a_lab_may_take_cmyk(tmp_path: Path, format_: FileFormat) -> None:
    press = tmp_path / "press.icc"
    press.write_bytes(vips.fallback_cmyk_profile())
    path = tiff(tmp_path / "picture.tif", chart(), icc_profile=spaces.built_in_profile("srgb"))
    file = written(path, lab(format_=format_, space=str(press)), 0.10)
    assert Image.open(io.BytesIO(file)).mode == "CMYK"
    assert Image.open(io.BytesIO(file)).info["icc_profile"] == vips.fallback_cmyk_profile()


@pytest.mark.parametrize("bits", [8, 16])
def test_a_lab_may_take_grey(tmp_path: Path, bits: int) -> None:
    grey = tmp_path / "grey.icc"
    grey.write_bytes(icc.build_grey_profile("Gamma 2.2", icc.gamma_tag(563 / 256)))
    path = tiff(tmp_path / "picture.tif", chart(np.full((2, 3), 119)))
    own = lab(bits=bits, space=str(grey))
    base = sized(path)
    image = converted(base, OutputSpace(lab_icc_profile(own), bits), 0.0)
    light = (image.numpy()[5, 5] / (2**bits - 1)) ** (563 / 256)
    assert light == pytest.approx(
        reference.decoded("srgb", np.array(119 / 255)), abs=near.GREY_LIGHT
    )
    assert read_back(encoded(image, own)).icc == "Gamma 2.2"


def test_grey_pictures_get_the_printers_own_greys() -> None:
    printer = printer_profile()
    ramp = np.arange(256, dtype=np.uint16)[None] * 257
    image = pyvips.Image.new_from_array(ramp[..., None], interpretation="grey16")
    got = converted(
        ProfiledImage(image, spaces.built_in_profile("grey")), OutputSpace(printer, 8), 0.0
    ).numpy()
    expected = by_little_cms(
        np.arange(256, dtype="u1")[None, :, None].repeat(3, 2),
        spaces.built_in_profile("srgb"),
        printer,
        ("RGB", "RGB"),
        1,
        COMPENSATED,
    )
    off = reference.difference(
        cielab_of_device(got, printer, "srgb"), cielab_of_device(expected, printer, "srgb")
    )
    assert off.mean() <= near.MEAN_TO_LITTLE_CMS


def test_the_black_of_cmyk_is_that_of_its_darkest_print() -> None:
    # Common practice, no source: a press black is between L* 5 and 20.
    assert 5 < cmyk.black_point_of(vips.fallback_cmyk_profile()) < 20
    assert cmyk.black_point_of(spaces.built_in_profile("srgb")) == 0


def spaces_with(curve: bytes, to_xyz: NDArray[np.float64] | None = None) -> bytes:
    """Return a matrix profile with this curve, and with the matrix of sRGB or another one."""
    matrix = spaces.rgb_to_xyz(spaces.SRGB) if to_xyz is None else to_xyz
    tags = {f"{c}XYZ": icc.xyz_tag(matrix[:, n]) for n, c in enumerate("rgb")}
    tags |= {f"{c}TRC": curve for c in "rgb"}
    return icc.build_profile(icc.ProfileHeader("mntr", "RGB ", "XYZ ", 4), "Odd", tags)


def damaged() -> dict[str, bytes]:
    good = spaces.built_in_profile("a98-rgb")
    scanner = tone_adjusted_profile(good, ToneAdjustment(), intent="relative")
    return {
        "cut short": good[: len(good) // 2],
        "signature": good[:36] + b"xxxx" + good[40:],
        "scnr": scanner,
        "link": good[:12] + b"link" + good[16:],
        "Lab": good[:16] + b"Lab " + good[20:],
        "hardly differ": spaces_with(icc.curve_tag(np.zeros(256))),
        "enclose no colours": spaces_with(icc.gamma_tag(2.2), np.full((3, 3), 0.3)),
        "curve is cut short": spaces_with(b"curv\0\0\0\0\0\0\x10\0ab"),
        "is cut short": spaces_with(b"para\0\0\0\0\0\4"),
        "type 'text'": spaces_with(b"text\0\0\0\0 "),
        "no transform from the connection space": icc.build_profile(
            icc.ProfileHeader("prtr", "RGB ", "Lab ", 2), "Half", {"A2B0": scanner[300:]}
        ),
    }


@pytest.mark.parametrize("words", damaged())
def test_a_labs_profile_is_checked_before_any_picture_is_read(tmp_path: Path, words: str) -> None:
    path = tmp_path / "lab.icc"
    path.write_bytes(damaged()[words])
    with pytest.raises(ProfileError, match=words) as caught:
        lab_icc_profile(lab(space=str(path)))
    assert str(path) in str(caught.value)


def test_a_missing_profile_of_a_lab_is_reported(tmp_path: Path) -> None:
    with pytest.raises(ProfileError, match="cannot be read"):
        lab_icc_profile(lab(space=str(tmp_path / "none.icc")))
