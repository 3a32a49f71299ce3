"""Stated lines replace those of the picture, wherever a finished file would state them.

Outside source: tags of TIFF 6.0, Dublin Core in XMP part 1, datasets of IIM 4.2 (from memory);
files are read back by Pillow, XMP by Python's XML parser.
"""

import io
from xml.etree import ElementTree

import pytest
from PIL import Image

from proofs.outside.pixels import vips
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.metadata.credit import (
    LARGEST_BLOCK,
    credit_of,
    title_xmp,
    within_limits,
)
from proofs.outside.pixels.metadata.embed import jpeg_segments
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.metadata.stated import finished_metadata
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.prints.file_facts import file_facts
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.source.tiff_directories import TagEntry
from proofs.plan.delivery.deliveries import CREDIT_IPTC, CREDIT_XMP, TITLE_ALONE, FileFacts
from proofs.records.labs import FileFormat
from proofs.records.metadata_wish import LONGEST_LINE_BYTES, Kept, MetadataWish
from tests.outside.pixels.files import chart, jpeg
from tests.outside.pixels.odd_files import xmp_of
from tests.outside.pixels.pictures import lab
from tests.outside.pixels.pipeline import sized
from tests.private_pictures import PACKET, iptc_of, make_private

FORMATS = (FileFormat.TIFF, FileFormat.JPEG, FileFormat.PNG)
LINE, NAME = "© 2026 B. Maker & Søn <1>", "B. Maker & Søn"


def both(kept: Kept = Kept.NONE) -> MetadataWish:
    """Return the wish to state both lines."""
    return MetadataWish(kept, copyright=LINE, creator=NAME)


DC = "{http://purl.org/dc/elements/1.1/}"
LI = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}li"


@pytest.fixture(scope="module")
def private(tmp_path_factory: pytest.TempPathFactory) -> Metadata:
    """The metadata of a picture that states its maker, and much that is private."""
    path = jpeg(tmp_path_factory.mktemp("stated") / "a.jpg", chart())
    make_private(path)
    return decode(path).metadata


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> vips.Image:
    """A picture without metadata, in the lab's space."""
    path = jpeg(tmp_path_factory.mktemp("plain") / "a.jpg", chart())
    return variant_image(sized(path), lab(), 0.0)


def words_of(packet: bytes) -> dict[str, list[str | None]]:
    """Every text of Dublin Core in a packet, by the name of its property."""
    found: dict[str, list[str | None]] = {}
    for element in ElementTree.fromstring(packet).iter():
        if element.tag.startswith(DC):
            texts = [item.text for item in element.iter(LI)]
            found.setdefault(element.tag.removeprefix(DC), []).extend(texts)
    return found


@pytest.mark.parametrize("format_", FORMATS)
@pytest.mark.parametrize("kept", Kept)
def test_both_lines_are_in_exif_of_every_format(
    private: Metadata, plain: vips.Image, kept: Kept, format_: FileFormat
) -> None:
    content = encoded(plain, lab(format_=format_), kept=finished_metadata(private, both(kept)))
    exif = Image.open(io.BytesIO(content)).getexif()
    # Pillow takes the bytes of a text tag for Latin-1.
    assert exif[0x8298].encode("latin-1").decode() == LINE
    assert exif[0x013B].encode("latin-1").decode() == NAME
    assert b"(c) A. Maker" not in content


@pytest.mark.parametrize("kept", [Kept.CREDIT, Kept.ALL])
def test_a_line_replaces_the_pictures_own_in_xmp_and_iptc(private: Metadata, kept: Kept) -> None:
    found = finished_metadata(private, MetadataWish(kept, copyright=LINE))
    assert words_of(found.xmp) == {
        "creator": ["A. Maker"],
        "rights": [LINE],
        "title": ["Heron"],
    }
    assert b"A. Maker" in found.iptc
    assert b"(c) A. Maker" not in found.iptc


def test_whatever_else_xmp_holds_stays_as_it_is(private: Metadata) -> None:
    before = ElementTree.fromstring(private.xmp)
    after = ElementTree.fromstring(finished_metadata(private, both(Kept.ALL)).xmp)
    kinds = {"creator", "rights"}
    others = [
        sorted(
            (element.tag, *element.attrib.items())
            for element in root.iter()
            if not any(name in element.tag for name in kinds) and element.tag != LI
        )
        for root in (before, after)
    ]
    lost = [item for item in others[0] if item not in others[1]]
    # The only element that changes is the one with the artist of TIFF among its attributes.
    assert [len(item) for item in lost] == [5]
    assert b"SECRET-SERIAL" in finished_metadata(private, both(Kept.ALL)).xmp
    assert b"tiff:Artist" not in finished_metadata(private, both(Kept.ALL)).xmp


def test_without_stated_lines_everything_is_as_it_was(private: Metadata) -> None:
    assert finished_metadata(private, MetadataWish(Kept.ALL)) == private
    assert finished_metadata(private, MetadataWish(Kept.CREDIT)) == credit_of(private)
    assert finished_metadata(private, MetadataWish()) == Metadata()


def test_a_stated_title_is_the_only_one(private: Metadata) -> None:
    for kept in (Kept.CREDIT, Kept.ALL):
        found = finished_metadata(private, MetadataWish(kept), title="Old pier")
        assert words_of(found.xmp)["title"] == ["Old pier"]
        assert b"Heron" not in found.iptc
    assert finished_metadata(private, MetadataWish(), title="Old pier").xmp == title_xmp("Old pier")


@pytest.mark.parametrize(
    "packet",
    [
        b"no markup",
        b'<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>',
        PACKET.replace(b"rdf:", b"r:").replace(b":rdf", b":r"),
        b"<a/>",
    ],
)
def test_xmp_that_cannot_be_read_states_nothing_else(packet: bytes) -> None:
    found = finished_metadata(Metadata(xmp=packet), MetadataWish(Kept.ALL, copyright=LINE))
    assert found.xmp == b""
    titled = finished_metadata(Metadata(xmp=packet), MetadataWish(Kept.ALL), title="Old pier")
    assert titled.xmp == title_xmp("Old pier")


def test_xmp_that_grows_too_large_keeps_its_credit() -> None:
    full = Metadata(xmp=xmp_of("pier", filling=LARGEST_BLOCK - 600))
    assert len(full.xmp) < LARGEST_BLOCK
    found = finished_metadata(full, MetadataWish(Kept.ALL, copyright="x" * LONGEST_LINE_BYTES))
    assert words_of(found.xmp) == {"title": ["pier"], "rights": ["x" * LONGEST_LINE_BYTES]}
    assert len(found.xmp) < LARGEST_BLOCK


def facts(plain: vips.Image, metadata: Metadata) -> FileFacts:
    return file_facts(encoded(plain, lab(format_=FileFormat.JPEG), kept=metadata))


def test_a_file_names_what_it_carries(private: Metadata, plain: vips.Image) -> None:
    everything = facts(plain, private)
    assert everything.extras[:2] == ("exif", "gps")
    assert everything.extras[-2:] == ("XMP", "IPTC")
    assert (everything.creator, everything.copyright) == ("A. Maker", "(c) A. Maker")
    credit = facts(plain, credit_of(private))
    assert credit.extras == (CREDIT_XMP, CREDIT_IPTC)
    lined = facts(plain, finished_metadata(private, both(Kept.CREDIT)))
    assert (lined.extras, lined.creator, lined.copyright) == (credit.extras, NAME, LINE)
    titled = facts(plain, finished_metadata(private, both(), title="Old pier"))
    assert (titled.extras, titled.title) == ((TITLE_ALONE,), "Old pier")


def test_a_credit_with_line_ends_of_any_kind_is_still_a_credit(plain: vips.Image) -> None:
    packet = PACKET.replace(b">Heron<", b">He&#13;ron\n<")
    assert facts(plain, credit_of(Metadata(xmp=packet))).extras == (CREDIT_XMP,)


def test_iptc_keeps_its_other_lines(private: Metadata, plain: vips.Image) -> None:
    found = finished_metadata(private, MetadataWish(Kept.ALL, copyright=LINE))
    content = encoded(plain, lab(format_=FileFormat.JPEG), kept=found)
    assert iptc_of(content) == {(2, 80): b"A. Maker", (2, 5): b"Heron", (2, 90): b"SECRET-CITY"}


def test_the_longest_lines_fit_beside_the_largest_exif() -> None:
    # Tags of 12 bytes each, without values of their own elsewhere: TIFF 6.0, section 2.
    tags = tuple(TagEntry(0x9C00 + n, 4, 1, b"") for n in range(LARGEST_BLOCK // 12))
    largest = Metadata(exif={"main": tags})
    assert within_limits(largest) == (largest, ())
    more = Metadata(exif={"main": (*tags, TagEntry(1, 4, 1, bytes(16)))})
    assert within_limits(more)[0].exif == {}
    line = "x" * LONGEST_LINE_BYTES
    wish = MetadataWish(Kept.ALL, copyright=line, creator=line)
    assert jpeg_segments(finished_metadata(largest, wish)).count(line.encode()) == 2
