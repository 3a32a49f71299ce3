"""``delivery.json``: a delivery as a value that JSON can carry.

Documented in the manual under ``json-delivery``. Lengths are in mm to six decimals, which
is every nanometre; no times and no paths, so that the same pictures give the same record.
"""

from collections.abc import Sequence
from dataclasses import asdict

from proofs import __version__
from proofs.lengths import Length, Size
from proofs.pixel_areas import Area
from proofs.plan.checks.limits import VISIBLE_LIMITS
from proofs.plan.delivery.deliveries import (
    Catalogue,
    Companion,
    DeliveredFile,
    Delivery,
    FileFacts,
    ScreenCopy,
)
from proofs.plan.delivery.refusals import Refusal
from proofs.records.labs import Lab
from proofs.records.rules import VisibleRule
from proofs.run.json_report import JsonValue, finding_record

SCHEMA = 3  # 1 had no companions; 2 had other names for what is printed in the margin
KIND = "delivery"
_LAB_PLAIN = (
    *("name", "title", "ppi", "format", "bits", "quality", "compression", "intent"),
    *("black_point_compensation", "sharpens", "scale_error", "pattern", "name_most"),
    *("most_px", "most_bytes", "upload_most_bytes", "currency"),
)
_LAB_LENGTHS = ("margin", "edge_loss", "bleed")


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


def _lab(lab: Lab) -> dict[str, JsonValue]:
    record: dict[str, JsonValue] = {key: getattr(lab, key) for key in _LAB_PLAIN}
    return record | {f"{key}_mm": _mm(getattr(lab, key)) for key in _LAB_LENGTHS}


def _limits(rule: VisibleRule) -> dict[str, JsonValue]:
    return {limit.record_key: limit.in_unit(rule) for limit in VISIBLE_LIMITS}


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


def _area(area: Area) -> dict[str, JsonValue]:
    return {"left": area.left, "top": area.top, "width": area.width, "height": area.height}


def _size(size: Size) -> dict[str, JsonValue]:
    return {"width": _mm(size.width), "height": _mm(size.height)}


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


_FACTS_PLAIN = ("format", "ppi", "bits", "channels", "icc", "icc_sha256", "encoding", "copyright")


def catalogue_record(catalogue: Catalogue | None) -> dict[str, JsonValue] | None:
    """Return the record of all catalogue copies and of the rule that they keep."""
    if catalogue is None:
        return None
    copies: list[JsonValue] = [_copy(copy) for copy in catalogue.copies]
    return {"rule": asdict(catalogue.rule), "copies": copies}


def soft_proof_record(proof: Companion | None) -> dict[str, JsonValue] | None:
    """Return the record of a soft proof."""
    return {"file": proof.file, "sha256": proof.sha256} if proof else None


def facts_record(facts: FileFacts) -> dict[str, JsonValue]:
    """Return the record of what a file says of itself."""
    return {
        "pixels": {"width": facts.pixels.width, "height": facts.pixels.height},
        **{key: getattr(facts, key) for key in _FACTS_PLAIN},
        "bytes": facts.size_bytes,
    }


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
