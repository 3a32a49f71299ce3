"""The folder or zips of a delivery, compared with its check sums, its lists and its record."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from proofs.outside.delivery_folder import (
    LIST,
    RECORD,
    SUMS,
    TABLE,
    TICKET,
    read_sums,
    written_sums,
)
from proofs.outside.delivery_source import DeliveryPart
from proofs.outside.files import sha256_of_bytes
from proofs.outside.pixels.source.file_limits import largest_file
from proofs.pages.delivery.order_lists import order_text, ticket_rows
from proofs.plan.delivery.deliveries import Delivery, FileFacts, for_the_lab
from proofs.records.dialects import write_rows

_SEEN = (
    *("pixels", "ppi", "bits", "channels", "format", "icc_sha256", "encoding", "copyright"),
    *("creator", "title", "extras", "size_bytes"),
)
_SEEN_WORDS = {"icc_sha256": "profile", "size_bytes": "bytes", "extras": "metadata"}
LARGEST_SUMS = 4_000_000  # 20,000 names of 100 characters take three quarters
LARGEST_OTHER = 1_000_000_000  # ticket, lists, soft proof

SizeLimit = Callable[[str], int]
"""The most bytes that a file of this name may have to be read."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Something that has changed since the delivery was made; ``code`` is meant for programs."""

    code: str
    where: str
    message: str


def size_limit(parts: Sequence[DeliveryPart], delivery: Delivery | None) -> SizeLimit:
    """Return the most bytes to read of each file: what its picture can need by the record."""
    pictures = [(file.file, file.facts) for file in delivery.files] if delivery else []
    copies = delivery.catalogue.copies if delivery and delivery.catalogue else ()
    pictures += [(copy.file, copy.facts) for copy in copies]
    most = {name: largest_file(facts.pixels, facts.channels) for name, facts in pictures}
    together = sum(most.values()) + LARGEST_OTHER
    most |= {part.name: together for part in parts if part.name}
    return lambda name: most.get(name, LARGEST_OTHER)


def part_differences(part: DeliveryPart, limit: SizeLimit) -> Iterator[Difference]:
    """Yield what is wrong with a folder or zip by its own check sums."""
    for fault in part.faults:
        yield Difference("zip" if part.name else "folder", part.name or ".", fault)
    if not part.sizes:
        return
    if SUMS not in part.sizes:
        yield Difference("missing", _where(part, SUMS), "the check sums are missing")
        return
    try:
        content = part.read(SUMS, most=LARGEST_SUMS)
    except ValueError as error:
        yield Difference("sums", _where(part, SUMS), str(error))
        return
    sums = read_sums(content)
    if written_sums(sums) != content:
        yield Difference("sums", _where(part, SUMS), "holds something other than check sums")
    for name in sorted({*sums, *part.sizes} - {SUMS}):
        if name not in part.sizes:
            yield Difference("missing", _where(part, name), "is missing")
        elif name not in sums:
            yield Difference("added", _where(part, name), "was added: it has no check sum")
        elif fault := sum_fault(part, name, sums[name], limit):
            yield Difference("checksum", _where(part, name), fault)


def whole_differences(parts: Sequence[DeliveryPart], delivery: Delivery) -> Iterator[Difference]:
    """Yield each file that the record names but is missing, or that it does not name."""
    there = {name for part in parts for name in part.sizes}
    packed = {part.name for part in parts if part.name}
    wanted = {RECORD, SUMS, LIST, TABLE, TICKET, *(file.file for file in delivery.files)}
    wanted |= set(delivery.companions)
    for name in sorted(wanted - there):
        yield Difference("missing", name, "is missing")
    for name in sorted(there - wanted - packed):
        yield Difference("added", name, "was added: the record does not name it")
    for part in parts:
        for name in sorted(set(part.sizes) & set(delivery.companions)) if part.name else ():
            yield Difference("added", _where(part, name), "was added: it is not for the lab")


def list_differences(
    parts: Sequence[DeliveryPart], delivery: Delivery, limit: SizeLimit
) -> Iterator[Difference]:
    """Yield each list that does not match the record, and a ticket that was changed."""
    for part in parts:
        listed = for_the_lab(delivery) if part.name else delivery
        expected = {
            LIST: sha256_of_bytes(order_text(listed).encode()),
            TABLE: sha256_of_bytes(write_rows(ticket_rows(listed))),
            TICKET: listed.ticket_sha256,
        }
        for name, digest in expected.items():
            if name in part.sizes and sum_fault(part, name, digest, limit):
                yield Difference("order", _where(part, name), "does not match the record")


def _where(part: DeliveryPart, name: str) -> str:
    return f"{part.name}: {name}" if part.name else name


def sum_fault(part: DeliveryPart, name: str, expected: str, limit: SizeLimit) -> str:
    """Return why a file does not match this check sum, or nothing."""
    try:
        found = part.sha256(name, most=limit(name))
    except ValueError as error:
        return str(error)
    return "" if found == expected else "its check sum differs"


def facts_differences(file: str, then: FileFacts, now: FileFacts) -> Iterator[Difference]:
    """Yield what a file states about itself that it did not state when it was made.

    No tag may turn it: the pixels of a finished file are stored the way the picture hangs.
    """
    if now.is_turned:
        yield Difference("turning", file, "a tag turns it; it was made without one")
    for key in _SEEN:
        before, after = getattr(then, key), getattr(now, key)
        if before == after:
            continue
        word = _SEEN_WORDS.get(key, key)
        if key == "icc_sha256":
            before, after = then.icc, now.icc
        if key == "extras":
            before, after = ", ".join(then.extras), ", ".join(now.extras)
        yield Difference(word, file, f"{word} {after or 'none'}, made with {before or 'none'}")


def first_content(parts: Sequence[DeliveryPart], name: str, limit: SizeLimit) -> bytes | None:
    """Return a file from the first part that holds it, or None if none does.

    Raises ``ValueError`` if no part that holds it can be read.
    """
    fault: ValueError | None = None
    for part in parts:
        try:
            if name in part.sizes:
                return part.read(name, most=limit(name))
        except ValueError as error:
            fault = error
    if fault is not None:
        raise fault
    return None
