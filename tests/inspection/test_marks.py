from itertools import permutations

from proofs.inspection.marks import Area, Mark, MarkKind, surest_first

HAIR = Mark(MarkKind.LINE, Area(10, 20, 8, 2), contrast=-6, confidence=0.8, length_mm=8)
LOW = Mark(MarkKind.SPECK, Area(30, 90, 1, 1), contrast=9, confidence=0.9, area_mm2=0.8)
HIGH = Mark(MarkKind.SPECK, Area(40, 5, 1, 1), contrast=9, confidence=0.9, area_mm2=0.8)


def test_the_middle_of_a_mark_is_that_of_its_rectangle() -> None:
    assert HAIR.area.centre == (14, 21)


def test_marks_have_one_order_whatever_order_they_were_found_in() -> None:
    assert {surest_first(found) for found in permutations((HAIR, LOW, HIGH))} == {(HIGH, LOW, HAIR)}
