"""A picture on the sheet that a lab prints: its colours, its place, and the facts of the file.

Outside sources: the ColorChecker of 2005 as in colour-science, Little CMS by Pillow's
ImageCms as a second engine, CIEDE2000 by colour-science; tifffile and Pillow as second readers.
The limits, at most 1.0 and 0.3 on average, are those of the program's own specification.
"""

import io
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image, ImageCms

from proofs.lengths import PixelSize
from proofs.measures import read_size
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.metadata.stated import finished_metadata
from proofs.outside.pixels.prints.composition import on_lab_sheet, white_codes
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.prints.file_facts import file_facts, pixel_bands
from proofs.pixel_areas import Area
from proofs.plan.sheets.placing import place
from proofs.records.labs import FileFormat
from proofs.records.metadata_wish import MetadataWish
from tests.outside.pixels import reference
from tests.outside.pixels.pictures import Array, lab, photograph, profile, tiff
from tests.outside.pixels.pipeline import pixels_of, sized
from tests.workbench import SHIPPED

MOST, MEAN = 1.0, 0.3
SPACES = ("srgb", "a98-rgb", "display-p3")
SIDE = 8


def colour_checker(space: str) -> Array:
    """The 24 patches as 8-bit codes of a space, each of them ``SIDE`` pixels square."""
    codes, _ = reference.codes_of(space, reference.colour_checker())
    patches = np.rint(codes * 255).astype(np.uint8).reshape(4, 6, 3)
    return np.asarray(patches.repeat(SIDE, axis=0).repeat(SIDE, axis=1))


@pytest.mark.parametrize("output", SPACES)
@pytest.mark.parametrize("source", SPACES)
def test_the_patches_of_a_colour_checker_match_little_cms(
    tmp_path: Path, source: str, output: str
) -> None:
    codes = colour_checker(source)
    own = lab(space=output)
    base = sized(tiff(tmp_path / "checker.tif", codes, icc_profile=profile(source)))
    placing = place(own, read_size("1x1 in"), PixelSize(6 * SIDE, 4 * SIDE))
    sheet = on_lab_sheet(variant_image(base, own, 0.0), own, placing, ())
    area = placing.image
    got = pixels_of(encoded(sheet, own))[area.top : area.bottom, area.left : area.right]
    transform = ImageCms.buildTransform(
        ImageCms.ImageCmsProfile(io.BytesIO(profile(source))),
        ImageCms.ImageCmsProfile(io.BytesIO(profile(output))),
        "RGB",
        "RGB",
        ImageCms.Intent.RELATIVE_COLORIMETRIC,
        ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )
    wanted = np.asarray(ImageCms.applyTransform(Image.fromarray(codes), transform))
    measured = [
        reference.cielab_of(output, a[::SIDE, ::SIDE].reshape(-1, 3) / 255) for a in (got, wanted)
    ]
    differences = reference.difference(*measured)
    assert differences.max() <= MOST
    assert differences.mean() <= MEAN


@pytest.mark.parametrize("name", SHIPPED.names("labs"))
def test_every_shipped_lab_gets_the_file_it_specifies(tmp_path: Path, name: str) -> None:
    own = SHIPPED.lab(name)
    path = tmp_path / "coffee.tif"
    tiff(path, photograph("coffee"), icc_profile=profile("srgb"))
    sheet = min(own.sheets, key=lambda size: size.square_nm)
    placing = place(own, sheet, PixelSize(600, 400))
    image = variant_image(sized(path, PixelSize(600, 400)), own, 0.10)
    content = encoded(on_lab_sheet(image, own, placing, ()), own)
    facts = file_facts(content)
    assert (facts.pixels, facts.ppi, facts.bits) == (placing.file, own.ppi, own.bits)
    assert facts.format == own.format
    codes = pixels_of(content)
    assert codes.shape == (placing.file.height, placing.file.width, 3)
    assert codes[0, 0].tolist() == white_codes(own) == [2**own.bits - 1] * 3
    assert np.array_equal(codes, np.concatenate([band for _, band in pixel_bands(content)]))


@pytest.mark.parametrize(
    ("space", "bits", "white"), [("grey", 8, [255]), ("grey", 16, [65535]), ("srgb", 8, [255] * 3)]
)
def test_white_paper_has_as_many_codes_as_the_lab_has_channels(
    tmp_path: Path, space: str, bits: int, white: list[int]
) -> None:
    path = tmp_path / "lab.icc"
    path.write_bytes(profile(space))
    assert white_codes(lab(space=str(path), bits=bits)) == white


def test_a_single_grey_pixel_is_read_as_an_image() -> None:
    content = io.BytesIO()
    Image.new("L", (1, 1), 90).save(content, "PNG")
    assert [(top, band.tolist()) for top, band in pixel_bands(content.getvalue())] == [
        (0, [[[90]]])
    ]


def test_margin_marks_are_where_they_were_planned(tmp_path: Path) -> None:
    own = lab(bits=16)
    path = tiff(tmp_path / "coffee.tif", photograph("coffee"), icc_profile=profile("srgb"))
    placing = place(own, read_size("3x3 in"), PixelSize(300, 200))
    mark = np.zeros((10, 40), np.uint16)
    image = variant_image(sized(path, PixelSize(300, 200)), own, 0.0)
    sheet = on_lab_sheet(image, own, placing, [(Area(20, 30, 40, 10), mark)])
    codes = tifffile.imread(io.BytesIO(encoded(sheet, own)))
    assert codes[30:40, 20:60].max() == 0
    codes[30:40, 20:60] = 65535
    area = placing.image
    codes[area.top : area.bottom, area.left : area.right] = 65535
    assert codes.min() == 65535


@pytest.mark.parametrize("format_", [FileFormat.JPEG, FileFormat.TIFF, FileFormat.PNG])
@pytest.mark.parametrize("line", ["(c) 2026 A. Maker", "© 2026 Ä. Macher"])
def test_a_copyright_line_is_a_files_only_metadata(
    tmp_path: Path, format_: FileFormat, line: str
) -> None:
    own = lab(format_=format_)
    path = tiff(tmp_path / "coffee.tif", photograph("coffee"), icc_profile=profile("srgb"))
    image = variant_image(sized(path), own, 0.0)
    content = encoded(image, own, kept=finished_metadata(Metadata(), MetadataWish(copyright=line)))
    facts = file_facts(content)
    assert (facts.copyright, facts.extras) == (line, ())
    with Image.open(io.BytesIO(content)) as picture:
        # Pillow takes the bytes of a text tag for Latin-1.
        assert picture.getexif()[0x8298].encode("latin-1").decode() == line


@pytest.mark.parametrize(
    ("options", "encoding"),
    [
        ({"subsampling": 0}, "baseline, 4:4:4"),
        ({"subsampling": 2}, "baseline, colour at lower resolution"),
        ({"subsampling": 0, "progressive": True}, "progressive, 4:4:4"),
    ],
)
def test_the_encoding_of_another_programs_jpeg_is_reported(
    options: dict[str, int], encoding: str
) -> None:
    stream = io.BytesIO()
    Image.fromarray(photograph("coffee")).save(stream, "JPEG", **options)
    assert file_facts(stream.getvalue()).encoding == encoding
