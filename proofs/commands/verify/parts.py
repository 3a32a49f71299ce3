"""A delivery as a folder or zips: whole, with nothing added, as its sums and its record say."""

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.commands.delivery.record import delivery_from, delivery_record
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
from proofs.pages.delivery.order_lists import order_text, ticket_rows
from proofs.plan.delivery.deliveries import Delivery, FileFacts, for_the_lab
from proofs.records.dialects import write_rows

_SEEN = ("pixels", "ppi", "bits", "channels", "format", "icc_sha256", "encoding", "copyright")
_SEEN_WORDS = {"icc_sha256": "profile"}


@dataclass(frozen=True, slots=True)
class Difference:
    """What is no longer as it was made: where, and what; ``code`` is meant for programs."""

    code: str
    where: str
    message: str


def part_differences(part: DeliveryPart) -> Iterator[Difference]:
    """Yield what is wrong with a folder or zip by its own check sums."""
    for fault in part.faults:
        yield Difference("zip" if part.name else "folder", part.name or ".", fault)
    if not part.names:
        return
    content = content_of(part, SUMS)
    if content is None:
        yield Difference("missing", _where(part, SUMS), "the check sums are missing")
        return
    sums = read_sums(content)
    if written_sums(sums) != content:
        yield Difference("sums", _where(part, SUMS), "holds more, or other, than check sums")
    for name in sorted({*sums, *part.names} - {SUMS}):
        if name not in part.names:
            yield Difference("missing", _where(part, name), "is missing")
        elif name not in sums:
            yield Difference("added", _where(part, name), "was added: no check sum names it")
        elif _digest(part, name) != sums[name]:
            yield Difference("checksum", _where(part, name), "its check sum differs")


def whole_differences(parts: Sequence[DeliveryPart], delivery: Delivery) -> Iterator[Difference]:
    """Yield what the record names and nowhere lies, and what lies there that it does not name."""
    there = {name for part in parts for name in part.names}
    packed = {part.name for part in parts if part.name}
    wanted = {RECORD, SUMS, LIST, TABLE, TICKET, *(file.file for file in delivery.files)}
    wanted |= set(delivery.companions)
    for name in sorted(wanted - there):
        yield Difference("missing", name, "is missing")
    for name in sorted(there - wanted - packed):
        yield Difference("added", name, "was added: the record does not name it")
    for part in parts:
        for name in sorted(set(part.names) & set(delivery.companions)) if part.name else ():
            yield Difference("added", _where(part, name), "was added: it is not for the lab")


def list_differences(parts: Sequence[DeliveryPart], delivery: Delivery) -> Iterator[Difference]:
    """Yield each list that does not say what the record says, or a ticket that was not made so."""
    for part in parts:
        told = for_the_lab(delivery) if part.name else delivery
        expected = {
            LIST: sha256_of_bytes(order_text(told).encode()),
            TABLE: sha256_of_bytes(write_rows(ticket_rows(told))),
            TICKET: told.ticket_sha256,
        }
        for name, digest in expected.items():
            if name in part.names and _digest(part, name) != digest:
                yield Difference("order", _where(part, name), "does not say what the record says")


def _where(part: DeliveryPart, name: str) -> str:
    return f"{part.name}: {name}" if part.name else name


def content_of(part: DeliveryPart, name: str) -> bytes | None:
    """Return a file of a part; None where it is not there or cannot be read."""
    try:
        return part.read(name) if name in part.names else None
    except ValueError:
        return None


def _digest(part: DeliveryPart, name: str) -> str:
    content = content_of(part, name)
    return sha256_of_bytes(content) if content is not None else ""


def sha256_of_bytes(content: bytes) -> str:
    """Return a check sum, in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


def facts_differences(file: str, then: FileFacts, now: FileFacts) -> Iterator[Difference]:
    """Yield what a file says of itself and did not say when it was made.

    Whatever it carries, no tag may turn it: the pixels of a finished file lie as they hang.
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
        yield Difference(word, file, f"{word} {after or 'none'}, made with {before or 'none'}")


def first_content(parts: Sequence[DeliveryPart], name: str) -> bytes | None:
    """Return a file from the first part that holds it whole."""
    held = (content_of(part, name) for part in parts if name in part.names)
    return next((content for content in held if content is not None), None)


def read_record(parts: Sequence[DeliveryPart]) -> tuple[Delivery | None, list[Difference]]:
    """Return the delivery that the parts tell of, None where none does, and what is wrong there.

    The record beside zips tells of all that there is, those in them of the lab's files alone.
    """
    held = (content_of(part, RECORD) for part in parts)
    records = dict.fromkeys(content for content in held if content is not None)
    if not records:
        return None, [Difference("missing", RECORD, "the record of the delivery is missing")]
    found: list[Difference] = []
    read: list[Delivery] = []
    for content in records:
        try:
            record = json.loads(content)
            delivery = delivery_from(record)
        except ValueError as error:
            said = "is no JSON" if isinstance(error, json.JSONDecodeError) else str(error)
            found.append(Difference("record", RECORD, said))
            continue
        if delivery_record(delivery) | {"version": record.get("version")} != record:
            found.append(Difference("record", RECORD, "does not agree with itself"))
        read.append(delivery)
    whole = max(read, key=lambda delivery: len(delivery.companions), default=None)
    if whole and any(one not in (whole, for_the_lab(whole)) for one in read):
        found.append(Difference("record", RECORD, "the parts are not of one delivery"))
    return whole, found
