"""Copyright and title kept on request, and nothing else of a file's metadata.

Outside source: tags of TIFF 6.0 and EXIF (CIPA DC-008), Dublin Core in XMP part 1, datasets of
IIM 4.2 (numbers from memory); files are made by Pillow and read back by Pillow and tifffile.
"""

import io
import struct
import time
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
import tifffile
from PIL import Image, IptcImagePlugin

from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.metadata.credit import LARGEST_BLOCK, credit_of, xmp_title
from proofs.outside.pixels.metadata.extract import Metadata, _without_stale
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.source.decode import decode
from proofs.records.labs import FileFormat
from tests.outside.pixels.files import chart, jpeg, with_segment
from tests.outside.pixels.odd_files import xmp_of
from tests.outside.pixels.pictures import lab
from tests.outside.pixels.pipeline import pixels_of, sized, written

FORMATS = (FileFormat.TIFF, FileFormat.JPEG, FileFormat.PNG)
CREDIT = {270: "A heron at dawn", 315: "A. Maker", 33432: "(c) A. Maker"}
DC = "{http://purl.org/dc/elements/1.1/}"
RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"
PACKET = """<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
  xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="59,55N"
  xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:CreatorTool="SECRET-TOOL">
 <dc:creator><rdf:Seq><rdf:li>A. Maker</rdf:li>
  <rdf:li>B. Maker &amp; Søn</rdf:li></rdf:Seq></dc:creator>
 <dc:rights><rdf:Alt><rdf:li xml:lang="x-default">© A. Maker</rdf:li></rdf:Alt></dc:rights>
 <dc:title><rdf:Alt><rdf:li xml:lang="x-default">Heron</rdf:li>
  <rdf:li xml:lang="nb">Hegre</rdf:li></rdf:Alt></dc:title>
 <dc:subject><rdf:Bag><rdf:li>SECRET-PLACE</rdf:li></rdf:Bag></dc:subject>
</rdf:Description></rdf:RDF></x:xmpmeta>""".encode()
SECRETS = (b"SECRET", b"59,55N", b"THUMBNAIL", b"2026:01:01")


def dataset(record: int, number: int, value: bytes) -> bytes:
    return struct.pack(">BBBH", 0x1C, record, number, len(value)) + value


def resource(number: int, content: bytes) -> bytes:
    head = b"8BIM" + struct.pack(">HH", number, 0) + struct.pack(">I", len(content))
    return head + content + b"\0" * (len(content) % 2)


DATASETS = (
    dataset(1, 90, b"\x1b%G")
    + dataset(2, 5, b"Heron")
    + dataset(2, 65, b"SECRET-TOOL")
    + dataset(2, 80, "Mäker".encode())
    + dataset(2, 90, b"SECRET-PLACE")
    + dataset(2, 105, b"A heron wades")
    + dataset(2, 116, b"(c) A. Maker")
)
WANTED = {
    (1, 90): b"\x1b%G",
    (2, 5): b"Heron",
    (2, 80): "Mäker".encode(),
    (2, 105): b"A heron wades",
    (2, 116): b"(c) A. Maker",
}


@pytest.fixture(scope="module")
def tagged(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A JPEG with its creator's credit, and with camera, place, time and software."""
    exif = Image.Exif()
    exif.update(CREDIT)
    exif.update({271: "SECRET-MAKE", 272: "SECRET-MODEL", 305: "SECRET-TOOL", 274: 1})
    inner = {0x927C: b"SECRET-NOTE", 0x9003: "2026:01:01 06:30:00", 0xA431: "SECRET-SERIAL"}
    exif.get_ifd(0x8769).update(inner)
    exif.get_ifd(0x8825).update({1: "N", 2: (59.0, 55.0, 0.0)})
    block = exif.tobytes() + b"THUMBNAIL" * 9
    path = tmp_path_factory.mktemp("credit") / "a.jpg"
    jpeg(path, chart(), exif=block, xmp=PACKET)
    wrapped = b"Photoshop 3.0\0" + resource(1036, b"THUMBNAIL") + resource(1028, DATASETS)
    return with_segment(path, 0xED, wrapped)


def credited(path: Path, format_: FileFormat) -> bytes:
    own = lab(format_=format_)
    image = variant_image(sized(path), own, 0.0)
    return encoded(image, own, kept=credit_of(decode(path).metadata))


def packet_of(file: bytes) -> bytes:
    info = Image.open(io.BytesIO(file)).info
    return bytes(info["xmp"])


def words_of(packet: bytes) -> dict[str, list[tuple[str | None, str | None]]]:
    """Return every Dublin Core property of a packet, its texts with their languages."""
    (description,) = ElementTree.fromstring(packet).iter(f"{RDF}Description")
    items = {e.tag.removeprefix(DC): e.iter(f"{RDF}li") for e in description}
    return {name: [(li.text, li.get(LANGUAGE)) for li in found] for name, found in items.items()}


@pytest.mark.parametrize("format_", [FileFormat.JPEG, FileFormat.PNG])
def test_only_title_creator_and_copyright_of_exif_are_kept(
    tagged: Path, format_: FileFormat
) -> None:
    exif = Image.open(io.BytesIO(credited(tagged, format_))).getexif()
    assert dict(exif) == CREDIT
    assert not exif.get_ifd(0x8769)
    assert not exif.get_ifd(0x8825)


def test_a_tiff_has_them_among_its_own_tags_and_no_others(tagged: Path) -> None:
    plain, kept = written(tagged, lab(format_=FileFormat.TIFF)), credited(tagged, FileFormat.TIFF)
    with tifffile.TiffFile(io.BytesIO(plain)) as before, tifffile.TiffFile(io.BytesIO(kept)) as now:
        own, tags = before.pages.first.tags, now.pages.first.tags
        assert {tag: tags[tag].value for tag in CREDIT} == CREDIT
        assert {t.code for t in tags} - {t.code for t in own} == {*CREDIT, 700, 33723}


@pytest.mark.parametrize("format_", FORMATS)
def test_creator_rights_and_title_of_xmp_are_kept_in_all_their_languages(
    tagged: Path, format_: FileFormat
) -> None:
    assert words_of(packet_of(credited(tagged, format_))) == {
        "creator": [("A. Maker", None), ("B. Maker & Søn", None)],
        "rights": [("© A. Maker", "x-default")],
        "title": [("Heron", "x-default"), ("Hegre", "nb")],
    }


@pytest.mark.parametrize("format_", [FileFormat.JPEG, FileFormat.TIFF])
def test_title_byline_headline_and_copyright_of_iptc_are_kept(
    tagged: Path, format_: FileFormat
) -> None:
    opened: Any = Image.open(io.BytesIO(credited(tagged, format_)))
    assert IptcImagePlugin.getiptcinfo(opened) == WANTED


@pytest.mark.parametrize("format_", FORMATS)
def test_camera_place_time_software_and_thumbnails_are_gone(
    tagged: Path, format_: FileFormat
) -> None:
    whole, file = tagged.read_bytes(), credited(tagged, format_)
    assert all(secret in whole for secret in SECRETS)
    assert not any(secret in file for secret in SECRETS)


@pytest.mark.parametrize("format_", FORMATS)
def test_pixels_and_profile_are_the_same_as_without_metadata(
    tagged: Path, format_: FileFormat
) -> None:
    plain, kept = (
        written(tagged, lab(format_=format_)),
        credited(tagged, format_),
    )
    assert np.array_equal(pixels_of(plain), pixels_of(kept))
    opened = [Image.open(io.BytesIO(file)).info["icc_profile"] for file in (plain, kept)]
    assert opened[0] == opened[1]


@pytest.mark.parametrize("format_", FORMATS)
def test_a_picture_without_credit_gives_the_plain_file(tmp_path: Path, format_: FileFormat) -> None:
    path = jpeg(tmp_path / "a.jpg", chart())
    assert credited(path, format_) == written(path, lab(format_=format_))


@pytest.mark.parametrize("format_", FORMATS)
def test_the_credit_of_a_tiff_is_kept_too(tmp_path: Path, format_: FileFormat) -> None:
    extra = [
        (315, 2, 0, "A. Maker", True),
        (700, 7, len(PACKET), PACKET, True),
        (33723, 7, len(DATASETS), DATASETS, True),
    ]
    path = tmp_path / "a.tif"
    words: Any = {"description": "A heron", "software": "SECRET-TOOL", "extratags": extra}
    tifffile.imwrite(path, chart(), photometric="rgb", metadata=None, **words)
    file = credited(path, format_)
    assert (
        dict(Image.open(io.BytesIO(file)).getexif()).items()
        >= {
            270: "A heron",
            315: "A. Maker",
        }.items()
    )
    assert words_of(packet_of(file))["title"][1] == ("Hegre", "nb")
    assert b"SECRET" not in file


@pytest.mark.parametrize(
    "packet",
    [
        b"",
        b"no markup",
        b"<a><b></a>",
        b'<!DOCTYPE a [<!ENTITY b "SECRET">]><a>&b;</a>',
        PACKET.replace(b"purl.org/dc", b"elsewhere.example/dc"),
    ],
)
def test_a_packet_without_credit_or_malformed_is_left_out(packet: bytes) -> None:
    assert credit_of(Metadata(xmp=packet)).xmp == b""


def test_a_title_written_as_an_attribute_counts() -> None:
    packet = PACKET.replace(b'rdf:about=""', b'rdf:about="" dc:title="Plain &lt;heron&gt;"')
    found = words_of(credit_of(Metadata(xmp=packet)).xmp)["title"]
    assert found[0] == ("Plain <heron>", "x-default")


def test_whole_datasets_of_a_truncated_iptc_block_are_kept() -> None:
    whole = credit_of(Metadata(iptc=DATASETS)).iptc
    last = dataset(2, 116, WANTED[2, 116])
    assert credit_of(Metadata(iptc=DATASETS[:-1])).iptc == whole.removesuffix(last)
    assert credit_of(Metadata(iptc=DATASETS[:8])).iptc == b""


STALE = b'<a tiff:Orientation="6" b="1"><tiff:Orientation >6</tiff:Orientation><c/>'


@pytest.mark.parametrize(
    ("packet", "kept"),
    [
        (STALE, b'<a b="1"><c/>'),
        (b"<tiff:OrientationMark>6</tiff:OrientationMark>", None),
        (b"<xmp:Thumbnails/><d/>", b"<d/>"),
        (b"<xmp:Thumbnails>never closed", None),
        (b"x='1' tiff:Orientation='never closed", None),
        (b"<tiff:Orientation>" * 100_000, None),
        (b"<tiff:OrientationX" * 100_000 + b"</tiff:Orientation>", None),
    ],
)
def test_what_no_longer_holds_is_taken_out_of_xmp_in_time(
    packet: bytes, kept: bytes | None
) -> None:
    start = time.process_time()
    assert _without_stale(packet) == (packet if kept is None else kept)
    assert time.process_time() - start < 0.5


@pytest.mark.parametrize(
    "packet",
    [
        xmp_of("pier", "shift_jis"),
        xmp_of("pier").replace(b"utf-8", b"x-none"),
        xmp_of("pier").replace(b"?><x:", b"?><!DOCTYPE a [<!ENTITY b 'c'>]><x:"),
        xmp_of("pier")[:-20],
        xmp_of("<a/>" * 1_100_000),
    ],
    ids=["Shift JIS", "unknown encoding", "entities", "cut short", "too large"],
)
def test_a_packet_that_cannot_be_read_gives_no_credit(packet: bytes) -> None:
    assert credit_of(Metadata(xmp=packet)) == Metadata()
    assert xmp_title(packet) == ""


def test_a_packet_beyond_the_limit_has_no_title() -> None:
    assert xmp_title(xmp_of("pier")) == "pier"
    assert xmp_title(xmp_of("pier", filling=LARGEST_BLOCK)) == ""
