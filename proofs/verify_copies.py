"""The catalogue copies of a delivery read back: what differs, and which rules each meets."""

from proofs.errors import PhotographError
from proofs.findings import Finding, Severity
from proofs.outside.pixels.file_facts import file_codes, file_facts
from proofs.plan.copy_rules import copy_findings
from proofs.plan.deliveries import Catalogue, ScreenCopy
from proofs.verify_parts import Difference, facts_differences, sha256_of_bytes


def verified_copy(
    catalogue: Catalogue, copy: ScreenCopy, content: bytes
) -> tuple[tuple[Finding, ...], list[Difference]]:
    """Return what the rules say to a copy, measured on its file, and what of it differs."""
    found = []
    if sha256_of_bytes(content) != copy.sha256:
        found.append(Difference("checksum", copy.file, "its check sum differs from the record's"))
    try:
        facts = file_facts(content)
        file_codes(content)
    except PhotographError as error:
        return (), [*found, Difference("unreadable", copy.file, str(error))]
    found += facts_differences(copy.file, copy.facts, facts)
    if extras := set(facts.extras) - ({"XMP"} if catalogue.rule.title_inside else set()):
        found.append(Difference("metadata", copy.file, f"carries {', '.join(sorted(extras))}"))
    rules = copy_findings(catalogue.rule, copy, facts)
    found += [
        Difference(f.code, copy.file, f"not as the rules ask: {f.message}")
        for f in rules
        if f.severity > Severity.MET
    ]
    return rules, found
