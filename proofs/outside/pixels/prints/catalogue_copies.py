"""The catalogue copy of a picture for the screen: in sRGB, without a mount, within limits."""

from dataclasses import dataclass

import pyvips

from proofs.findings import Finding, Severity
from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.output_space import SCREEN
from proofs.outside.pixels.conversion.convert import converted
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.metadata.stated import finished_metadata
from proofs.outside.pixels.photograph_errors import CodedPhotographError
from proofs.outside.pixels.prints.encoding import jpeg_file
from proofs.outside.pixels.resize.print_size import sized_for_print
from proofs.outside.pixels.source.decode import Photograph
from proofs.pixel_areas import Area
from proofs.plan.delivery.catalogue import catalogue_pixels, fewer_pixels
from proofs.records.metadata_wish import NO_METADATA, MetadataWish
from proofs.records.rules import CatalogueRule

TOO_LARGE = "catalogue-too-large"  # the code of the finding
BEST_QUALITY = 95  # above it files grow fast and nobody sees more; common practice, no source
_SCREEN_PPI = 72  # screens ignore the resolution; software that asks for one expects this


@dataclass(frozen=True, slots=True)
class CatalogueCopy:
    """A finished copy: a JPEG file, its size and quality, and a note if it was made smaller."""

    content: bytes
    pixels: PixelSize
    quality: int
    notes: tuple[Finding, ...] = ()


def catalogue_copy(
    photograph: Photograph,
    rule: CatalogueRule,
    *,
    turn: int,
    crop: Area,
    title: str,
    metadata: MetadataWish = NO_METADATA,
) -> CatalogueCopy:
    """Return the copy of a photograph that the rules ask for: 8-bit sRGB, 4:4:4, plain tones.

    Its quality is the highest up to 95 that stays within the rule's bytes. If even the rule's
    least quality is too large, the copy has fewer pixels, and a note. It carries the ``metadata``
    asked for, and the title if the rules want it inside. Raises ``PhotographError`` if no copy is
    small enough.
    """
    size = wanted = catalogue_pixels(PixelSize(crop.width, crop.height), rule)
    own_title = title if rule.title_inside else None
    kept = finished_metadata(photograph.metadata, metadata, title=own_title)
    while True:
        base = sized_for_print(photograph, turn=turn, crop=crop, size=size, ppi=_SCREEN_PPI)
        image = converted(base, SCREEN, 0.0).copy_memory()
        content, quality = _best(image, rule, kept)
        most = rule.most_bytes
        if most is None or len(content) <= most:
            return CatalogueCopy(content, size, quality, _notes(size, wanted, rule))
        if size == PixelSize(1, 1):
            raise CodedPhotographError(
                f"no copy of it is within {most} bytes; allow more, or keep no metadata", TOO_LARGE
            )
        size = fewer_pixels(size, len(content), most)


def _best(image: pyvips.Image, rule: CatalogueRule, metadata: Metadata) -> tuple[bytes, int]:
    """The file of the highest quality within the rule's bytes, else that of its least quality."""
    best = _file(image, BEST_QUALITY, metadata), BEST_QUALITY
    if rule.most_bytes is None or len(best[0]) <= rule.most_bytes:
        return best
    best = _file(image, rule.least_quality, metadata), rule.least_quality
    fits, too_large = rule.least_quality, BEST_QUALITY
    while len(best[0]) <= rule.most_bytes and too_large - fits > 1:
        quality = (fits + too_large) // 2
        content = _file(image, quality, metadata)
        if len(content) <= rule.most_bytes:
            best, fits = (content, quality), quality
        else:
            too_large = quality
    return best


def _file(image: pyvips.Image, quality: int, metadata: Metadata) -> bytes:
    profile = vips.profile_file(SCREEN.profile)
    return jpeg_file(image, quality=quality, ppi=_SCREEN_PPI, profile=profile, kept=metadata)


def _notes(size: PixelSize, wanted: PixelSize, rule: CatalogueRule) -> tuple[Finding, ...]:
    if size == wanted:
        return ()
    message = (
        f"catalogue copy of {size} in place of {wanted}: at quality {rule.least_quality} more"
        f" pixels need more than {rule.most_bytes} bytes"
    )
    return (Finding("catalogue-smaller", Severity.NOTE, message, str(size), str(wanted)),)
