"""``delivery.json`` read back: a delivery from a record that anybody may have written.

Every value is checked before it is used, so that no later step meets one that it cannot take.
"""

import datetime
import re
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from proofs.commands.delivery.record import KIND, SCHEMA
from proofs.errors import RecordError
from proofs.findings import Finding, Severity
from proofs.lengths import NM_PER_MM, Borders, Edge, Length, PixelSize, Size
from proofs.pixel_areas import Area
from proofs.plan.checks.limits import AREA, LENGTH, VISIBLE_LIMITS
from proofs.plan.delivery.catalogue import FOLDER
from proofs.plan.delivery.deliveries import (
    Catalogue,
    Companion,
    DeliveredFile,
    Delivery,
    FileFacts,
    ScreenCopy,
)
from proofs.plan.delivery.soft_proofs import SOFT_PROOF
from proofs.records.job import NO_CUSTOMER, Customer
from proofs.records.json_values import JsonField
from proofs.records.lab_charges import Charges
from proofs.records.labs import Compression, FileFormat, Lab, RenderingIntent
from proofs.records.metadata_wish import Kept, MetadataWish
from proofs.records.rules import CatalogueRule, VisibleRule

_PRINTS = "prints"  # the folder that deliveries are made with
_PRINTED_FORMATS = (FileFormat.JPEG, FileFormat.TIFF, FileFormat.PNG)
_SHA256, _SHA256_WORDS = "[0-9a-f]{64}", "a SHA-256 of 64 hexadecimal digits"
_FILE_NAME = "[A-Za-z0-9_-][A-Za-z0-9._-]{0,199}"
_PRICE = r"[0-9]{1,9}\.[0-9]{2}"
_PERCENT = r"[0-9]{1,2}(\.[0-9]{1,3})?"
_SEVERITIES = {severity.word: severity for severity in Severity}

# Far beyond what any delivery holds; they keep the work on a record within bounds.
_MOST_FILES, _MOST_LISTED = 10_000, 1000
_MOST_CARRIED = 20_000  # a tag each
_MOST_COPIES = 100_000
_LONGEST_MM, _LARGEST_MM2 = 100_000, 10_000_000_000
_MOST_PX, _MOST_PPI = 1_000_000, 100_000
_MOST_CHANNELS, _LARGEST_CODE = 1000, 65_535
_MOST_BYTES = 10**15
_LARGEST_MEASURE = 1e15
_LONGEST_LINE = 1000


def delivery_from(value: object) -> Delivery:
    """Return the delivery that a value of JSON describes.

    Raises ``RecordError`` for the record of an earlier version, ``ValueError`` with the place of
    the fault for any other value.
    """
    record = JsonField(value)
    if not isinstance(value, dict) or not {"schema", "program", "kind"} <= value.keys():
        raise ValueError("is not a record of a delivery by this program")
    schema = record["schema"].whole(1, 10**9)
    if (value["program"], value["kind"]) != ("proofs", KIND) or schema > SCHEMA:
        raise ValueError("is not a record of a delivery that this version of the program knows")
    if schema < SCHEMA:
        raise RecordError(
            f"the delivery was made by an earlier version of the program (its record has schema"
            f" {schema}, not {SCHEMA}); read it back with that version, or make it again"
        )
    return _delivery(record)


def _delivery(record: JsonField) -> Delivery:
    record["version"].text(most=_LONGEST_LINE)
    files = tuple(_file(file) for file in record["files"].items(least=1, most=_MOST_FILES))
    _refuse_repeated("files", [file.file for file in files])
    return Delivery(
        lab=_lab(record["lab"]),
        icc_sha256=_digest_or_blank(record["icc_sha256"]),
        white=tuple(code.whole(0, _LARGEST_CODE) for code in record["white"].items(most=4)),
        rules=record["rules"].or_none(JsonField.text) or "",
        files=files,
        metadata=MetadataWish(
            kept=record["metadata_kept"].choice(Kept),
            copyright=record["copyright"].or_none(JsonField.text) or "",
            creator=record["creator"].or_none(JsonField.text) or "",
        ),
        needed_by=record["needed_by"].or_none(_date),
        ticket_sha256=_digest_or_blank(record["ticket_sha256"]),
        catalogue=record["catalogue"].or_none(_catalogue),
        soft_proof=record["soft_proof"].or_none(_soft_proof),
        customer=record["customer"].or_none(_customer) or NO_CUSTOMER,
    )


def _refuse_repeated(place: str, names: Sequence[str]) -> None:
    """Refuse a list that names a file twice; some systems ignore the case of letters."""
    seen: set[str] = set()
    for name in names:
        if name.lower() in seen:
            raise ValueError(f"{place}: {name} is listed twice")
        seen.add(name.lower())


def _lab(record: JsonField) -> Lab:
    return Lab(
        source="",
        colour_profile="",
        sheets=(),
        name=_line(record["name"]),
        title=_line(record["title"]),
        ppi=record["ppi"].whole(1, _MOST_PPI),
        format=record["format"].choice(_PRINTED_FORMATS),
        bits=record["bits"].whole(1, 64),
        quality=record["quality"].whole(1, 100),
        compression=record["compression"].choice(Compression),
        intent=record["intent"].choice(RenderingIntent),
        black_point_compensation=record["black_point_compensation"].truth(),
        sharpens=record["sharpens"].truth(),
        scale_error=record["scale_error"].number(0, 1),
        pattern=_line(record["pattern"]),
        name_most=record["name_most"].whole(1, _LONGEST_LINE),
        most_px=record["most_px"].or_none(lambda most: most.whole(1, _MOST_BYTES)),
        most_bytes=record["most_bytes"].or_none(_bytes),
        upload_most_bytes=record["upload_most_bytes"].or_none(_bytes),
        currency=_line(record["currency"]),
        margin=_length(record["margin_mm"]),
        edge_loss=_length(record["edge_loss_mm"]),
        bleed=_length(record["bleed_mm"]),
        charges=_charges(record),
    )


def _charges(record: JsonField) -> Charges:
    return Charges(
        postage=record["postage"].or_none(_price),
        postage_free_from=record["postage_free_from"].or_none(_price),
        tax_percent=record["tax_percent"].or_none(_percent),
        prices_include_tax=record["prices_include_tax"].truth(),
    )


def _customer(record: JsonField) -> Customer:
    return Customer(
        name=record["name"].text(most=_LONGEST_LINE),
        address=record["address"].text(most=_LONGEST_LINE),
        account=record["account"].text(most=_LONGEST_LINE),
    )


def _file(record: JsonField) -> DeliveredFile:
    return DeliveredFile(
        file=_name_in(_PRINTS, record["file"]),
        entry=_line(record["entry"]),
        title=record["title"].text(),
        copies=record["copies"].whole(1, _MOST_COPIES),
        paper=_line(record["paper"]),
        finish=_line(record["finish"]),
        sheet=_size(record["sheet_mm"]),
        image=_area(record["image_px"]),
        margin_marks=tuple(map(_area, record["margin_marks_px"].items(most=_MOST_LISTED))),
        facts=_facts(record),
        sha256=_digest(record["sha256"]),
        hidden=_borders(record["hidden_mm"]),
        opening=record["opening_mm"].or_none(_size),
        slack=_size(record["sight_slack_mm"]),
        limits=_limits(record["limits"]),
        verdicts=tuple(map(_finding, record["verdicts"].items(most=_MOST_LISTED))),
        missing=tuple(why.text() for why in record["not_there"].items(most=_MOST_LISTED)),
        price=record["price"].or_none(_price),
        is_to_edge=record["edge_to_edge"].truth(),
    )


def _facts(record: JsonField) -> FileFacts:
    pixels = record["pixels"]
    width, height = (pixels[side].whole(1, _MOST_PX) for side in ("width", "height"))
    return FileFacts(
        format=record["format"].choice(FileFormat),
        pixels=PixelSize(width, height),
        ppi=record["ppi"].or_none(lambda ppi: ppi.number(1, _MOST_PPI)),
        bits=record["bits"].whole(0, 64),
        channels=record["channels"].whole(1, _MOST_CHANNELS),
        icc=record["icc"].text(),
        icc_sha256=_digest_or_blank(record["icc_sha256"]),
        size_bytes=record["bytes"].whole(0, _MOST_BYTES),
        encoding=_line(record["encoding"]),
        copyright=record["copyright"].text(),
        creator=record["creator"].text(),
        title=record["title_inside"].or_none(JsonField.text) or "",
        extras=tuple(map(_line, record["carries"].items(most=_MOST_CARRIED))),
    )


def _limits(record: JsonField) -> VisibleRule:
    read: dict[str, Callable[[JsonField], object]] = {LENGTH.unit: _length, AREA.unit: _square_nm}
    limits: dict[str, Any] = {
        limit.key: record[limit.record_key].or_none(read[limit.measure.quantity.unit])
        for limit in VISIBLE_LIMITS
    }
    return VisibleRule(**limits)


def _finding(record: JsonField) -> Finding:
    remedy = record["remedy"].or_none(JsonField.text)
    return Finding(
        code=_line(record["code"]),
        severity=_SEVERITIES[record["severity"].choice(_SEVERITIES)],
        message=record["message"].text(),
        measured=record["measured"].or_none(_measure),
        limit=record["limit"].or_none(_measure),
        unit=record["unit"].or_none(_line),
        remedy=remedy or "",
    )


def _measure(record: JsonField) -> float | str:
    if isinstance(record.value, str):
        return record.text()
    return record.number(-_LARGEST_MEASURE, _LARGEST_MEASURE)


def _catalogue(record: JsonField) -> Catalogue:
    copies = tuple(map(_copy, record["copies"].items(most=_MOST_FILES)))
    _refuse_repeated("catalogue.copies", [copy.file for copy in copies])
    return Catalogue(_rule(record["rule"]), copies)


def _rule(record: JsonField) -> CatalogueRule:
    return CatalogueRule(
        width_px=record["width_px"].or_none(lambda most: most.whole(1, _MOST_BYTES)),
        height_px=record["height_px"].or_none(lambda most: most.whole(1, _MOST_BYTES)),
        most_bytes=record["most_bytes"].or_none(_bytes),
        least_quality=record["least_quality"].whole(1, 100),
        name=_line(record["name"]),
        title_inside=record["title_inside"].truth(),
    )


def _copy(record: JsonField) -> ScreenCopy:
    return ScreenCopy(
        file=_name_in(FOLDER, record["file"]),
        entry=_line(record["entry"]),
        title=record["title"].text(),
        category=record["category"].text(),
        facts=_facts(record),
        sha256=_digest(record["sha256"]),
    )


def _soft_proof(record: JsonField) -> Companion:
    return Companion(record["file"].choice((SOFT_PROOF,)), _digest(record["sha256"]))


def _area(record: JsonField) -> Area:
    return Area(
        left=record["left"].whole(0, _MOST_PX),
        top=record["top"].whole(0, _MOST_PX),
        width=record["width"].whole(1, _MOST_PX),
        height=record["height"].whole(1, _MOST_PX),
    )


def _size(record: JsonField) -> Size:
    return Size(_length(record["width"]), _length(record["height"]))


def _borders(record: JsonField) -> Borders:
    return Borders(*(_length(record[side]) for side in Edge))


def _length(record: JsonField) -> Length:
    return Length(round(record.number(0, _LONGEST_MM) * NM_PER_MM))


def _square_nm(record: JsonField) -> int:
    return round(record.number(0, _LARGEST_MM2) * NM_PER_MM**2)


def _bytes(record: JsonField) -> int:
    return record.whole(1, _MOST_BYTES)


def _price(record: JsonField) -> Decimal:
    return Decimal(record.text(pattern=_PRICE, expected="a price such as '4.50'"))


def _percent(record: JsonField) -> Decimal:
    return Decimal(record.text(pattern=_PERCENT, expected="a rate such as '20'"))


def _date(record: JsonField) -> datetime.date:
    expected = "a date such as '2026-03-31'"
    text = record.text(pattern="[0-9]{4}-[0-9]{2}-[0-9]{2}", expected=expected)
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise record.wrong(expected) from None


def _name_in(folder: str, record: JsonField) -> str:
    pattern = f"{re.escape(folder)}/{_FILE_NAME}"
    return record.text(pattern=pattern, expected=f"the name of a file in {folder}/")


def _digest(record: JsonField) -> str:
    return record.text(pattern=_SHA256, expected=_SHA256_WORDS)


def _digest_or_blank(record: JsonField) -> str:
    return record.text(pattern=f"({_SHA256})?", expected=_SHA256_WORDS)


def _line(record: JsonField) -> str:
    return record.text(most=_LONGEST_LINE)
