"""Stock sheets: every shipped one can be read, and a faulty one is refused with the reason."""

import re
import tomllib
from decimal import Decimal

import pytest

from proofs.errors import ProfileError
from proofs.lengths import ZERO, inches, millimetres
from proofs.measures import read_size
from proofs.records.stock import Stock, read_stock
from proofs.records.tables import Table
from tests.workbench import SHIPPED

WHOLE = "title = 'T'\nsource = 'S'\nsheet = '30x40 in'\nedge = '3 mm'\nmay_turn = false"


def stock(text: str) -> Stock:
    """Return the stock sheet of a profile's text."""
    return read_stock(Table(tomllib.loads(text), "own.toml"), "own")


def test_a_stock_sheet_is_read_completely() -> None:
    sheet = read_size("30x40 in")
    assert stock(WHOLE) == Stock("own", "T", "S", sheet, millimetres(3), may_turn=False)


def test_an_eighth_of_an_inch_comes_off_each_edge_by_default() -> None:
    # Common practice, no source.
    read = stock("title = 'T'\nsource = 'S'\nsheet = '30x40 in'")
    assert (read.edge, read.may_turn) == (inches("1/8"), True)


PRICED = (
    WHOLE + "\nfurther_sheets = ['40x60 in']\nmat_prices = ['40x30 in: 9,80', '40x60 in: 17.50']"
    "\ncurrency = 'pieces of eight'"
)


def test_further_sheets_and_prices_are_read_in_their_order() -> None:
    read = stock(PRICED)
    sizes = read_size("30x40 in"), read_size("40x60 in")
    assert read.sheets == sizes
    assert read.mat_prices == ((sizes[0], Decimal("9.80")), (sizes[1], Decimal("17.50")))
    assert (read.backing_prices, read.currency) == ((), "pieces of eight")
    assert read.of_size(sizes[1]).sheets == (sizes[1],)


@pytest.mark.parametrize(
    ("line", "instead", "said"),
    [
        ("'40x30 in: 9,80', ", "", "mat_prices: found ['40x60 in: 17.50']; expected a price for"),
        ("40x30 in: 9,80", "41x30 in: 9", "expected sizes from sheet and further_sheets, which do"),
        ("40x30 in: 9,80", "9.80", "expected a list of prices such as"),
        (
            "40x30 in: 9,80",
            "40x60 in: 9",
            "expected one price for each sheet, but 40x60 in has two",
        ),
    ],
)
def test_faulty_prices_are_refused(line: str, instead: str, said: str) -> None:
    with pytest.raises(ProfileError, match=re.escape(said)):
        stock(PRICED.replace(line, instead))


def test_every_sheet_has_to_be_wider_than_its_edges() -> None:
    said = "edge: found '3 mm'; expected less than half of 0.2 in (5 mm)"
    with pytest.raises(ProfileError, match=re.escape(said)):
        stock(f"{WHOLE}\nfurther_sheets = ['5x900 mm']")


def test_an_edge_may_be_zero() -> None:
    assert stock(WHOLE.replace("3 mm", "0 mm")).edge == ZERO


@pytest.mark.parametrize(
    ("line", "instead", "said"),
    [
        ("sheet = '30x40 in'", "", "own.toml: sheet: found nothing; expected a size"),
        ("'30x40 in'", "'30 in'", "own.toml: sheet: found '30 in'; expected a size"),
        ("'3 mm'", "'15 in'", "own.toml: edge: found '15 in'; expected less than half of 30 in"),
        ("may_turn", "may_trun", "own.toml: may_trun: unknown key; did you mean 'may_turn'?"),
    ],
)
def test_a_faulty_stock_sheet_is_refused(line: str, instead: str, said: str) -> None:
    with pytest.raises(ProfileError, match=re.escape(said)):
        stock(WHOLE.replace(line, instead))


# Both sizes are common practice, no source.
@pytest.mark.parametrize(
    ("name", "sheet"), [("32x40-in", "32x40 in"), ("815x1120-mm", "815x1120 mm")]
)
def test_a_shipped_stock_sheet_has_the_size_of_its_name(name: str, sheet: str) -> None:
    read = SHIPPED.stock(name)
    assert (read.sheet, read.edge) == (read_size(sheet), inches("1/8"))
    assert "common practice" in read.source
