"""The record of a delivery is read back as what was written."""

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.commands.delivery.record import delivery_from, delivery_record
from proofs.errors import RecordError
from proofs.lengths import Length, Size
from proofs.plan.delivery.deliveries import Catalogue, Companion, ScreenCopy, for_the_lab
from proofs.records.rules import CatalogueRule
from tests.deliveries import FACTS, a_delivery, a_file

lengths = st.integers(0, 2_000_000_000).map(Length)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
counts = st.none() | st.integers(100, 9000)
rules = st.builds(
    CatalogueRule, counts, counts, counts, st.integers(1, 95), st.just("{title}"), st.booleans()
)
COPY = ScreenCopy("catalogue/1_Old-pier.jpg", "1", "Old pier", "Sea", FACTS, "cd" * 32)


@given(
    title=texts,
    copies=st.integers(1, 999),
    hidden=lengths,
    sheet=st.builds(Size, lengths, lengths),
    line=texts,
)
def test_a_record_gives_its_delivery_back_to_the_nanometre(
    title: str, copies: int, hidden: Length, sheet: Size, line: str
) -> None:
    file = a_file(title=title, copies=copies, hidden=hidden, sheet=sheet, opening=sheet)
    delivery = a_delivery(file, copyright=line, ticket_sha256="ef" * 32)
    text = json.dumps(delivery_record(delivery), ensure_ascii=False)
    read = delivery_from(json.loads(text))
    assert read.files == delivery.files
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
        catalogue=Catalogue(rule, (copy, COPY)), soft_proof=Companion("soft-proof.pdf", "ef" * 32)
    )
    read = delivery_from(json.loads(json.dumps(delivery_record(delivery))))
    assert (read.catalogue, read.soft_proof) == (delivery.catalogue, delivery.soft_proof)
    assert delivery_record(for_the_lab(read)) == delivery_record(a_delivery())


@pytest.mark.parametrize(
    "record",
    [
        None,
        [],
        {},
        {"schema": 1},
        {"schema": 4, "program": "proofs", "kind": "delivery"},
        {"schema": 3, "program": "proofs", "kind": "delivery", "files": 7},
    ],
)
def test_anything_else_is_refused(record: Any) -> None:
    with pytest.raises(ValueError, match="is not a record of a delivery"):
        delivery_from(record)


@pytest.mark.parametrize("schema", [1, 2])
def test_a_record_of_an_earlier_version_is_refused_in_words(schema: int) -> None:
    record = {"schema": schema, "program": "proofs", "kind": "delivery"}
    with pytest.raises(RecordError, match="made by an earlier version") as refused:
        delivery_from(record)
    assert refused.value.exit_code == 3


def test_prints_and_cost_count_the_copies() -> None:
    delivery = a_delivery(a_file(copies=3), a_file(copies=2, price=None))
    assert (delivery.prints, str(delivery.cost), delivery.unpriced) == (5, "18.00", 2)
