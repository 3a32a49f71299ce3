"""``delivery.json``: a delivery as a value that JSON can carry.

Documented in the manual under ``json-delivery``. Lengths are in mm to six decimals, which
is every nanometre; no times and no paths, so that the same pictures give the same record.
"""

from collections.abc import Sequence
from dataclasses import asdict
from decimal import Decimal

from proofs import __version__
from proofs.plan.checks.limits import VISIBLE_LIMITS
from proofs.plan.delivery.deliveries import (
    Catalogue,
    DeliveredFile,
    Delivery,
    FileFacts,
    ScreenCopy,
)
from proofs.plan.delivery.order_totals import OrderLine, OrderTotals, order_totals
from proofs.plan.delivery.refusals import Refusal
from proofs.records.lab_charges import Charges
from proofs.records.labs import Lab
from proofs.records.rules import VisibleRule
from proofs.run.json_report import (
    JsonValue,
    area_record,
    borders_record,
    findings_record,
    in_mm,
    pixels_record,
    size_record,
)

# 1 had no companions; 2 had other names for what is printed in the margin; 3 had one overlap for
# all sides, no prints to the edge, and did not state what metadata the files carry.
SCHEMA = 4
KIND = "delivery"
_LAB_PLAIN = (
    *("name", "title", "ppi", "format", "bits", "quality", "compression", "intent"),
    *("black_point_compensation", "sharpens", "scale_error", "pattern", "name_most"),
    *("most_px", "most_bytes", "upload_most_bytes", "currency"),
)
_LAB_LENGTHS = ("margin", "edge_loss", "bleed")


def delivery_record(delivery: Delivery) -> dict[str, JsonValue]:
    """Return the record of a delivery."""
    return {
        "schema": SCHEMA,
        "program": "proofs",
        "kind": KIND,
        "version": __version__,
        "lab": _lab(delivery.lab),
        "icc_sha256": delivery.icc_sha256,
        "white": list(delivery.white),
        "rules": delivery.rules or None,
        "metadata_kept": delivery.metadata.kept,
        "copyright": delivery.metadata.copyright or None,
        "creator": delivery.metadata.creator or None,
        "needed_by": delivery.needed_by.isoformat() if delivery.needed_by else None,
        "prints": delivery.prints,
        "cost": _money(delivery.cost),
        "prints_without_price": delivery.unpriced,
        **_totals(order_totals(delivery)),
        "customer": asdict(delivery.customer) if delivery.customer.lines else None,
        "ticket_sha256": delivery.ticket_sha256,
        "files": [_file(file) for file in delivery.files],
        "catalogue": _catalogue(delivery.catalogue) if delivery.catalogue else None,
        "soft_proof": asdict(delivery.soft_proof) if delivery.soft_proof else None,
    }


def _totals(totals: OrderTotals) -> dict[str, JsonValue]:
    return {
        "lines": [_line(line) for line in totals.lines],
        "postage": _money(totals.postage),
        "tax": _money(totals.tax),
        "to_pay": _money(totals.to_pay),
    }


def _line(line: OrderLine) -> dict[str, JsonValue]:
    return {
        "sheet_mm": size_record(line.sheet),
        "edge_to_edge": line.is_to_edge,
        "made_of": list(line.made_of),
        "prints": line.prints,
        "price": _money(line.price),
        "cost": _money(line.cost),
    }


def _money(amount: Decimal | None) -> str | None:
    return None if amount is None else f"{amount:.2f}"


def _charges(charges: Charges) -> dict[str, JsonValue]:
    percent = charges.tax_percent
    return {
        "postage": _money(charges.postage),
        "postage_free_from": _money(charges.postage_free_from),
        "tax_percent": None if percent is None else str(percent),
        "prices_include_tax": charges.prices_include_tax,
    }


def _lab(lab: Lab) -> dict[str, JsonValue]:
    record: dict[str, JsonValue] = {key: getattr(lab, key) for key in _LAB_PLAIN}
    lengths = {f"{key}_mm": in_mm(getattr(lab, key)) for key in _LAB_LENGTHS}
    return record | lengths | _charges(lab.charges)


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
        "sheet_mm": size_record(file.sheet),
        "edge_to_edge": file.is_to_edge,
        **facts_record(file.facts),
        "image_px": area_record(file.image),
        "image_mm": size_record(file.image_size()),
        "margin_marks_px": [area_record(area) for area in file.margin_marks],
        "sha256": file.sha256,
        "hidden_mm": borders_record(file.hidden),
        "opening_mm": size_record(file.opening),
        "sight_slack_mm": size_record(file.slack),
        "limits": _limits(file.limits),
        "verdicts": findings_record(file.verdicts),
        "not_there": list(file.missing),
        "price": _money(file.price),
    }


def refusals_record(refusals: Sequence[Refusal]) -> dict[str, JsonValue]:
    """Return the record printed in place of a delivery's, if entries were refused."""
    return {"refused": [asdict(refusal) for refusal in refusals]}


_FACTS_PLAIN = (
    *("format", "ppi", "bits", "channels", "icc", "icc_sha256", "encoding", "copyright"),
    "creator",
)


def _catalogue(catalogue: Catalogue) -> dict[str, JsonValue]:
    return {"rule": asdict(catalogue.rule), "copies": [_copy(copy) for copy in catalogue.copies]}


def facts_record(facts: FileFacts) -> dict[str, JsonValue]:
    """Return the record of what a file says of itself."""
    return {
        "pixels": pixels_record(facts.pixels),
        **{key: getattr(facts, key) for key in _FACTS_PLAIN},
        "title_inside": facts.title or None,
        "carries": list(facts.extras),
        "bytes": facts.size_bytes,
    }


def _copy(copy: ScreenCopy) -> dict[str, JsonValue]:
    return {
        "file": copy.file,
        "entry": copy.entry,
        "title": copy.title,
        "category": copy.category,
        **facts_record(copy.facts),
        "sha256": copy.sha256,
    }
