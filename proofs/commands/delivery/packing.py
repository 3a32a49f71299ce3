"""The ticket, lists, record, check sums and zips of a delivery."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

from proofs.commands.delivery.kept import DeliveryNotes
from proofs.commands.delivery.order import DeliveryOptions
from proofs.commands.delivery.record import delivery_record
from proofs.errors import UsageError
from proofs.outside.delivery_folder import LIST, RECORD, SUMS, TABLE, TICKET, publish, sums_of
from proofs.outside.files import sha256_of_bytes, size_of, write_whole
from proofs.outside.page_pdfs import ticket_pdf
from proofs.outside.zips import write_zip
from proofs.pages.delivery.order_lists import order_text, ticket_rows
from proofs.plan.delivery.deliveries import Delivery, for_the_lab
from proofs.plan.delivery.zip_parts import ZipMember, zip_parts
from proofs.plan.making.recipes import MadeWith
from proofs.records.dialects import write_rows
from proofs.run.json_report import json_file

PRINTED, PACKED = "made", "zips"
"""The temporary folders in which the files are made, and in which they are packed."""

_SHARED = (RECORD, LIST, TABLE, TICKET)


def put_in_place(
    delivery: Delivery,
    previews: Callable[[], Mapping[str, bytes]],
    unfinished: Path,
    *,
    options: DeliveryOptions,
    notes: DeliveryNotes,
    author: str,
) -> tuple[Delivery, tuple[str, ...]]:
    """Write the lists of a delivery, pack it if asked, and move it to its folder.

    The lab's files are in ``unfinished`` under ``PRINTED``. The companions are there too or, if the
    delivery is packed, under ``PACKED``. ``previews`` returns small JPEGs of the files, ``author``
    is who enters the prints, blank if unknown. Returns the delivery with the digest of its ticket,
    and the names of the files in the folder.
    """
    made = unfinished / PRINTED
    listed = for_the_lab(delivery) if options.as_zip else delivery
    draw = partial(_ticket, listed, previews, options=options, author=author)
    key = _ticket_key(listed, options, author, notes.made_with)
    digest = _write_ticket(draw, key, made / TICKET, notes)
    names = _write_lists(replace(listed, ticket_sha256=digest), made)
    finished = replace(delivery, ticket_sha256=digest)
    if options.as_zip:
        names, made = _write_zips(finished, made, unfinished / PACKED), unfinished / PACKED
    publish(made, options.out)
    return finished, names


def _ticket(
    delivery: Delivery,
    previews: Callable[[], Mapping[str, bytes]],
    *,
    options: DeliveryOptions,
    author: str,
) -> bytes:
    return ticket_pdf(delivery, previews(), options, author=author)


def _ticket_key(delivery: Delivery, options: DeliveryOptions, author: str, own: MadeWith) -> str:
    described = replace(delivery, lab=own.lab(delivery.lab))
    return own.key("ticket", described, author, options.paper_size, own.font_sha256)


def _write_ticket(draw: Callable[[], bytes], key: str, path: Path, notes: DeliveryNotes) -> str:
    """Write the ticket, or take it over, and return its digest."""
    if kept := notes.taken_over(key, path, str):
        return kept[0]
    ticket = draw()
    write_whole(path, ticket)
    digest = sha256_of_bytes(ticket)
    notes.note(key, digest, "")
    return digest


def _write_lists(delivery: Delivery, folder: Path) -> tuple[str, ...]:
    """Write table, list, record and check sums; return the names of all files."""
    contents = {
        RECORD: json_file(delivery_record(delivery)),
        LIST: order_text(delivery).encode(),
        TABLE: write_rows(ticket_rows(delivery)),
    }
    for name, content in contents.items():
        write_whole(folder / name, content)
    names = [*_SHARED, *(file.file for file in delivery.files), *delivery.companions]
    write_whole(folder / SUMS, sums_of(folder, names))
    return (*names, SUMS)


def _write_zips(delivery: Delivery, folder: Path, target: Path) -> tuple[str, ...]:
    """Pack the files, each zip with its own check sums; return the names in the folder.

    The record in the zips lists only the lab's files; the record next to them lists all files.
    """
    files = [ZipMember(f.file, f.facts.size_bytes) for f in delivery.files]
    shared = [ZipMember(name, size_of(folder / name)) for name in _SHARED]
    try:
        parts = zip_parts(files, shared, most_bytes=delivery.lab.upload_most_bytes)
    except ValueError as error:
        raise UsageError(f"{error}; deliver a folder, or ask the lab for another way") from None
    write_whole(target / RECORD, json_file(delivery_record(delivery)))
    zips = []
    for number, names in enumerate(parts, 1):
        write_whole(folder / SUMS, sums_of(folder, names))
        zips.append("delivery.zip" if len(parts) == 1 else f"delivery-{number}-of-{len(parts)}.zip")
        write_zip(target / zips[-1], folder, [SUMS, *names])
    outside = (RECORD, *zips, *delivery.companions)
    write_whole(target / SUMS, sums_of(target, outside))
    return (*outside, SUMS)
