"""A delivery read back: what has changed since it was made, and which rules its files meet.

Only the delivery itself is read: its record says what each file was made to be, and the files
are measured again. Anybody may have written both, so whatever is wrong is a difference.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from proofs.commands.verify.parts import (
    Difference,
    SizeLimit,
    facts_differences,
    first_content,
    list_differences,
    part_differences,
    size_limit,
    sum_fault,
    whole_differences,
)
from proofs.commands.verify.records import read_record
from proofs.errors import PhotographError
from proofs.findings import Finding, Severity, Status
from proofs.inspection.margins import printed_outside
from proofs.outside.delivery_source import DeliveryPart
from proofs.outside.files import sha256_of_bytes
from proofs.outside.pixels.prints.file_facts import SRGB_SHA256, file_facts, pixel_bands
from proofs.plan.delivery.deliveries import (
    DeliveredFile,
    Delivery,
    FileFacts,
    ScreenCopy,
    sight_findings,
)
from proofs.plan.delivery.file_checks import copy_findings, lab_findings, metadata_findings
from proofs.records.labs import FileFormat

_NOT_ASKED = "not as was asked for"
_JPEG_BLOCK, _JPEG_SLACK = 8, 3  # an encoder blurs within its blocks of 8 pixels


@dataclass(frozen=True, slots=True)
class FileVerified:
    """What was measured on one file: the lab's points, and the rules on the visible size.

    ``planned`` are the recorded verdicts on rules that cannot be checked on the file.
    """

    file: str
    entry: str
    lab: tuple[Finding, ...]
    rules: tuple[Finding, ...]
    planned: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Verified:
    """A delivery read back; ``delivery`` is None if its record cannot be understood."""

    delivery: Delivery | None
    files: tuple[FileVerified, ...]
    differences: tuple[Difference, ...]


def verify(parts: Sequence[DeliveryPart]) -> Verified:
    """Return what has changed in a delivery since it was made, and what its files meet."""
    delivery, wrong = read_record(parts)
    limit = size_limit(parts, delivery)
    found = [*(d for part in parts for d in part_differences(part, limit)), *wrong]
    if delivery is None:
        return Verified(None, (), tuple(found))
    found += whole_differences(parts, delivery)
    found += list_differences(parts, delivery, limit)
    files = []
    copies = delivery.catalogue.copies if delivery.catalogue else ()
    every: tuple[DeliveredFile | ScreenCopy, ...] = (*delivery.files, *copies)
    for made in every:
        try:
            content = first_content(parts, made.file, limit)
        except ValueError as error:
            found.append(Difference(Status.UNREADABLE, made.file, str(error)))
            continue
        if content is not None:
            if isinstance(made, ScreenCopy):
                verified, differing = _copy(delivery, made, content)
            else:
                verified, differing = _file(delivery, made, content)
            files += [verified] if verified else []
            found += differing
    found += proof_differences(parts, delivery, limit)
    return Verified(delivery, tuple(files), tuple(dict.fromkeys(found)))


def _facts(
    made: DeliveredFile | ScreenCopy, content: bytes
) -> tuple[FileFacts | None, list[Difference]]:
    """What a file says of itself, None if it cannot be read, and what differs in that."""
    found = []
    if sha256_of_bytes(content) != made.sha256:
        found.append(Difference("checksum", made.file, "its check sum differs from the record's"))
    try:
        facts = file_facts(content)
    except PhotographError as error:
        return None, [*found, Difference(Status.UNREADABLE, made.file, str(error))]
    return facts, [*found, *facts_differences(made.file, made.facts, facts)]


def _file(
    delivery: Delivery, file: DeliveredFile, content: bytes
) -> tuple[FileVerified | None, list[Difference]]:
    facts, found = _facts(file, content)
    if facts is None:
        return None, found
    found += _unmet(file.file, _NOT_ASKED, metadata_findings(delivery.metadata, facts))
    try:
        outside = _outside(delivery, file, content) if facts.pixels == file.facts.pixels else 0
    except PhotographError as error:
        return None, [*found, Difference(Status.UNREADABLE, file.file, str(error))]
    if outside:
        found.append(
            Difference("margin", file.file, f"{outside} pixels of its white margin are printed")
        )
    lab = lab_findings(delivery, file, facts)
    found += _unmet(file.file, "not as the lab asks", lab)
    rules = sight_findings(delivery.lab, file, facts.ppi) if facts.ppi else ()
    recorded = {f.code: f for f in file.verdicts}
    found += [
        Difference(f.code, file.file, f"{f.message}: now {f.severity.word}")
        for f in rules
        if f.code not in recorded or recorded[f.code].severity is not f.severity
    ]
    measured = {f.code for f in rules}
    planned = tuple(f for f in file.verdicts if f.code not in measured)
    return FileVerified(file.file, file.entry, lab, rules, planned), found


def _unmet(file: str, words: str, findings: Sequence[Finding]) -> list[Difference]:
    return [
        Difference(finding.code, file, f"{words}: {finding.message}")
        for finding in findings
        if finding.severity > Severity.MET
    ]


def _outside(delivery: Delivery, file: DeliveredFile, content: bytes) -> int:
    """The number of pixels printed where there was white; 0 if the channels have changed."""
    is_jpeg = delivery.lab.format == FileFormat.JPEG
    spread, slack = (_JPEG_BLOCK, _JPEG_SLACK) if is_jpeg else (0, 0)
    count = 0
    for first_row, codes in pixel_bands(content):
        if codes.shape[2] != len(delivery.white):
            continue
        printed = (file.picture, *file.margin_marks)
        lowered = (replace(area, top=area.top - first_row) for area in printed)
        areas = [area for area in lowered if area.bottom + spread > 0]
        count += printed_outside(codes, delivery.white, areas, spread=spread, slack=slack)
    return count


def proof_differences(
    parts: Sequence[DeliveryPart], delivery: Delivery, limit: SizeLimit
) -> Iterator[Difference]:
    """Yield each soft proof that has changed."""
    proof = delivery.soft_proof
    for part in parts:
        if proof and proof.file in part.sizes and sum_fault(part, proof.file, proof.sha256, limit):
            yield Difference("soft-proof", proof.file, "has changed since it was made")


def _copy(
    delivery: Delivery, copy: ScreenCopy, content: bytes
) -> tuple[FileVerified | None, list[Difference]]:
    facts, found = _facts(copy, content)
    if facts is None or delivery.catalogue is None:
        return None, found
    rule = delivery.catalogue.rule
    try:
        for _ in pixel_bands(content) if facts.pixels == copy.facts.pixels else ():
            pass  # a file that ends early raises
    except PhotographError as error:
        found.append(Difference(Status.UNREADABLE, copy.file, str(error)))
    carried = metadata_findings(delivery.metadata, facts, has_title=rule.title_inside)
    found += _unmet(copy.file, _NOT_ASKED, carried)
    points = copy_findings(rule, copy, facts, srgb_sha256=SRGB_SHA256)
    found += _unmet(copy.file, "not as the rules ask", points)
    return FileVerified(copy.file, copy.entry, (), points, ()), found
