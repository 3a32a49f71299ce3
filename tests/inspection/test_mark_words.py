"""Marks in words, and colours by their names."""

import pytest

from proofs.inspection.mark_words import colour_words, contrast_words, counts, size_words, what
from proofs.inspection.marks import Area, Lab, Mark, MarkKind
from proofs.lengths import Edge
from tests.looks import RED, a_hair, a_speck, along

SIZE = (300.0, 200.0)


@pytest.mark.parametrize(
    ("mark", "name", "size"),
    [
        (a_speck(0, 0, 0.5), "dark speck", "0.02 in (0.5 mm) across"),
        (a_hair(0, 0), "light hair or scratch", "0.79 in (2 cm) long"),
        (along(Edge.TOP, SIZE, width=3), "white border along the top", "0.12 in (3 mm) wide"),
        (
            along(Edge.LEFT, SIZE, width=1, start=4, colour=RED),
            "red stroke along the left",
            "0.039 in (1 mm) wide",
        ),
        (
            Mark(MarkKind.LOST_EDGE, Area(0, 0, 1, 50), 2, 1, length_mm=50, side=Edge.LEFT),
            "left edge lost",
            "1.97 in (5 cm) long",
        ),
        (
            Mark(MarkKind.CLIPPED, Area(0, 0, 4, 2), 0, 1),
            "bare paper",
            "0.16 in (4 mm) by 0.079 in (2 mm)",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_mark_has_a_name_and_a_size_in_both_units(mark: Mark, name: str, size: str) -> None:
    assert what(mark) == name
    assert size_words(mark) == size


def test_contrast_is_in_lightness_and_of_a_lost_edge_in_ciede2000() -> None:
    assert contrast_words(a_speck(0, 0)) == "20 L*"
    assert contrast_words(Mark(MarkKind.LOST_EDGE, Area(0, 0, 1, 9), 2.34, 1)) == "CIEDE2000 2.3"


def test_marks_are_counted_by_name() -> None:
    marks = [a_speck(0, 0), a_hair(0, 0), a_speck(0, 0), a_hair(0, 0), a_speck(0, 0, contrast=9.0)]
    assert counts(marks) == "2 dark specks, 2 light hairs or scratches, 1 light speck"


# The first five are the corners of sRGB in CIELAB for D50, to whole numbers (from memory).
@pytest.mark.parametrize(
    ("colour", "name"),
    [
        ((54, 81, 70), "red"),
        ((88, -79, 81), "green"),
        ((30, 68, -112), "blue"),
        ((98, -16, 93), "pale yellow"),
        ((60, 94, -61), "purple"),
        ((70, 30, 75), "orange"),
        ((100, 0, 0), "white"),
        ((75, 1, 1), "light grey"),
        ((40, -1, 1), "dark grey"),
        ((5, 0, 0), "black"),
        ((20, 30, 20), "dark red"),
    ],
)
def test_a_colour_is_named_as_people_name_it(colour: Lab, name: str) -> None:
    assert colour_words(colour) == name
