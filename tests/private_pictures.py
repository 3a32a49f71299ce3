"""A picture that carries everything private, and a search for it in whatever a run wrote.

Tags: TIFF 6.0 and CIPA DC-008 (EXIF); XMP part 2 and its namespace for cameras; IIM 4.2. From
memory.
"""

import base64
import io
import re
import struct
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2
from PIL import Image, IptcImagePlugin

from tests.assault.processes import contents
from tests.outside.pixels.files import with_segment

SECRET = b"SECRET"
CREATOR, COPYRIGHT, TITLE = "A. Maker", "(c) A. Maker", "Heron"
PACKET = f"""<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
  xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="SECRET-LATITUDE"
  xmlns:aux="http://ns.adobe.com/exif/1.0/aux/" aux:SerialNumber="SECRET-SERIAL"
  xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/" xmlns:tiff="http://ns.adobe.com/tiff/1.0/"
  xmlns:stRef="http://ns.adobe.com/xap/1.0/sType/ResourceRef#" tiff:Artist="{CREATOR}">
 <xmpMM:DerivedFrom stRef:filePath="/home/SECRET-HOME/a.raw"/>
 <dc:creator><rdf:Seq><rdf:li>{CREATOR}</rdf:li></rdf:Seq></dc:creator>
 <dc:rights><rdf:Alt><rdf:li xml:lang="x-default">{COPYRIGHT}</rdf:li></rdf:Alt></dc:rights>
 <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{TITLE}</rdf:li></rdf:Alt></dc:title>
</rdf:Description></rdf:RDF></x:xmpmeta>""".encode()
_DATASETS = {(2, 80): CREATOR, (2, 116): COPYRIGHT, (2, 5): TITLE, (2, 90): "SECRET-CITY"}


def make_private(path: Path) -> None:
    """Save a JPEG anew with its maker's credit, and with camera, place, serial numbers and paths.

    Everything that is not the credit contains the word ``SECRET``.
    """
    exif = Image.Exif()
    exif.update({0x013B: CREATOR, 0x8298: COPYRIGHT, 0x010F: "SECRET-MAKE", 0x0131: "SECRET-TOOL"})
    camera = {0x927C: b"SECRET-NOTE", 0xA431: "SECRET-BODY", 0xA435: "SECRET-LENS"}
    exif.get_ifd(0x8769).update(camera)
    exif.get_ifd(0x8825).update({1: "N", 2: (59.0, 55.0, 0.0), 0x1C: b"ASCII\0\0\0SECRET-AREA"})
    with Image.open(path) as picture:
        picture.save(path, quality=92, exif=exif, xmp=PACKET, comment=b"/home/SECRET-HOME")
    datasets = b"".join(
        struct.pack(">BBBH", 0x1C, *key, len(value)) + value.encode()
        for key, value in _DATASETS.items()
    )
    resource = b"8BIM\x04\x04\0\0" + struct.pack(">I", len(datasets)) + datasets
    with_segment(path, 0xED, b"Photoshop 3.0\0" + resource + b"\0" * (len(datasets) % 2))


def leaks(folder: Path) -> list[str]:
    """Return the names of all files below a folder that hold a secret, also what is packed."""
    return [name for name, content in contents(folder).items() if holds_secret(content)]


def holds_secret(content: bytes) -> bool:
    """Return whether a file holds a secret: as it is, in a PDF's streams and words, or in a zip."""
    wide = SECRET.decode().encode("utf-16-be")
    return any(SECRET in part or wide in part for part in (content, *_unpacked(content)))


def _unpacked(content: bytes) -> Iterator[bytes]:
    if content.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            for name in archive.namelist():
                yield archive.read(name)
                yield from _unpacked(archive.read(name))
    if content.startswith(b"%PDF"):
        for found in re.finditer(rb"stream\r?\n(.*?)\r?\n?endstream", content, re.DOTALL):
            yield _inflated(found[1])
        document = pypdfium2.PdfDocument(content)
        yield repr(document.get_metadata_dict()).encode()
        for page in document:
            yield page.get_textpage().get_text_range().encode()
    if content.startswith(b"\x89PNG"):
        yield repr(Image.open(io.BytesIO(content)).info).encode()


def _inflated(stream: bytes) -> bytes:
    packed = base64.a85decode(stream, adobe=False) if stream.endswith(b"~>") else stream
    try:
        return zlib.decompressobj().decompress(packed)
    except zlib.error:
        return packed


def place_in(content: bytes) -> Any:
    """Return the GPS directory that Pillow finds in a picture; empty if there is none."""
    return Image.open(io.BytesIO(content)).getexif().get_ifd(0x8825)


def iptc_of(content: bytes) -> dict[tuple[int, int], bytes]:
    """Return the IPTC datasets that Pillow finds in a picture."""
    opened: Any = Image.open(io.BytesIO(content))
    found = IptcImagePlugin.getiptcinfo(opened) or {}
    return {key: value for key, value in found.items() if isinstance(value, bytes)}
