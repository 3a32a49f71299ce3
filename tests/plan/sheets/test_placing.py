"""A print on its sheet: exact pixels for every shipped lab, its margin never narrower.

The pixels of a sheet are its length times the ppi, half up: worked out here with Fractions
from the inch of exactly 25.4 mm. The rest is common practice, no source.
"""

from dataclasses import replace
from fractions import Fraction
from math import floor

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from proofs.lengths import Length, PixelSize, Size, inches
from proofs.measures import read_size
from proofs.plan.sheets.placing import place
from proofs.records.labs import Lab
from tests.workbench import LAB, SHIPPED, lengths_from

SHEETS = [
    (name, sheet, ppi)
    for name in SHIPPED.names("labs")
    for sheet in SHIPPED.lab(name).sheets
    for ppi in (SHIPPED.lab(name).ppi, 240, 301, 720)
]


def half_up(length: Length, ppi: int) -> int:
    return floor(Fraction(length.nm, 25_400_000) * ppi + Fraction(1, 2))


@pytest.mark.parametrize(("name", "sheet", "ppi"), SHEETS)
def test_a_file_has_exactly_the_pixels_of_its_sheet(name: str, sheet: Size, ppi: int) -> None:
    lab = replace(SHIPPED.lab(name), ppi=ppi)
    placing = place(lab, sheet, PixelSize(300, 200))
    assert placing.file == PixelSize(half_up(sheet.width, ppi), half_up(sheet.height, ppi))


@pytest.mark.parametrize(
    ("sheet", "ppi", "pixels"),
    [
        ("8x10 in", 300, (2400, 3000)),
        ("11x14 in", 300, (3300, 4200)),
        ("210x297 mm", 360, (2976, 4209)),  # 2976.38 and 4209.45
        ("329x483 mm", 360, (4663, 6846)),  # 4662.99 and 6845.67
        ("17x22 in", 360, (6120, 7920)),
    ],
)
def test_pixels_are_those_worked_out_by_hand(sheet: str, ppi: int, pixels: tuple[int, int]) -> None:
    placing = place(replace(LAB, ppi=ppi), read_size(sheet), PixelSize(10, 10))
    assert (placing.file.width, placing.file.height) == pixels


labs = st.builds(
    lambda ppi, margin, loss, bleed: replace(
        LAB, ppi=ppi, margin=margin, edge_loss=loss, bleed=bleed
    ),
    st.integers(72, 720),
    lengths_from(0, 15),
    lengths_from(0, 8),
    lengths_from(0, 6),
)
sheets = st.builds(Size, lengths_from(120, 600), lengths_from(120, 600))
sides = st.integers(40, 9000)


@given(lab=labs, sheet=sheets, width=sides, height=sides)
def test_the_white_round_an_image_is_never_less_than_the_lab_asks(
    lab: Lab, sheet: Size, width: int, height: int
) -> None:
    try:
        placing = place(lab, sheet, PixelSize(width, height))
    except ValueError:
        assume(False)
    asked = Fraction((max(lab.margin, lab.edge_loss)).nm + lab.bleed.nm, 25_400_000) * lab.ppi
    right = placing.file.width - placing.image.right
    bottom = placing.file.height - placing.image.bottom
    assert min(placing.image.left, placing.image.top, right, bottom) >= asked
    assert 0 <= right - placing.image.left <= 1
    assert 0 <= bottom - placing.image.top <= 1


@given(lab=labs, sheet=sheets, spare=st.integers(1, 400))
def test_an_image_too_large_for_the_margin_is_refused(lab: Lab, sheet: Size, spare: int) -> None:
    inner = place(lab, sheet, PixelSize(1, 1)).free
    with pytest.raises(ValueError, match=r"too small for .* and the lab's margin"):
        place(lab, sheet, PixelSize(inner.width + spare, 1))


def test_bleed_is_paper_beyond_the_sheet_on_every_side() -> None:
    placing = place(replace(LAB, bleed=inches("1/8")), read_size("8x10 in"), PixelSize(100, 100))
    assert placing.file == PixelSize(2400 + 2 * 38, 3000 + 2 * 38)
    assert placing.free.left == 38 + 38
