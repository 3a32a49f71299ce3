"""The record of a delivery is read back as what was written."""

import json
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.commands.delivery.record import delivery_record
from proofs.commands.delivery.record_reading import delivery_from
from proofs.errors import RecordError
from proofs.lengths import Borders, Length, Size
from proofs.pixel_areas import Area
from proofs.plan.delivery.deliveries import Catalogue, Companion, ScreenCopy, for_the_lab
from proofs.records.job import Customer
from proofs.records.lab_charges import Charges
from proofs.records.metadata_wish import Kept, MetadataWish
from proofs.records.rules import CatalogueRule
from tests.deliveries import FACTS, a_delivery, a_file

lengths = st.integers(0, 2_000_000_000).map(Length)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
counts = st.none() | st.integers(100, 9000)
rules = st.builds(
    CatalogueRule, counts, counts, counts, st.integers(1, 95), st.just("{title}"), st.booleans()
)
COPY = ScreenCopy("catalogue/1_Old-pier.jpg", "1", "Old pier", "Sea", FACTS, "cd" * 32)
OTHER_COPY = replace(COPY, file="catalogue/2_Old-pier.jpg")


@given(
    title=texts,
    copies=st.integers(1, 999),
    hidden=st.builds(Borders, lengths, lengths, lengths, lengths),
    sheet=st.builds(Size, lengths, lengths),
    kept=st.sampled_from(Kept),
    line=texts,
    carried=st.lists(texts, max_size=3),
)
def test_a_record_gives_its_delivery_back_to_the_nanometre(
    title: str,
    copies: int,
    hidden: Borders,
    sheet: Size,
    kept: Kept,
    line: str,
    carried: list[str],
) -> None:
    facts = replace(FACTS, copyright=line, creator=title, title=title, extras=tuple(carried))
    sizes = {"hidden": hidden, "sheet": sheet, "opening": sheet}
    file = a_file(title=title, copies=copies, facts=facts, **sizes)
    wish = MetadataWish(kept, copyright=line, creator=title)
    delivery = a_delivery(file, metadata=wish, ticket_sha256="ef" * 32)
    text = json.dumps(delivery_record(delivery), ensure_ascii=False)
    read = delivery_from(json.loads(text))
    assert (read.files, read.metadata) == (delivery.files, wish)
    assert delivery_record(read) == json.loads(text)


def test_what_may_be_missing_may_be_missing() -> None:
    file = a_file(price=None, opening=None, facts=replace(FACTS, ppi=None, encoding=""))
    delivery = a_delivery(file, needed_by=None, rules="")
    assert delivery_from(json.loads(json.dumps(delivery_record(delivery)))).files == (file,)


@given(title=texts, category=texts, rule=rules)
def test_copies_and_soft_proof_are_given_back_too(
    title: str, category: str, rule: CatalogueRule
) -> None:
    copy = replace(COPY, title=title, category=category, facts=replace(FACTS, title=title))
    delivery = a_delivery(
        catalogue=Catalogue(rule, (copy, OTHER_COPY)),
        soft_proof=Companion("soft-proof.pdf", "ef" * 32),
    )
    read = delivery_from(json.loads(json.dumps(delivery_record(delivery))))
    assert (read.catalogue, read.soft_proof) == (delivery.catalogue, delivery.soft_proof)
    assert delivery_record(for_the_lab(read)) == delivery_record(a_delivery())


@pytest.mark.parametrize("percent", ["20", "8.1", "0.125"])
def test_customer_charges_and_prints_to_the_edge_survive_the_record(percent: str) -> None:
    charges = Charges(Decimal("6.50"), Decimal("60.00"), Decimal(percent), True)
    customer = Customer("A. Maker", "12 Quay Lane\nOld Harbour", "HB-2071")
    made = a_delivery(a_file(is_to_edge=True), customer=customer)
    delivery = replace(made, lab=replace(made.lab, charges=charges))
    record = delivery_record(delivery)
    read = delivery_from(json.loads(json.dumps(record)))
    assert (read.customer, read.lab.charges) == (customer, charges)
    assert read.files[0].is_to_edge
    assert delivery_record(read) == record


@pytest.mark.parametrize(
    "record",
    [
        None,
        [],
        {},
        {"schema": 1},
        {"schema": 5, "program": "proofs", "kind": "delivery"},
        {"schema": 4, "program": "proofs", "kind": "strip"},
        {"schema": 4, "program": 7, "kind": "delivery"},
    ],
)
def test_anything_else_is_refused(record: Any) -> None:
    with pytest.raises(ValueError, match="is not a record of a delivery"):
        delivery_from(record)


def a_record() -> Any:
    """Return a record with everything in it, as JSON holds it."""
    delivery = a_delivery(
        a_file(margin_marks=(Area(5, 5, 40, 8),), facts=replace(FACTS, extras=("XMP",))),
        catalogue=Catalogue(CatalogueRule(), (COPY,)),
        soft_proof=Companion("soft-proof.pdf", "ef" * 32),
    )
    return json.loads(json.dumps(delivery_record(delivery)))


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("schema", True, "schema: true is not a whole number from 1 to 1000000000"),
        ("version", None, "version: null is not a text"),
        ("files", 7, "files: 7 is not a list"),
        ("files", [], "files: a list of 0; expected 1 to 10000"),
        ("files.0", [], r"files\[0\]: a list of 0 is not an object"),
        ("files.0.pixels.width", -3, r"files\[0\].pixels.width: -3 is not a whole number from 1"),
        ("files.0.pixels.width", 2400.0, "width: 2400.0 is not a whole number"),
        ("files.0.pixels.width", 10**30, "width: 10{30} is not a whole number"),
        ("files.0.copies", True, "copies: true is not a whole number"),
        ("files.0.copies", 0, "copies: 0 is not a whole number from 1"),
        ("files.0.ppi", 0, "ppi: 0 is not a number from 1 to 100000"),
        ("files.0.ppi", float("nan"), "ppi: nan is not a number"),
        ("files.0.ppi", "300", "ppi: '300' is not a number"),
        ("files.0.sheet_mm.width", float("inf"), "sheet_mm.width: inf is not a number from 0"),
        ("files.0.price", "1e999999999", "price: '1e999999999' is not a price"),
        ("files.0.price", "-1.00", "price: '-1.00' is not a price"),
        ("files.0.title", "\ud800", r"title: '\\ud800' is not a text of whole characters"),
        ("files.0.title", "x" * 10_001, "title: a text of 10001 characters; at most 10000"),
        ("files.0.sha256", "AB" * 32, "sha256: 'ABABAB.*' is not a SHA-256"),
        ("files.0.file", "../1.jpg", r"file: '../1.jpg' is not the name of a file in prints/"),
        ("files.0.file", "prints/../1.jpg", "is not the name of a file in prints/"),
        ("files.0.file", "prints/a\x1b.jpg", "is not the name of a file in prints/"),
        ("files.0.file", "prints/a.jpg\n", "is not the name of a file in prints/"),
        ("files.0.file", "ticket.pdf", "is not the name of a file in prints/"),
        ("files.0.format", "gif", "format: 'gif' is not one of 'jpeg'"),
        ("files.0.verdicts.0.severity", "awful", "severity: 'awful' is not one of 'met'"),
        ("files.0.verdicts.0.measured", [], "measured: a list of 0 is not a number"),
        ("files.0.margin_marks_px.0.left", None, r"margin_marks_px\[0\].left: null is not"),
        ("lab.format", "webp", "lab.format: 'webp' is not one of 'jpeg', 'tiff', 'png'"),
        ("lab.sharpens", 1, "lab.sharpens: 1 is not true or false"),
        ("metadata_kept", "some", "metadata_kept: 'some' is not one of 'none', 'credit', 'all'"),
        ("files.0.creator", None, r"files\[0\].creator: null is not a text"),
        ("files.0.carries.0", 7, r"files\[0\].carries\[0\]: 7 is not a text"),
        ("white", [255, 256.5], r"white\[1\]: 256.5 is not a whole number from 0 to 65535"),
        ("white", [255] * 5, "white: a list of 5; expected 0 to 4"),
        ("needed_by", "2026-02-30", "needed_by: '2026-02-30' is not a date"),
        ("needed_by", 20260230, "needed_by: 20260230 is not a date"),
        ("catalogue.copies.0.file", "prints/1.jpg", "is not the name of a file in catalogue/"),
        ("catalogue.rule.width_px", "any", "width_px: 'any' is not a whole number from 1"),
        ("soft_proof.file", "ticket.pdf", "'ticket.pdf' is not one of 'soft-proof.pdf'"),
    ],
)
def test_every_fault_is_named_with_its_place(path: str, value: Any, words: str) -> None:
    record = a_record()
    held, keys = record, [int(key) if key.isdigit() else key for key in path.split(".")]
    for key in keys[:-1]:
        held = held[key]
    held[keys[-1]] = value
    with pytest.raises(ValueError, match=words):
        delivery_from(record)


def test_a_key_that_is_missing_is_named() -> None:
    record = a_record()
    del record["files"][0]["image_px"]["top"]
    with pytest.raises(ValueError, match=r"files\[0\].image_px.top: is missing"):
        delivery_from(record)


def test_a_file_listed_twice_is_refused() -> None:
    record = a_record()
    record["files"].append(record["files"][0] | {"file": "prints/1_OLD-pier.jpg"})
    with pytest.raises(ValueError, match=r"files: prints/1_OLD-pier\.jpg is listed twice"):
        delivery_from(record)


@pytest.mark.parametrize("schema", [1, 2, 3])
def test_a_record_of_an_earlier_version_is_refused_in_words(schema: int) -> None:
    record = {"schema": schema, "program": "proofs", "kind": "delivery"}
    with pytest.raises(RecordError, match="made by an earlier version") as refused:
        delivery_from(record)
    assert refused.value.exit_code == 3


def test_prints_and_cost_count_the_copies() -> None:
    delivery = a_delivery(a_file(copies=3), a_file(copies=2, price=None))
    assert (delivery.prints, str(delivery.cost), delivery.unpriced) == (5, "18.00", 2)
