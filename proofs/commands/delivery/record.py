"""``delivery.json``: a delivery as a value that JSON can carry, and read back from one.

Documented in the manual under ``json-delivery``. Lengths are in mm to six decimals, which
is every nanometre; no times and no paths, so that the same pictures give the same record.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from decimal import Decimal
from enum import StrEnum
from typing import Any

from proofs import __version__
from proofs.errors import RecordError
from proofs.findings import Finding, Remedy, Severity
from proofs.lengths import NM_PER_MM, Length, PixelSize, Size
from proofs.pixel_areas import Area
from proofs.plan.delivery.catalogue import FOLDER
from proofs.plan.delivery.deliveries import (
    Catalogue,
    Companion,
    DeliveredFile,
    Delivery,
    FileFacts,
    ScreenCopy,
)
from proofs.plan.delivery.refusals import Refusal
from proofs.plan.delivery.soft_proofs import SOFT_PROOF
from proofs.records.labs import Compression, FileFormat, Lab, RenderingIntent
from proofs.records.rules import CatalogueRule, VisibleRule
from proofs.run.json_report import JsonValue, finding_record

SCHEMA = 3  # 1 had no companions; 2 had other names for what is printed in the margin
KIND = "delivery"
_LAB_PLAIN = (
    *("name", "title", "ppi", "format", "bits", "quality", "compression", "intent"),
    *("black_point_compensation", "sharpens", "scale_error", "pattern", "name_most"),
    *("most_px", "most_bytes", "upload_most_bytes", "currency"),
)
_LAB_KINDS: Mapping[str, type[StrEnum]] = {
    "format": FileFormat,
    "compression": Compression,
    "intent": RenderingIntent,
}
_LAB_LENGTHS = ("margin", "edge_loss", "bleed")
_LIMITS = ("longest_least", "longest_most", "shortest_least", "shortest_most")

Record = Mapping[str, Any]


def delivery_record(delivery: Delivery) -> dict[str, JsonValue]:
    """Return the record of a delivery."""
    cost = delivery.cost
    return {
        "schema": SCHEMA,
        "program": "proofs",
        "kind": KIND,
        "version": __version__,
        "lab": _lab(delivery.lab),
        "icc_sha256": delivery.icc_sha256,
        "white": list(delivery.white),
        "rules": delivery.rules or None,
        "copyright": delivery.copyright or None,
        "keeps_metadata": delivery.keeps_metadata,
        "needed_by": delivery.needed_by.isoformat() if delivery.needed_by else None,
        "prints": delivery.prints,
        "cost": f"{cost:.2f}" if cost is not None else None,
        "prints_without_price": delivery.unpriced,
        "ticket_sha256": delivery.ticket_sha256,
        "files": [_file(file) for file in delivery.files],
        "catalogue": catalogue_record(delivery.catalogue),
        "soft_proof": soft_proof_record(delivery.soft_proof),
    }


def delivery_from(record: object) -> Delivery:
    """Return the delivery that a record describes.

    Raises ``RecordError`` for one of an earlier version, ``ValueError`` for any other value.
    """
    try:
        return _delivery(record)  # type: ignore[arg-type]  # this is where its type is checked
    except (KeyError, TypeError, AttributeError, ArithmeticError) as error:
        raise ValueError("is not a record of a delivery by this program") from error


def _delivery(record: Record) -> Delivery:
    schema = record["schema"]
    if (record["program"], record["kind"]) != ("proofs", KIND) or schema not in range(
        1, SCHEMA + 1
    ):
        raise ValueError("is not a record of a delivery that this version of the program knows")
    if schema < SCHEMA:
        raise RecordError(
            f"the delivery was made by an earlier version of the program (its record has schema"
            f" {schema}, not {SCHEMA}); read it back with that version, or make it again"
        )
    needed = record["needed_by"]
    return Delivery(
        lab=_lab_from(record["lab"]),
        icc_sha256=str(record["icc_sha256"]),
        white=tuple(int(code) for code in record["white"]),
        rules=record["rules"] or "",
        files=tuple(_file_from(file) for file in record["files"]),
        copyright=record["copyright"] or "",
        keeps_metadata=bool(record["keeps_metadata"]),
        needed_by=datetime.date.fromisoformat(needed) if needed else None,
        ticket_sha256=str(record["ticket_sha256"]),
        catalogue=catalogue_from(record["catalogue"]),
        soft_proof=soft_proof_from(record["soft_proof"]),
    )


def _lab(lab: Lab) -> dict[str, JsonValue]:
    record: dict[str, JsonValue] = {key: getattr(lab, key) for key in _LAB_PLAIN}
    return record | {f"{key}_mm": _mm(getattr(lab, key)) for key in _LAB_LENGTHS}


def _lab_from(record: Record) -> Lab:
    lengths: dict[str, Any] = {key: _length(record[f"{key}_mm"]) for key in _LAB_LENGTHS}
    plain: dict[str, Any] = {key: record[key] for key in _LAB_PLAIN}
    plain |= {key: kind(record[key]) for key, kind in _LAB_KINDS.items()}
    return Lab(source="", colour_profile="", sheets=(), **plain, **lengths)


def _limits(rule: VisibleRule) -> dict[str, JsonValue]:
    lengths: dict[str, Length | None] = {key: getattr(rule, key) for key in _LIMITS}
    record: dict[str, JsonValue] = {
        f"{key}_mm": _mm(length) if length is not None else None for key, length in lengths.items()
    }
    area = rule.least_square_nm
    return record | {"least_area_mm2": area / NM_PER_MM**2 if area is not None else None}


def _limits_from(record: Record) -> VisibleRule:
    lengths: dict[str, Any] = {
        key: _length(record[f"{key}_mm"]) if record[f"{key}_mm"] is not None else None
        for key in _LIMITS
    }
    area = record["least_area_mm2"]
    square_nm = round(area * NM_PER_MM**2) if area is not None else None
    return VisibleRule(least_square_nm=square_nm, **lengths)


def _file(file: DeliveredFile) -> dict[str, JsonValue]:
    return {
        "file": file.file,
        "entry": file.entry,
        "title": file.title,
        "copies": file.copies,
        "paper": file.paper,
        "finish": file.finish,
        "sheet_mm": _size(file.sheet),
        **facts_record(file.facts),
        "image_px": _area(file.image),
        "image_mm": _size(file.image_size()),
        "margin_marks_px": [_area(area) for area in file.margin_marks],
        "sha256": file.sha256,
        "hidden_mm": _mm(file.hidden),
        "opening_mm": _size(file.opening) if file.opening else None,
        "sight_slack_mm": _mm(file.slack),
        "limits": _limits(file.limits),
        "verdicts": [finding_record(finding) for finding in file.verdicts],
        "not_there": list(file.missing),
        "price": f"{file.price:.2f}" if file.price is not None else None,
    }


def _file_from(record: Record) -> DeliveredFile:
    price, opening = record["price"], record["opening_mm"]
    return DeliveredFile(
        file=str(record["file"]),
        entry=str(record["entry"]),
        title=str(record["title"]),
        copies=int(record["copies"]),
        paper=str(record["paper"]),
        finish=str(record["finish"]),
        sheet=_size_from(record["sheet_mm"]),
        image=Area(**record["image_px"]),
        margin_marks=tuple(Area(**area) for area in record["margin_marks_px"]),
        facts=facts_from(record),
        sha256=str(record["sha256"]),
        hidden=_length(record["hidden_mm"]),
        opening=_size_from(opening) if opening else None,
        slack=_length(record["sight_slack_mm"]),
        limits=_limits_from(record["limits"]),
        verdicts=tuple(_finding(finding) for finding in record["verdicts"]),
        missing=tuple(record["not_there"]),
        price=Decimal(price) if price is not None else None,
    )


def _finding(record: Record) -> Finding:
    severity = Severity[record["severity"].upper().replace("-", "_")]
    remedy = Remedy(record["remedy"]) if record["remedy"] else None
    measured, limit, unit = record["measured"], record["limit"], record["unit"]
    return Finding(record["code"], severity, record["message"], measured, limit, unit, remedy)


def _area(area: Area) -> dict[str, JsonValue]:
    return {"left": area.left, "top": area.top, "width": area.width, "height": area.height}


def _size(size: Size) -> dict[str, JsonValue]:
    return {"width": _mm(size.width), "height": _mm(size.height)}


def _size_from(record: Record) -> Size:
    return Size(_length(record["width"]), _length(record["height"]))


def _mm(length: Length) -> float:
    return round(length.mm, 6)


def refusals_record(refusals: Sequence[Refusal]) -> dict[str, JsonValue]:
    """Return the record printed in place of a delivery's, where entries were refused."""
    refused: list[JsonValue] = [
        {
            "number": refusal.number,
            "title": refusal.title,
            "reason": refusal.reason,
            "exit_code": int(refusal.exit_code),
        }
        for refusal in refusals
    ]
    return {"refused": refused}


def _length(mm: float) -> Length:
    return Length(round(mm * NM_PER_MM))


_FACTS_PLAIN = ("format", "ppi", "bits", "channels", "icc", "icc_sha256", "encoding", "copyright")


def catalogue_record(catalogue: Catalogue | None) -> dict[str, JsonValue] | None:
    """Return the record of all catalogue copies and of the rule that they keep."""
    if catalogue is None:
        return None
    copies: list[JsonValue] = [_copy(copy) for copy in catalogue.copies]
    return {"rule": asdict(catalogue.rule), "copies": copies}


def catalogue_from(record: Record | None) -> Catalogue | None:
    """Return the copies that a record tells of. Raises ``ValueError`` where they lie elsewhere."""
    if record is None:
        return None
    copies = tuple(_copy_from(copy) for copy in record["copies"])
    if any(copy.file.rpartition("/")[0] != FOLDER for copy in copies):
        raise ValueError(f"tells of catalogue copies that do not lie in {FOLDER}/")
    return Catalogue(_rule_from(record["rule"]), copies)


def _rule_from(record: Record) -> CatalogueRule:
    """The rule of a record that anybody may have written."""
    rule = CatalogueRule(**record)
    limits = (rule.width_px, rule.height_px, rule.most_bytes)
    if not all(limit is None or isinstance(limit, int) for limit in limits):
        raise ValueError("tells of limits on catalogue copies that are no whole numbers")
    return replace(rule, name=str(rule.name))


def soft_proof_record(proof: Companion | None) -> dict[str, JsonValue] | None:
    """Return the record of a soft proof."""
    return {"file": proof.file, "sha256": proof.sha256} if proof else None


def soft_proof_from(record: Record | None) -> Companion | None:
    """Return the soft proof that a record tells of. Raises ``ValueError`` for another file."""
    if record is None:
        return None
    if record["file"] != SOFT_PROOF:
        raise ValueError(f"tells of a soft proof that is not {SOFT_PROOF}")
    return Companion(SOFT_PROOF, str(record["sha256"]))


def facts_record(facts: FileFacts) -> dict[str, JsonValue]:
    """Return the record of what a file says of itself."""
    return {
        "pixels": {"width": facts.pixels.width, "height": facts.pixels.height},
        **{key: getattr(facts, key) for key in _FACTS_PLAIN},
        "bytes": facts.size_bytes,
    }


def facts_from(record: Record) -> FileFacts:
    """Return what a file said of itself by its record."""
    pixels = PixelSize(record["pixels"]["width"], record["pixels"]["height"])
    plain: dict[str, Any] = {key: record[key] for key in _FACTS_PLAIN}
    return FileFacts(pixels=pixels, size_bytes=record["bytes"], **plain)


def _copy(copy: ScreenCopy) -> dict[str, JsonValue]:
    return {
        "file": copy.file,
        "entry": copy.entry,
        "title": copy.title,
        "category": copy.category,
        **facts_record(copy.facts),
        "title_inside": copy.facts.title or None,
        "sha256": copy.sha256,
    }


def _copy_from(record: Record) -> ScreenCopy:
    return ScreenCopy(
        file=str(record["file"]),
        entry=str(record["entry"]),
        title=str(record["title"]),
        category=str(record["category"]),
        facts=replace(facts_from(record), title=record["title_inside"] or ""),
        sha256=str(record["sha256"]),
    )
