"""Inspections: the shipped ones can be read, and a faulty one is refused with the reason."""

import re
import tomllib

import pytest

from proofs.errors import ProfileError
from proofs.records.inspections import InspectionProfile, read_inspection
from proofs.records.tables import Table
from tests.workbench import SHIPPED

WHOLE = SHIPPED.path("inspections", "usual").read_text(encoding="utf-8")


def inspection(text: str) -> InspectionProfile:
    """Return the inspection of a profile's text."""
    return read_inspection(Table(tomllib.loads(text), "own.toml"), "own")


def test_three_inspections_are_shipped() -> None:
    assert SHIPPED.names("inspections") == ("careful", "quick", "usual")


def test_the_tables_are_read() -> None:
    read = inspection(WHOLE)
    assert (read.specks.crowd_count, read.sharpness.least_edges) == (6, 30)
    assert (read.borders.most_width_mm, read.lost_edges.least_length_mm) == (6, 10)


def test_a_careful_inspection_shows_more_than_a_quick_one() -> None:
    careful, usual, quick = (SHIPPED.inspection(name) for name in ("careful", "usual", "quick"))
    by_confidence = [p.specks.least_confidence for p in (careful, usual, quick)]
    by_area = [p.specks.least_area_mm2 for p in (careful, usual, quick)]
    assert by_confidence == sorted(by_confidence)
    assert by_area == sorted(by_area)


@pytest.mark.parametrize(
    ("line", "instead", "said"),
    [
        ("crowd_count = 6", "", "own.toml: specks.crowd_count: found nothing; expected a whole"),
        ("least_edges = 30", "least_edges = 29", "own.toml: sharpness.least_edges: found 29"),
        ("soft_edge_mm = 0.4", "soft_edge_mm = 0.2", "expected at least sharp_edge_mm"),
        ("most_area_mm2 = 3.2", "most_area_mm2 = 0.005", "expected at least least_area_mm2"),
        ("bare_paper_l", "bare_paper", "bare_paper"),
    ],
)
def test_a_faulty_inspection_is_refused(line: str, instead: str, said: str) -> None:
    with pytest.raises(ProfileError, match=re.escape(said)):
        inspection(WHOLE.replace(line, instead))
