"""The credit in a picture's metadata: its creator, its copyright and its title.

Tags: TIFF 6.0, section 8 (EXIF uses the same); XMP part 1, 7.3 and 8.3 (Dublin Core); IIM 4.2,
chapter 6. From memory.
"""

import html
from collections.abc import Iterator, Mapping, Sequence
from xml.etree import ElementTree

from proofs.findings import Finding, Severity
from proofs.outside.pixels.metadata import iptc
from proofs.outside.pixels.metadata.extract import TEXT_TAGS, Metadata
from proofs.outside.pixels.source.tiff_directories import TagEntry
from proofs.plan.delivery.catalogue import title_inside

DC = "http://purl.org/dc/elements/1.1/"
_RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
_LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"
_CONTAINERS = {"creator": "Seq", "rights": "Alt", "title": "Alt"}
_ENCODING = (1, 90)  # declares the character set of the others
_TITLE, _CREATOR, _HEADLINE, _COPYRIGHT = (2, 5), (2, 80), (2, 105), (2, 116)
_DATASETS = frozenset({_ENCODING, _TITLE, _CREATOR, _HEADLINE, _COPYRIGHT})

LARGEST_BLOCK = 64_000
"""The most bytes of a metadata block that is kept whole; a segment of a JPEG holds 65 533."""
_TAG_BYTES = 12  # of each tag besides its value: TIFF 6.0, section 2
_LARGEST_XMP = 4_000_000  # bytes; parsed, a packet can take 50 times as many

Text = tuple[str, str]  # a text, and its language, empty if none is declared


def credit_of(metadata: Metadata) -> Metadata:
    """Return only the creator, the copyright and the title, in each block that has them."""
    tags = tuple(e for e in metadata.exif.get("main", ()) if e.tag in TEXT_TAGS)
    datasets = iptc.selected_datasets(metadata.iptc, _DATASETS)
    has_text = iptc.selected_datasets(datasets, _DATASETS - {_ENCODING})
    return Metadata(
        exif={"main": tags} if tags else {},
        xmp=_credit_xmp(metadata.xmp),
        iptc=datasets if has_text else b"",
    )


def within_limits(metadata: Metadata) -> tuple[Metadata, tuple[Finding, ...]]:
    """Return the metadata without blocks too large for a print file, and findings.

    Of such a block only the creator, the copyright and the title are kept, if they fit.
    """
    sizes = {
        "EXIF": sum(
            _TAG_BYTES + len(e.value) for entries in metadata.exif.values() for e in entries
        ),
        "XMP": len(metadata.xmp),
        "IPTC": len(metadata.iptc),
    }
    too_large = [name for name, size in sizes.items() if size > LARGEST_BLOCK]
    if not too_large:
        return metadata, ()
    credit = credit_of(metadata)
    kept = Metadata(
        exif=_small_tags(credit.exif) if "EXIF" in too_large else metadata.exif,
        xmp=_if_small(credit.xmp) if "XMP" in too_large else metadata.xmp,
        iptc=_if_small(credit.iptc) if "IPTC" in too_large else metadata.iptc,
    )
    text = (
        f"its {' and '.join(too_large)} metadata are larger than {LARGEST_BLOCK // 1000} kB: a"
        " print file gets only their creator, copyright and title"
    )
    return kept, (Finding("metadata-left-out", Severity.NOTE, text),)


def _small_tags(exif: Mapping[str, tuple[TagEntry, ...]]) -> dict[str, tuple[TagEntry, ...]]:
    most = LARGEST_BLOCK // len(TEXT_TAGS)
    kept = {name: tuple(e for e in tags if len(e.value) <= most) for name, tags in exif.items()}
    return {name: tags for name, tags in kept.items() if tags}


def _if_small(block: bytes) -> bytes:
    return block if len(block) <= LARGEST_BLOCK else b""


def xmp_title(packet: bytes) -> str:
    """Return the title in an XMP packet; empty without one, or if the packet is too large."""
    if len(packet) > LARGEST_BLOCK:
        return ""
    root = packet_root(packet)
    return "" if root is None else next((text for text, _ in _texts(root, "title")), "")


def title_xmp(title: str) -> bytes:
    """Return an XMP packet that holds the title alone, as Dublin Core defines it."""
    return _packet({"title": [(title_inside(title), "")]})


def packet_root(packet: bytes) -> ElementTree.Element | None:
    """Return an XMP packet as a tree; None if it is blank, malformed, too large or unsafe."""
    if len(packet) > _LARGEST_XMP or b"<!" in packet:  # entities could unpack to gigabytes
        return None
    try:
        return ElementTree.fromstring(packet.strip(b"\0 \r\n\t"))
    except (ElementTree.ParseError, ValueError, LookupError):  # the last: an unknown encoding
        return None


def _credit_xmp(packet: bytes) -> bytes:
    """A new packet, so that nothing else is passed on; empty if there is no credit."""
    root = packet_root(packet)
    if root is None:
        return b""
    found = {name: list(_texts(root, name)) for name in _CONTAINERS}
    return _packet(found) if any(found.values()) else b""


def _packet(properties: Mapping[str, Sequence[Text]]) -> bytes:
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>'
        f'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="{_RDF}">'
        f"{dublin_core(properties)}"
        '</rdf:RDF></x:xmpmeta><?xpacket end="r"?>'
    ).encode()


def dublin_core(properties: Mapping[str, Sequence[Text]]) -> str:
    """Return a part of an XMP packet that holds these texts: creator, rights and title.

    It stands where ``rdf`` is declared, as it is by that prefix in all packets (XMP part 1, 7.4).
    """
    every = "".join(_property(name, texts) for name, texts in properties.items() if texts)
    return f'<rdf:Description rdf:about="" xmlns:dc="{DC}">{every}</rdf:Description>'


def _texts(root: ElementTree.Element, name: str) -> Iterator[Text]:
    """The texts of a property, which may be a container, an element or an attribute."""
    for description in root.iter(f"{{{_RDF}}}Description"):
        if text := description.get(f"{{{DC}}}{name}"):
            yield text, ""
        for element in description.findall(f"{{{DC}}}{name}"):
            items = element.findall(f"*/{{{_RDF}}}li") or [element]
            for item in items:
                if text := (item.text or "").strip():
                    yield text, item.get(_LANGUAGE, "")


def _property(name: str, texts: Sequence[Text]) -> str:
    container = _CONTAINERS[name]
    items = "".join(
        f"<rdf:li{_language(container, own)}>{_escaped(t)}</rdf:li>" for t, own in texts
    )
    return f"<dc:{name}><rdf:{container}>{items}</rdf:{container}></dc:{name}>"


def _escaped(text: str) -> str:
    """A text as XML; a carriage return as it is would be read back as a line feed."""
    return html.escape(text, quote=False).replace("\r", "&#13;")


def _language(container: str, own: str) -> str:
    return f' xml:lang="{html.escape(own or "x-default")}"' if container == "Alt" else ""
