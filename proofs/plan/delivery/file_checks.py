"""The checks of files for a lab, and of catalogue copies: one finding for each requirement."""

from collections.abc import Iterable, Iterator

from proofs.findings import Finding, Severity
from proofs.plan.delivery.catalogue import is_named_by, title_inside
from proofs.plan.delivery.deliveries import (
    BASELINE,
    CREDIT_IPTC,
    CREDIT_XMP,
    DESCRIBED,
    TITLE_ALONE,
    DeliveredFile,
    Delivery,
    FileFacts,
    ScreenCopy,
)
from proofs.plan.delivery.delivery_names import fits_pattern
from proofs.plan.sheets.placing import Placing, place, place_to_edge
from proofs.records.labs import FileFormat
from proofs.records.metadata_wish import Kept, MetadataWish
from proofs.records.rules import CatalogueRule

_PPI_SLACK = 0.01  # a PNG counts in whole pixels per metre

_CREDIT = (TITLE_ALONE, DESCRIBED, CREDIT_XMP, CREDIT_IPTC)

_Point = tuple[str, bool, str]


def lab_findings(delivery: Delivery, file: DeliveredFile, facts: FileFacts) -> tuple[Finding, ...]:
    """Return a finding for each requirement of the lab; ``facts`` are read from the file."""
    return _findings(_lab_points(delivery, file, facts))


def _lab_points(delivery: Delivery, file: DeliveredFile, facts: FileFacts) -> Iterator[_Point]:
    lab = delivery.lab
    placing = _placing(delivery, file)
    yield (
        "format",
        facts.format == lab.format,
        f"{facts.format.upper()}, required: {lab.format.upper()}",
    )
    if placing is not None:
        wanted = f"{placing.file} for a sheet of {file.sheet} at {lab.ppi} ppi"
        yield "pixels", facts.pixels == placing.file, f"{facts.pixels}, required: {wanted}"
    is_ppi = facts.ppi is not None and abs(facts.ppi - lab.ppi) <= _PPI_SLACK
    yield "ppi", is_ppi, f"{facts.ppi or 0:g} ppi, required: {lab.ppi}"
    yield "bits", facts.bits == lab.bits, f"{facts.bits} bits per channel, required: {lab.bits}"
    is_profile = facts.icc_sha256 == delivery.icc_sha256
    yield "profile", is_profile, f"profile: {facts.icc or 'none'}"
    if lab.format == FileFormat.JPEG:
        yield "encoding", facts.encoding == BASELINE, facts.encoding or "not a JPEG"
    if lab.most_px is not None:
        longest = max(facts.pixels.width, facts.pixels.height)
        yield "side", longest <= lab.most_px, f"{longest} px long, at most {lab.most_px}"
    if lab.most_bytes is not None:
        size = f"{facts.size_bytes / 1e6:.2f} MB, at most {lab.most_bytes / 1e6:g}"
        yield "bytes", facts.size_bytes <= lab.most_bytes, size
    is_placed = placing is not None and placing.image == file.image
    white = "no white margin" if file.is_to_edge else f"white margin of at least {lab.white}"
    yield "margin", is_placed, white
    name = file.file.rpartition("/")[2]
    yield (
        "name",
        fits_pattern(lab, name),
        f"name of {len(name)} characters, at most {lab.name_most}",
    )


def _placing(delivery: Delivery, file: DeliveredFile) -> Placing | None:
    """Where the image must lie; None if the sheet is too small for it and its margin."""
    placed = place_to_edge if file.is_to_edge else place
    try:
        return placed(delivery.lab, file.sheet, file.image.size)
    except ValueError:
        return None


def metadata_findings(
    wish: MetadataWish, facts: FileFacts, *, has_title: bool = False
) -> tuple[Finding, ...]:
    """Return a finding for each point of what a file states of its maker, and what it may carry.

    ``has_title`` is whether it also is to carry a title; ``facts`` are read from the file.
    """
    return _findings(_metadata_points(wish, facts, has_title))


def _metadata_points(wish: MetadataWish, facts: FileFacts, has_title: bool) -> Iterator[_Point]:
    for code in ("copyright", "creator"):
        found, stated = getattr(facts, code), getattr(wish, code)
        is_free = not stated and wish.kept is not Kept.NONE  # then it is the picture's own
        words = f"{code} {found or 'none'}"
        yield code, is_free or found == stated, words if is_free else _required(words, stated)
    titles = {TITLE_ALONE} if has_title else set[str]()
    allowed = {*_CREDIT, *titles} if wish.kept is Kept.CREDIT else titles
    foreign = [] if wish.kept is Kept.ALL else sorted(set(facts.extras) - allowed)
    words = f"carries {', '.join(foreign)}, which was not to be kept"
    yield "metadata", not foreign, words if foreign else f"metadata kept: {wish.kept}"


def _required(words: str, stated: str) -> str:
    return f"{words}, required: {stated or 'none'}"


def copy_findings(
    rule: CatalogueRule, copy: ScreenCopy, facts: FileFacts, *, srgb_sha256: str
) -> tuple[Finding, ...]:
    """Return a finding for each requirement of the rule; ``facts`` are read from the file.

    ``srgb_sha256`` is the checksum of the profile that a copy must carry.
    """
    points = _copy_points(rule, copy, facts, srgb_sha256)
    return _findings((f"catalogue-{code}", is_met, message) for code, is_met, message in points)


def _copy_points(
    rule: CatalogueRule, copy: ScreenCopy, facts: FileFacts, srgb_sha256: str
) -> Iterator[_Point]:
    kind = f"{facts.format.upper()}, {facts.bits} bits, {facts.encoding or 'not encoded as JPEG'}"
    is_kind = (facts.format, facts.bits, facts.encoding) == (FileFormat.JPEG, 8, BASELINE)
    yield "format", is_kind, f"{kind}; required: JPEG, 8 bits"
    is_screen = facts.channels == 3 and facts.icc_sha256 == srgb_sha256
    yield "profile", is_screen, f"profile {facts.icc or 'none'}, required: sRGB"
    for side, most in (("width", rule.width_px), ("height", rule.height_px)):
        pixels = getattr(facts.pixels, side)
        if most is not None:
            yield side, pixels <= most, f"{side} {pixels} px, at most {most}"
    if rule.most_bytes is not None:
        size = f"{facts.size_bytes / 1e6:.2f} MB, at most {rule.most_bytes / 1e6:g}"
        yield "bytes", facts.size_bytes <= rule.most_bytes, size
    name = copy.file.rpartition("/")[2]
    words = {"number": copy.entry, "title": copy.title, "category": copy.category}
    yield "name", is_named_by(rule.name, name, **words), f"name {name}, required: {rule.name}"
    if rule.title_inside:
        is_inside = facts.title == title_inside(copy.title)
        yield "title", is_inside, f"title inside: {facts.title or 'none'}"


def _findings(points: Iterable[_Point]) -> tuple[Finding, ...]:
    return tuple(
        Finding(code, Severity.MET if is_met else Severity.BROKEN, message)
        for code, is_met, message in points
    )
