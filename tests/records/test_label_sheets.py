"""Sheets of labels: each shipped one fits its page; sizes from memory."""

import tomllib

import pytest

from proofs.errors import ProfileError
from proofs.lengths import Place, inches
from proofs.records.label_sheets import LabelSheet, read_label_sheet
from proofs.records.page_sizes import PAGE_SIZES
from proofs.records.tables import Table
from tests.workbench import SHIPPED

NAMES = SHIPPED.names("labels")
GOOD = """title = "T"
source = "S"
page = "letter"
columns = 2
rows = 5
label = "4x2 in"
left = "5/32 in"
top = "1/2 in"
across = "3/16 in"
"""


def read(text: str) -> LabelSheet:
    return read_label_sheet(Table(tomllib.loads(text), "own.toml"), "own")


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_sheet_has_equal_margins_on_opposite_sides(name: str) -> None:
    # Sheets are cut from the middle: what is left over is the same on both sides.
    sheet = SHIPPED.label_sheet(name)
    *_, last = sheet.places
    page = PAGE_SIZES[sheet.page]
    right = page.width - last.x - sheet.label.width
    foot = page.height - last.y - sheet.label.height
    assert right.mm == pytest.approx(sheet.left.mm, abs=0.01)
    assert foot.mm == pytest.approx(sheet.top.mm, abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_sheet_is_named_by_its_page_columns_and_rows(name: str) -> None:
    sheet = SHIPPED.label_sheet(name)
    assert name == f"{sheet.page}-{sheet.columns}x{sheet.rows}"
    assert str(sheet.columns * sheet.rows) in sheet.title
    assert "from memory" in sheet.source


def test_labels_lie_row_by_row() -> None:
    # By hand: 5/32 + 4 + 3/16 in across, 1/2 + 2 in down.
    places = tuple(read(GOOD).places)
    assert len(places) == 10
    assert places[1] == Place(inches("139/32"), inches("1/2"))
    assert places[2] == Place(inches("5/32"), inches("5/2"))


@pytest.mark.parametrize(
    ("line", "instead", "said"),
    [
        ("columns = 2", "columns = 3", "own.toml: columns: found 3; expected as many as fit"),
        ("rows = 5", "rows = 6", "own.toml: rows: found 6; expected as many as fit"),
        ('label = "4x2 in"', "", "own.toml: label: found nothing; expected a size such as"),
        ('page = "letter"', 'page = "a5"', "own.toml: page: found 'a5'; expected one of 'a4'"),
        (
            "columns = 2",
            "columns = 100000000",
            "own.toml: columns: found 100000000; expected a who",
        ),
        ("rows = 5", "rows = 101", "own.toml: rows: found 101; expected a whole number from 1 to"),
        ("rows = 5", "rows = 5\nrow = 5", "own.toml: row: unknown key; did you mean 'rows'?"),
    ],
)
def test_a_faulty_sheet_is_refused(line: str, instead: str, said: str) -> None:
    with pytest.raises(ProfileError) as caught:
        read(GOOD.replace(line, instead))
    assert str(caught.value).startswith(said)
