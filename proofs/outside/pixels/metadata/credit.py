"""Of all that a picture file carries beside the picture: who made it, and its title.

Tags: TIFF 6.0, section 8 (EXIF names the same); XMP part 1, 7.3 and 8.3 (Dublin Core); IIM 4.2,
chapter 6. From memory.
"""

from collections.abc import Iterator
from xml.etree import ElementTree
from xml.sax.saxutils import escape, quoteattr

from proofs.outside.pixels.metadata import iptc
from proofs.outside.pixels.metadata.extract import TEXT_TAGS, Metadata

_DC = "http://purl.org/dc/elements/1.1/"
_RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
_LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"
_PROPERTIES = {"creator": "Seq", "rights": "Alt", "title": "Alt"}
_ENCODING = (1, 90)  # says how the words of the others are written
_TITLE, _MAKER, _HEADLINE, _COPYRIGHT = (2, 5), (2, 80), (2, 105), (2, 116)
_DATASETS = frozenset({_ENCODING, _TITLE, _MAKER, _HEADLINE, _COPYRIGHT})

Words = tuple[str, str]  # a text, and its language where one is named


def credit_of(metadata: Metadata) -> Metadata:
    """Return only the maker, the copyright and the title, in each place where they stand."""
    texts = tuple(e for e in metadata.exif.get("main", ()) if e.tag in TEXT_TAGS)
    words = iptc.selected_datasets(metadata.iptc, _DATASETS)
    return Metadata(
        exif={"main": texts} if texts else {},
        xmp=_credit_packet(metadata.xmp),
        iptc=words if iptc.selected_datasets(words, _DATASETS - {_ENCODING}) else b"",
    )


def xmp_title(packet: bytes) -> str:
    """Return the title that an XMP packet holds, blank where it holds none."""
    root = _root(packet)
    return "" if root is None else next((text for text, _ in _words(root, "title")), "")


def _root(packet: bytes) -> ElementTree.Element | None:
    """The packet read, or None where there is none or it is not to be understood."""
    try:
        return ElementTree.fromstring(packet.strip(b"\0 \r\n\t"))
    except ElementTree.ParseError:
        return None


def _credit_packet(packet: bytes) -> bytes:
    """A packet written anew, so that nothing else hides in it; empty where nothing is found."""
    root = _root(packet)
    if root is None:
        return b""
    found = {name: list(_words(root, name)) for name in _PROPERTIES}
    properties = "".join(_property(name, words) for name, words in found.items() if words)
    if not properties:
        return b""
    text = (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>'
        f'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="{_RDF}">'
        f'<rdf:Description rdf:about="" xmlns:dc="{_DC}">{properties}</rdf:Description>'
        '</rdf:RDF></x:xmpmeta><?xpacket end="r"?>'
    )
    return text.encode()


def _words(root: ElementTree.Element, name: str) -> Iterator[Words]:
    """The texts of a property, whether it stands as a list, as an element or as an attribute."""
    for description in root.iter(f"{{{_RDF}}}Description"):
        if text := description.get(f"{{{_DC}}}{name}"):
            yield text, ""
        for element in description.findall(f"{{{_DC}}}{name}"):
            items = element.findall(f"*/{{{_RDF}}}li") or [element]
            told = ((item.text or "").strip() for item in items)
            yield from ((t, i.get(_LANGUAGE, "")) for t, i in zip(told, items, strict=True) if t)


def _property(name: str, words: list[Words]) -> str:
    kind = _PROPERTIES[name]
    items = "".join(f"<rdf:li{_language(kind, own)}>{escape(t)}</rdf:li>" for t, own in words)
    return f"<dc:{name}><rdf:{kind}>{items}</rdf:{kind}></dc:{name}>"


def _language(kind: str, own: str) -> str:
    return f" xml:lang={quoteattr(own or 'x-default')}" if kind == "Alt" else ""
