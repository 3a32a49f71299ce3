"""Pictures that somebody made to cost time or memory are refused, or read within limits."""

import io
import struct
import time
import zlib
from collections.abc import Callable

import numpy as np
import pytest
import tifffile
from PIL import Image

from proofs.errors import PhotographError
from proofs.lengths import PixelSize
from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.prints.file_facts import file_facts, pixel_bands, refuse_unbounded
from proofs.outside.pixels.source.file_limits import MOST_METADATA, largest_file
from proofs.outside.pixels.source.tiff_directories import read_entries
from proofs.plan.delivery.deliveries import TITLE_ALONE

SOON = 3.0  # seconds of processor; each took minutes, or gigabytes, before it was refused


def saved(kind: str, **options: object) -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (20, 10), (9, 99, 199)).save(stream, kind, **options)
    return stream.getvalue()


def chunk(name: bytes, content: bytes) -> bytes:
    check = zlib.crc32(name + content)
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", check)


def png_with(extra: bytes) -> bytes:
    whole = saved("PNG")
    return whole[:33] + extra + whole[33:]


def packed_words(name: bytes, between: bytes, count: int) -> bytes:
    packed = zlib.compress(bytes(20_000_000), 9)
    return png_with(chunk(name, b"words\0" + between + packed) * count)


def tiff_of_tags(count: int, size: int, *, order: str = "<") -> bytes:
    """A TIFF whose tags all hold the same bytes, which are most of the file."""
    head = struct.pack(f"{order}2sHI", b"II" if order == "<" else b"MM", 42, 8)
    fields = ((40_000 + n % 2000, 3, size // 2, 8) for n in range(count))
    entries = (struct.pack(f"{order}HHII", *field) for field in fields)
    table = struct.pack(f"{order}H", count) + b"".join(entries) + bytes(4)
    return head + table + bytes(size)


def tiff_of_two_pages() -> bytes:
    stream = io.BytesIO()
    tifffile.imwrite(stream, np.zeros((2, 10, 20, 3), "u1"), photometric="rgb")
    return stream.getvalue()


def jpeg_of_filling() -> bytes:
    return b"\xff\xd8" + b"\xff" * 50_000_000


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: packed_words(b"zTXt", b"\0", 30), "carries more"),
        (lambda: packed_words(b"iTXt", b"\1\0\0\0", 30), "carries more"),
        (lambda: png_with(chunk(b"noTe", b"") * 100_000), "carries more"),
        (lambda: tiff_of_tags(900, 1_000_000), "carries more"),
        (lambda: tiff_of_tags(60_000, 4), "carries more"),
        (lambda: tiff_of_tags(3, 4)[:30], "is cut short"),
        (tiff_of_two_pages, "holds more than one picture"),
        (jpeg_of_filling, "is not a picture that can be read"),
        (lambda: b"", "is not a picture"),
        (lambda: b"II+\0", "is cut short"),
    ],
)
def test_what_unpacks_to_too_much_is_refused_soon(make: Callable[[], bytes], words: str) -> None:
    content, start = make(), time.process_time()
    with pytest.raises(PhotographError, match=words):
        file_facts(content)
    assert time.process_time() - start < SOON


def test_what_a_picture_may_carry_is_let_through() -> None:
    refuse_unbounded(png_with(chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + bytes(30_000_000))))
    refuse_unbounded(saved("TIFF"))
    refuse_unbounded(saved("JPEG", icc_profile=bytes(5_000_000)))


@pytest.mark.parametrize(("pixels", "channels"), [((10, 10), 3), ((10**6, 10**6), 1000)])
def test_the_largest_file_is_known_from_its_pixels(pixels: tuple[int, int], channels: int) -> None:
    # 400 megapixels of four channels at two bytes are 3.2 GB; half as much again is for packing.
    most = largest_file(PixelSize(*pixels), channels)
    assert most == MOST_METADATA + (900 if channels == 3 else 4_800_000_000)


@pytest.mark.parametrize("options", [{"progressive": True}, {"progressive": True, "quality": 30}])
def test_interlaced_pixels_are_not_read(options: dict[str, object]) -> None:
    with pytest.raises(PhotographError, match="are interlaced; they were not read"):
        list(pixel_bands(saved("JPEG", **options)))


def test_pixels_of_another_kind_are_not_read() -> None:
    stream = io.BytesIO()
    tifffile.imwrite(stream, np.full((4, 4), np.nan, "f4"), photometric="minisblack")
    with pytest.raises(PhotographError, match="no file of a delivery stores pixels this way"):
        list(pixel_bands(stream.getvalue()))


def test_bands_are_the_picture_in_its_order() -> None:
    codes = np.random.default_rng(0).integers(0, 65_536, (3000, 1500, 3)).astype("u2")
    stream = io.BytesIO()
    tifffile.imwrite(stream, codes, photometric="rgb", compression="lzw")
    bands = list(pixel_bands(stream.getvalue()))
    assert len(bands) > 1
    assert [top for top, _ in bands] == [0, *np.cumsum([len(b) for _, b in bands])[:-1]]
    assert np.array_equal(np.concatenate([band for _, band in bands]), codes)


PACKET = (
    '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF'
    ' xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">{}</rdf:RDF></x:xmpmeta>'
)
LAUGHS = (
    '<!DOCTYPE x [<!ENTITY a "ha">'
    + "".join(
        f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + "]>"
    + PACKET.format("&i;")
)


@pytest.mark.parametrize(
    "packet",
    [
        "<tiff:Orientation>" * 3000,
        "<tiff:Orientation " * 300_000,
        LAUGHS,
        '<?xml version="1.0" encoding="x-none"?>' + PACKET,
        '<?xml version="1.0" encoding="euc-jp"?>' + PACKET,
        "<a>" * 20_000,
        "\0" * 1000,
        PACKET.format("x" * 5_000_000),
    ],
)
def test_a_packet_that_holds_no_title_is_only_named(packet: str) -> None:
    content = png_with(chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + packet.encode()))
    start = time.process_time()
    facts = file_facts(content)
    assert time.process_time() - start < SOON
    assert facts.title == ""
    assert TITLE_ALONE not in facts.extras


@pytest.mark.parametrize("order", ["<", ">"])
def test_tags_hold_no_more_than_their_block(order: str) -> None:
    block = tiff_of_tags(2000, 2_000_000, order=order)
    start = time.process_time()
    entries = read_entries(block)
    assert time.process_time() - start < SOON
    assert len(entries) == 1
    assert sum(len(entry.value) for entry in entries) <= len(block)


@pytest.mark.parametrize("kind", [3, 4, 5, 12])
def test_numbers_of_the_other_order_of_bytes_are_turned(kind: int) -> None:
    letters = {3: "3H", 4: "3I", 5: "6I", 12: "3d"}[kind]
    numbers = range(1, int(letters[0]) + 1)
    values = struct.pack(f">{letters}", *numbers)
    head = struct.pack(">2sHIHHHII4x", b"MM", 42, 8, 1, 700, kind, 3, 26)
    (entry,) = read_entries(head + values)
    assert struct.unpack(f"<{letters}", entry.value) == tuple(numbers)


def test_tags_of_a_profile_that_overlap_are_refused() -> None:
    size = 1_000_000
    table = b"".join(struct.pack(">4sII", b"t%03d" % n, 128, size - 128) for n in range(200))
    head = struct.pack(">I", size).ljust(36, b"\0") + b"acsp"
    profile = (head.ljust(128, b"\0") + struct.pack(">I", 200) + table).ljust(size, b"\0")
    with pytest.raises(ValueError, match="its tags overlap"):
        icc.tags(profile)
    assert icc.description(profile) == ""
