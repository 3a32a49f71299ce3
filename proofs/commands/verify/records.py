"""The records in a delivery, read back and compared with one another."""

from collections.abc import Sequence
from itertools import islice

from proofs.commands.delivery.record import delivery_record
from proofs.commands.delivery.record_reading import delivery_from
from proofs.commands.verify.parts import Difference
from proofs.outside.delivery_folder import RECORD
from proofs.outside.delivery_source import DeliveryPart
from proofs.plan.delivery.deliveries import Delivery, for_the_lab
from proofs.records.json_values import read_json

LARGEST_RECORD = 16_000_000  # about 4000 files; a much larger record takes minutes
_MOST_RECORDS = 2  # one next to the zips, and the same one in each of them


def read_record(parts: Sequence[DeliveryPart]) -> tuple[Delivery | None, list[Difference]]:
    """Return the delivery that the parts describe, or None, and what is wrong with its records.

    The record next to zips describes all files, those in the zips only the lab's.
    """
    found: list[Difference] = []
    contents: dict[bytes, None] = {}
    for part in parts:
        try:
            if RECORD in part.sizes and len(contents) <= _MOST_RECORDS:
                contents[part.read(RECORD, most=LARGEST_RECORD)] = None
        except ValueError as error:
            found.append(_wrong(str(error)))
    if not contents:
        missing = Difference("missing", RECORD, "the record of the delivery is missing")
        return None, found or [missing]
    if len(contents) > _MOST_RECORDS:
        found.append(_wrong("the parts are from different deliveries"))
    read: list[Delivery] = []
    for content in islice(contents, _MOST_RECORDS):
        try:
            record = read_json(content)
            delivery = delivery_from(record.value)
        except ValueError as error:
            found.append(_wrong(str(error)))
            continue
        if delivery_record(delivery) | {"version": record["version"].value} != record.value:
            found.append(_wrong("contradicts itself"))
        read.append(delivery)
    whole = max(read, key=lambda delivery: len(delivery.companions), default=None)
    if whole and any(one not in (whole, for_the_lab(whole)) for one in read):
        found.append(_wrong("the parts are from different deliveries"))
    return whole, found


def _wrong(words: str) -> Difference:
    return Difference("record", RECORD, words)
