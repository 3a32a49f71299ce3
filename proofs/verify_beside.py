"""What lies beside the lab's files, read back: catalogue copies by their rule, and a soft proof."""

from collections.abc import Iterator, Sequence

from proofs.errors import PhotographError
from proofs.findings import Finding, Severity
from proofs.outside.delivery_source import Part
from proofs.outside.pixels.file_facts import SRGB_SHA256, file_codes, file_facts
from proofs.plan.copy_rules import copy_findings
from proofs.plan.deliveries import TITLE_ALONE, Delivery, ScreenCopy
from proofs.records.rules import CatalogueRule
from proofs.verify_parts import Difference, facts_differences, first_content, sha256_of_bytes

Read = tuple[tuple[Finding, ...], list[Difference]]


def verified_beside(
    parts: Sequence[Part], delivery: Delivery
) -> Iterator[tuple[ScreenCopy, tuple[Finding, ...], list[Difference]]]:
    """Yield each catalogue copy that is there, with its points of the rule and what differs.

    A copy that cannot be read meets none.
    """
    if delivery.catalogue is None:
        return
    for copy in delivery.catalogue.copies:
        content = first_content(parts, copy.file)
        if content is not None:
            yield copy, *_copy(delivery.catalogue.rule, copy, content)


def proof_differences(parts: Sequence[Part], delivery: Delivery) -> Iterator[Difference]:
    """Yield that the soft proof is not the one that was made."""
    proof = delivery.soft_proof
    content = first_content(parts, proof.file) if proof else None
    if proof and content is not None and sha256_of_bytes(content) != proof.sha256:
        yield Difference("soft-proof", proof.file, "is not the one that was made")


def _copy(rule: CatalogueRule, copy: ScreenCopy, content: bytes) -> Read:
    found = []
    if sha256_of_bytes(content) != copy.sha256:
        found.append(Difference("checksum", copy.file, "its check sum differs from the record's"))
    try:
        facts = file_facts(content)
        file_codes(content)  # all of it has to be there
    except PhotographError as error:
        return (), [*found, Difference("unreadable", copy.file, str(error))]
    found += facts_differences(copy.file, copy.facts, facts)
    allowed = {TITLE_ALONE} if rule.title_inside else set()
    if extras := sorted(set(facts.extras) - allowed):
        found.append(Difference("metadata", copy.file, f"carries {', '.join(extras)}"))
    points = copy_findings(rule, copy, facts, srgb_sha256=SRGB_SHA256)
    found += [
        Difference(point.code, copy.file, f"not as the rules ask: {point.message}")
        for point in points
        if point.severity > Severity.MET
    ]
    return points, found
