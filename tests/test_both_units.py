"""A text in both units is turned to the unit of the rules, and nothing else of it changes."""

from hypothesis import given
from hypothesis import strategies as st

from proofs.both_units import first_in
from proofs.lengths import Length, Size, Unit

LENGTHS = st.integers(1_000_000, 1_500_000_000).map(Length)


@given(one=LENGTHS, other=LENGTHS)
def test_a_text_is_turned_to_the_unit_of_the_rules(one: Length, other: Length) -> None:
    inch, metric = str(one)[:-1].split(" (")
    size, metric_size = str(Size(one, other))[:-1].split(" (")
    text = f"image {Size(one, other)}, overlap {one}, at least"
    turned = f"image {metric_size} ({size}), overlap {metric} ({inch}), at least"
    assert first_in(Unit.MM, text) == turned
    assert first_in(Unit.IN, text) == text
