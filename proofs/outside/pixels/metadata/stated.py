"""The metadata of a finished file: what is kept of its picture, with the lines that are stated.

A stated line goes into EXIF, which all our formats carry. What the file keeps of XMP states it too,
and IPTC, whose character set may be unknown, no longer states another. Tags and datasets: see
``credit``; ``tiff:Artist`` and ``tiff:Copyright`` in XMP: part 2. From memory.
"""

from collections.abc import Mapping
from xml.etree import ElementTree

from proofs.outside.pixels.metadata import iptc
from proofs.outside.pixels.metadata.credit import (
    DC,
    LARGEST_BLOCK,
    credit_of,
    dublin_core,
    packet_root,
    title_xmp,
)
from proofs.outside.pixels.metadata.extract import ARTIST, ASCII, COPYRIGHT, Metadata
from proofs.outside.pixels.source.tiff_directories import TagEntry
from proofs.plan.delivery.catalogue import title_inside
from proofs.records.metadata_wish import Kept, MetadataWish

_TIFF = "http://ns.adobe.com/tiff/1.0/"
_NAMES = {
    "creator": {f"{{{DC}}}creator", f"{{{_TIFF}}}Artist"},
    "rights": {f"{{{DC}}}rights", f"{{{_TIFF}}}Copyright"},
    "title": {f"{{{DC}}}title"},
}
_DATASETS = {"creator": (2, 80), "rights": (2, 116), "title": (2, 5)}
_END_OF_RDF = "</rdf:RDF>"


def finished_metadata(
    source: Metadata, wish: MetadataWish, *, title: str | None = None
) -> Metadata:
    """Return the metadata of a finished file; ``source`` are those of its picture.

    ``title`` is to be its only title, in XMP; with None it has the picture's, if that is kept.
    """
    kept = Metadata() if wish.kept is Kept.NONE else source
    lines = {"creator": wish.creator, "rights": wish.copyright}
    stated = {name: line for name, line in lines.items() if line}
    if title is not None:
        stated["title"] = title_inside(title)
    if stated:
        kept = Metadata(
            exif=_with_lines(kept.exif, wish),
            xmp=_with_properties(kept.xmp, stated),
            iptc=iptc.without_datasets(kept.iptc, {_DATASETS[name] for name in stated}),
        )
    return credit_of(kept) if wish.kept is Kept.CREDIT else kept


def _with_lines(
    exif: Mapping[str, tuple[TagEntry, ...]], wish: MetadataWish
) -> dict[str, tuple[TagEntry, ...]]:
    lines = {ARTIST: wish.creator, COPYRIGHT: wish.copyright}
    values = {tag: line.encode() + b"\0" for tag, line in lines.items() if line}
    others = (entry for entry in exif.get("main", ()) if entry.tag not in values)
    own = (TagEntry(tag, ASCII, len(value), value) for tag, value in values.items())
    main = (*others, *own)
    return {**exif, "main": main} if main else dict(exif)


def _with_properties(packet: bytes, stated: Mapping[str, str]) -> bytes:
    """An XMP packet in which these properties have the texts stated, and no others.

    A packet that cannot be read is left out, because it might state something else. If the whole
    is too large for a print file, only its credit is kept. A title is stated in any case.
    """
    title = stated.get("title")
    least = b"" if title is None else title_xmp(title)
    if packet_root(packet) is None:
        return least
    replaced = {name for key in stated for name in _NAMES[key]}
    others = ElementTree.canonicalize(
        packet.strip(b"\0 \r\n\t"), exclude_tags=replaced, exclude_attrs=replaced
    )
    head, end, tail = others.rpartition(_END_OF_RDF)
    if not end:
        return least
    own = dublin_core({name: [(text, "")] for name, text in stated.items()})
    whole = f"{head}{own}{end}{tail}".encode()
    credit = credit_of(Metadata(xmp=whole)).xmp
    return next((found for found in (whole, credit) if len(found) <= LARGEST_BLOCK), least)
