"""Values come back from JSON as they were, and anything else is refused."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.findings import Finding, Severity, Status
from proofs.lengths import PixelSize
from proofs.plan.checks.outcomes import Tones
from proofs.plan.delivery.deliveries import FileFacts
from proofs.records.labs import FileFormat
from proofs.records.stored_values import restored, stored

findings = st.builds(Finding)
facts = st.builds(
    FileFacts,
    format=st.sampled_from(FileFormat),
    pixels=st.builds(PixelSize, st.integers(1, 9), st.integers(1, 9)),
)
tones = st.builds(Tones)


def there_and_back(kind: Any, value: Any) -> Any:
    return restored(kind, json.loads(json.dumps(stored(value))))


@given(found=st.lists(findings).map(tuple))
def test_findings_come_back_as_they_were(found: tuple[Finding, ...]) -> None:
    assert repr(there_and_back(tuple[Finding, ...], found)) == repr(found)


@given(value=facts)
def test_facts_of_a_file_come_back_as_they_were(value: FileFacts) -> None:
    assert repr(there_and_back(FileFacts, value)) == repr(value)


@given(value=tones)
def test_tones_come_back_to_the_last_bit(value: Tones) -> None:
    assert repr(there_and_back(Tones, value)) == repr(value)


def test_a_code_that_is_a_status_comes_back_as_its_text() -> None:
    finding = Finding(Status.FAILED, Severity.UNREADABLE, "no")
    assert there_and_back(Finding, finding) == finding


GOOD = {"density_asked": 0.1, "density_reached": 0.1, "blocked_share": 0, "bare_share": 0}


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (Tones, None),
        (Tones, 3),
        (Tones, {}),
        (Tones, {**GOOD, "more": 1}),
        (Tones, {**GOOD, "bare_share": "0"}),
        (Tones, {**GOOD, "bare_share": True}),
        (tuple[Finding, ...], {}),
        (tuple[Finding, ...], [[]]),
        (tuple[str, int], ["a"]),
        (tuple[str, int], ["a", "b"]),
        (Severity, "SEVERE"),
        (Severity, ["MET"]),
        (FileFormat, "gif"),
        (FileFormat, ["jpeg"]),
        (PixelSize, {"width": 0, "height": 1}),
        (float | str | None, []),
    ],
)
def test_anything_else_is_refused(kind: Any, value: Any) -> None:
    with pytest.raises(ValueError, match=r"."):
        restored(kind, value)
