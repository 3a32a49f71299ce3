"""What the rules ask of a catalogue copy, each point with its verdict: measured on the file."""

from collections.abc import Iterator

from proofs.findings import Finding, Severity
from proofs.plan.delivery.catalogue import is_named_by, title_inside
from proofs.plan.delivery.deliveries import BASELINE, FileFacts, ScreenCopy
from proofs.records.labs import FileFormat
from proofs.records.rules import CatalogueRule


def copy_findings(
    rule: CatalogueRule, copy: ScreenCopy, facts: FileFacts, *, srgb_sha256: str
) -> tuple[Finding, ...]:
    """Return the verdict on each point that the rule asks for; ``facts`` are the file's own.

    ``srgb_sha256`` is the check sum of the profile that a copy has to carry.
    """
    return tuple(
        Finding(f"catalogue-{code}", Severity.MET if is_met else Severity.BROKEN, message)
        for code, is_met, message in _points(rule, copy, facts, srgb_sha256)
    )


def _points(
    rule: CatalogueRule, copy: ScreenCopy, facts: FileFacts, srgb_sha256: str
) -> Iterator[tuple[str, bool, str]]:
    kind = f"{facts.format.upper()}, {facts.bits} bits, {facts.encoding or 'not encoded as JPEG'}"
    is_kind = (facts.format, facts.bits, facts.encoding) == (FileFormat.JPEG, 8, BASELINE)
    yield "format", is_kind, f"{kind}; asked JPEG, 8 bits"
    is_screen = facts.channels == 3 and facts.icc_sha256 == srgb_sha256
    yield "profile", is_screen, f"profile {facts.icc or 'none'}, asked sRGB"
    for side, most in (("width", rule.width_px), ("height", rule.height_px)):
        pixels = getattr(facts.pixels, side)
        if most is not None:
            yield side, pixels <= most, f"{side} {pixels} px, at most {most}"
    if rule.most_bytes is not None:
        size = f"{facts.size_bytes / 1e6:.2f} MB, at most {rule.most_bytes / 1e6:g}"
        yield "bytes", facts.size_bytes <= rule.most_bytes, size
    name = copy.file.rpartition("/")[2]
    words = {"number": copy.entry, "title": copy.title, "category": copy.category}
    yield "name", is_named_by(rule.name, name, **words), f"name {name}, asked {rule.name}"
    if rule.title_inside:
        is_inside = facts.title == title_inside(copy.title)
        yield "title", is_inside, f"title inside: {facts.title or 'none'}"
