"""The record of a delivery, found in its parts: all of them have to tell of the same one."""

import json
from collections.abc import Sequence

from proofs.delivery_record import delivery_from, delivery_record
from proofs.outside.delivery_folder import RECORD
from proofs.outside.delivery_source import Part
from proofs.plan.deliveries import Delivery, for_the_lab
from proofs.verify_parts import Difference, content_of


def read_record(parts: Sequence[Part]) -> tuple[Delivery | None, list[Difference]]:
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
    whole = max(read, key=lambda delivery: len(delivery.beside), default=None)
    if whole and any(one not in (whole, for_the_lab(whole)) for one in read):
        found.append(Difference("record", RECORD, "the parts are not of one delivery"))
    return whole, found
