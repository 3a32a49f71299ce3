"""A delivery read back: what of it is no longer as it was made, and which rules its files meet.

Nothing but the delivery itself is asked: its record says what each file was made to be, and
the files are measured again.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.errors import PhotographError
from proofs.findings import Finding, Severity
from proofs.inspection.margins import printed_outside
from proofs.outside.delivery_source import Part
from proofs.outside.pixels.file_facts import file_codes, file_facts
from proofs.plan.deliveries import DeliveredFile, Delivery, sight_findings
from proofs.plan.file_rules import lab_findings
from proofs.verify_beside import proof_differences, verified_beside
from proofs.verify_parts import (
    Difference,
    facts_differences,
    first_content,
    list_differences,
    part_differences,
    sha256_of_bytes,
    whole_differences,
)
from proofs.verify_record import read_record

_JPEG_BLOCK, _JPEG_SLACK = 8, 3  # an encoder blurs within its blocks of 8 pixels


@dataclass(frozen=True, slots=True)
class FileVerified:
    """What was measured on one file: the lab's points, and the rules on the visible size.

    ``planned`` are the verdicts of rules that no file can show, as the record tells them.
    """

    file: str
    entry: str
    lab: tuple[Finding, ...]
    rules: tuple[Finding, ...]
    planned: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Verified:
    """A delivery read back; ``delivery`` is None where its record cannot be understood."""

    delivery: Delivery | None
    files: tuple[FileVerified, ...]
    differences: tuple[Difference, ...]


def verify(parts: Sequence[Part]) -> Verified:
    """Return what became of a delivery since it was made."""
    delivery, wrong = read_record(parts)
    found = [*(d for part in parts for d in part_differences(part)), *wrong]
    if delivery is None:
        return Verified(None, (), tuple(found))
    found += whole_differences(parts, delivery)
    found += list_differences(parts, delivery)
    files = []
    for file in delivery.files:
        content = first_content(parts, file.file)
        if content is not None:
            verified, differing = _file(delivery, file, content)
            files += [verified] if verified else []
            found += differing
    for copy, rules, differing in verified_beside(parts, delivery):
        files += [FileVerified(copy.file, copy.entry, (), rules, ())] if rules else []
        found += differing
    found += proof_differences(parts, delivery)
    return Verified(delivery, tuple(files), tuple(dict.fromkeys(found)))


def _file(
    delivery: Delivery, file: DeliveredFile, content: bytes
) -> tuple[FileVerified | None, list[Difference]]:
    found = []
    if sha256_of_bytes(content) != file.sha256:
        found.append(Difference("checksum", file.file, "its check sum differs from the record's"))
    try:
        facts = file_facts(content)
        outside = _outside(delivery, file, content) if facts.pixels == file.facts.pixels else 0
    except PhotographError as error:
        return None, [*found, Difference("unreadable", file.file, str(error))]
    found += facts_differences(file.file, file.facts, facts)
    if facts.extras and not delivery.keeps_metadata:
        found.append(Difference("metadata", file.file, f"carries {', '.join(facts.extras)}"))
    if outside:
        found.append(Difference("margin", file.file, f"{outside} pixels of its white are printed"))
    lab = lab_findings(delivery, file, facts)
    found += [
        Difference(f.code, file.file, f"not as the lab asks: {f.message}")
        for f in lab
        if f.severity > Severity.MET
    ]
    rules = sight_findings(file, facts.ppi) if facts.ppi else ()
    recorded = {f.code: f for f in file.verdicts}
    found += [
        Difference(f.code, file.file, f"{f.message}: {f.severity.word}, not as it was made")
        for f in rules
        if f.code not in recorded or recorded[f.code].severity is not f.severity
    ]
    measured = {f.code for f in rules}
    planned = tuple(f for f in file.verdicts if f.code not in measured)
    return FileVerified(file.file, file.entry, lab, rules, planned), found


def _outside(delivery: Delivery, file: DeliveredFile, content: bytes) -> int:
    """How many pixels are printed where there was white; none where there is another picture."""
    codes = file_codes(content)
    if codes.shape[2] != len(delivery.white):
        return 0
    is_jpeg = delivery.lab.format == "jpeg"
    return printed_outside(
        codes,
        delivery.white,
        (file.image, *file.beside),
        spread=_JPEG_BLOCK if is_jpeg else 0,
        slack=_JPEG_SLACK if is_jpeg else 0,
    )
