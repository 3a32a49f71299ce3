"""What goes with the files of a delivery, and the packing and naming of the whole."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from proofs.commands.delivery.order import DeliveryOptions
from proofs.commands.delivery.record import delivery_record
from proofs.errors import UsageError
from proofs.outside.delivery_folder import LIST, RECORD, SUMS, TABLE, TICKET, publish, sums_of
from proofs.outside.files import size_of, write_whole
from proofs.outside.page_pdfs import ticket_pdf
from proofs.outside.zips import write_zip
from proofs.pages.delivery.order_lists import order_text, ticket_rows
from proofs.plan.delivery.deliveries import Delivery, for_the_lab
from proofs.plan.delivery.zip_parts import ZipMember, zip_parts
from proofs.records.dialects import write_rows

PRINTED, PACKED = "made", "zips"
"""The passing folders in which the files are made, and packed."""

_SHARED = (RECORD, LIST, TABLE, TICKET)


def put_in_place(
    delivery: Delivery,
    previews: Mapping[str, bytes],
    passing: Path,
    folder: Path,
    options: DeliveryOptions,
) -> tuple[Delivery, tuple[str, ...]]:
    """Write what goes with the files, pack it where asked, and give it the name ``folder``.

    The lab's files lie in ``passing`` under ``PRINTED``, and what goes beside them there, or under
    ``PACKED`` where they are packed; ``previews`` are small JPEGs of them. Returns
    the delivery as its record tells it, and what then lies in the folder.
    """
    made = passing / PRINTED
    lies_there = for_the_lab(delivery) if options.as_zip else delivery
    ticket = ticket_pdf(lies_there, previews, paper_size=options.paper_size, font=options.font)
    digest = hashlib.sha256(ticket).hexdigest()
    names = _write_lists(replace(lies_there, ticket_sha256=digest), ticket, made)
    told = replace(delivery, ticket_sha256=digest)
    if options.as_zip:
        names, made = _write_zips(told, made, passing / PACKED), passing / PACKED
    publish(made, folder)
    return told, names


def _write_lists(delivery: Delivery, ticket: bytes, folder: Path) -> tuple[str, ...]:
    """Write ticket, table, list, record and check sums; return the names of all files."""
    contents = {
        RECORD: _record_file(delivery),
        LIST: order_text(delivery).encode(),
        TABLE: write_rows(ticket_rows(delivery)),
        TICKET: ticket,
    }
    for name, content in contents.items():
        write_whole(folder / name, content)
    names = [*_SHARED, *(file.file for file in delivery.files), *delivery.companions]
    write_whole(folder / SUMS, sums_of(folder, names))
    return (*names, SUMS)


def _record_file(delivery: Delivery) -> bytes:
    text = json.dumps(delivery_record(delivery), indent=2, ensure_ascii=False) + "\n"
    return text.encode()


def _write_zips(delivery: Delivery, folder: Path, target: Path) -> tuple[str, ...]:
    """Pack the files, each zip with its own check sums; return what then lies in the folder.

    The record in the zips tells of the lab's files alone, the one beside them of all.
    """
    files = [ZipMember(f.file, f.facts.size_bytes) for f in delivery.files]
    shared = [ZipMember(name, size_of(folder / name)) for name in _SHARED]
    try:
        parts = zip_parts(files, shared, most_bytes=delivery.lab.upload_most_bytes)
    except ValueError as error:
        raise UsageError(f"{error}; hand over a folder, or ask the lab for another way") from None
    write_whole(target / RECORD, _record_file(delivery))
    zips = []
    for number, names in enumerate(parts, 1):
        write_whole(folder / SUMS, sums_of(folder, names))
        zips.append("delivery.zip" if len(parts) == 1 else f"delivery-{number}-of-{len(parts)}.zip")
        write_zip(target / zips[-1], folder, [SUMS, *names])
    there = (RECORD, *zips, *delivery.companions)
    write_whole(target / SUMS, sums_of(target, there))
    return (*there, SUMS)
