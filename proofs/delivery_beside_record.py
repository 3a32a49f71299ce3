"""What lies beside the lab's files, and what a file says of itself, as ``delivery.json`` has it."""

from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any

from proofs.lengths import PixelSize
from proofs.plan.catalogue import FOLDER
from proofs.plan.deliveries import Catalogue, Companion, FileFacts, ScreenCopy
from proofs.plan.gamut import SOFT_PROOF
from proofs.records.rules import CatalogueRule
from proofs.report import JsonValue

_FACTS_PLAIN = ("format", "ppi", "bits", "channels", "icc", "icc_sha256", "encoding", "copyright")

Record = Mapping[str, Any]


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
