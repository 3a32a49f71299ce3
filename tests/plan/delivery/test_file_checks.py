"""The lab's points on a finished file: what the record describes, compared with what it needs."""

from dataclasses import replace

import pytest

from proofs.findings import Severity
from proofs.measures import read_size
from proofs.plan.delivery.deliveries import DeliveredFile
from proofs.plan.delivery.file_checks import lab_findings
from tests.deliveries import FILE, a_delivery, a_file


def unmet(file: DeliveredFile) -> dict[str, str]:
    """Return the message of each point that the file does not meet, by its code."""
    found = lab_findings(a_delivery(file), file, file.facts)
    return {point.code: point.message for point in found if point.severity > Severity.MET}


def test_a_file_as_it_was_made_meets_every_point() -> None:
    assert unmet(FILE) == {}


@pytest.mark.parametrize(
    "file",
    [
        a_file(image=replace(FILE.image, left=FILE.image.left + 1)),
        a_file(sheet=read_size("5x7 in")),
    ],
)
def test_an_image_without_its_margin_is_reported_as_that_alone(file: DeliveredFile) -> None:
    assert list(unmet(file)) == ["margin"]
