"""The copy of a picture for the screen: the picture alone, sRGB, within pixels and bytes."""

from dataclasses import dataclass
from xml.sax.saxutils import escape

import pyvips

from proofs.findings import Finding, Severity
from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.base import make_base
from proofs.outside.pixels.colour import converted
from proofs.outside.pixels.encoding import jpeg_file
from proofs.outside.pixels.faults import PixelsError
from proofs.outside.pixels.metadata import Metadata
from proofs.outside.pixels.opening import Photograph
from proofs.outside.pixels.targets import SCREEN
from proofs.plan.delivery.catalogue import catalogue_pixels, fewer_pixels, title_inside
from proofs.plan.entry.sizing import Crop
from proofs.records.rules import CatalogueRule

BEST_QUALITY = 95  # above it files grow fast and nobody sees more; common practice, no source
_SCREEN_PPI = 72  # a screen goes by pixels; readers that want a figure expect this one


@dataclass(frozen=True, slots=True)
class CatalogueCopy:
    """A finished copy: a JPEG file, its pixels and quality, and what had to be given up."""

    content: bytes
    pixels: PixelSize
    quality: int
    notes: tuple[Finding, ...] = ()


def catalogue_copy(
    photograph: Photograph, rule: CatalogueRule, *, turn: int, crop: Crop, title: str
) -> CatalogueCopy:
    """Return the copy of a photograph that the rules want: 8-bit sRGB, 4:4:4, plain tones.

    Of the highest quality up to 95 that keeps the rule's bytes; where the rule's least quality
    does not, of fewer pixels, with a note. Nothing of the source's metadata goes along.
    Raises ``PhotographError`` where no copy is small enough.
    """
    size = wanted = catalogue_pixels(PixelSize(crop.width, crop.height), rule)
    kept = Metadata(xmp=title_packet(title)) if rule.title_inside else Metadata()
    while True:
        base = make_base(photograph, turn=turn, crop=crop, size=size, ppi=_SCREEN_PPI)
        image = converted(base, SCREEN, 0.0).copy_memory()
        content, quality = _best(image, rule, kept)
        most = rule.most_bytes
        if most is None or len(content) <= most:
            return CatalogueCopy(content, size, quality, _notes(size, wanted, rule))
        if size == PixelSize(1, 1):
            raise PixelsError(
                f"no copy of it keeps within {most} bytes; allow more", "catalogue-too-large"
            )
        size = fewer_pixels(size, len(content), most)


def _best(image: pyvips.Image, rule: CatalogueRule, kept: Metadata) -> tuple[bytes, int]:
    """The file of the highest quality within the bytes, else that of the least quality."""
    best = _file(image, BEST_QUALITY, kept), BEST_QUALITY
    if rule.most_bytes is None or len(best[0]) <= rule.most_bytes:
        return best
    best = _file(image, rule.least_quality, kept), rule.least_quality
    fits, too_large = rule.least_quality, BEST_QUALITY
    while len(best[0]) <= rule.most_bytes and too_large - fits > 1:
        quality = (fits + too_large) // 2
        content = _file(image, quality, kept)
        if len(content) <= rule.most_bytes:
            best, fits = (content, quality), quality
        else:
            too_large = quality
    return best


def _file(image: pyvips.Image, quality: int, kept: Metadata) -> bytes:
    profile = vips.profile_file(SCREEN.profile)
    return jpeg_file(image, quality=quality, ppi=_SCREEN_PPI, profile=profile, kept=kept)


def _notes(size: PixelSize, wanted: PixelSize, rule: CatalogueRule) -> tuple[Finding, ...]:
    if size == wanted:
        return ()
    message = (
        f"catalogue copy of {size} in place of {wanted}: at quality {rule.least_quality} more"
        f" pixels need more than {rule.most_bytes} bytes"
    )
    return (Finding("catalogue-smaller", Severity.NOTE, message, str(size), str(wanted)),)


def title_packet(title: str) -> bytes:
    """Return an XMP packet that holds the title alone, as Dublin Core has it.

    Layout: XMP part 1, from memory.
    """
    words = escape(title_inside(title))
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">'
        f'<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{words}</rdf:li></rdf:Alt>'
        "</dc:title></rdf:Description></rdf:RDF></x:xmpmeta>"
        '<?xpacket end="r"?>'
    ).encode()
