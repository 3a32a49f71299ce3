"""Sheets of several sizes: bought at least cost where there are prices, else with least waste."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import ZERO, Size
from proofs.measures import read_size
from proofs.plan.bench.buying import Purchase, buy
from proofs.plan.bench.nesting import BoardPiece, nest
from proofs.records.stock import Prices, Stock
from tests.workbench import SHIPPED

ONE = SHIPPED.stock("32x40-in")
CLEAN = replace(ONE, edge=ZERO)


def stock(*further: str) -> Stock:
    return replace(CLEAN, further=tuple(map(read_size, further)))


def boards(*sizes: str) -> list[BoardPiece]:
    return [BoardPiece(str(n), read_size(size)) for n, size in enumerate(sizes, 1)]


def priced(**prices: str) -> Prices:
    return tuple((read_size(f"{name[1:]} in"), Decimal(price)) for name, price in prices.items())


def counts(bought: Purchase) -> dict[str, int]:
    """Return how many sheets are bought of each size, by their sides in inches."""
    return {
        f"{n.stock.sheet.width.inches:g}x{n.stock.sheet.height.inches:g}": len(n.sheets)
        for n in bought.nestings
    }


def test_without_prices_the_least_area_is_bought() -> None:
    # By hand: five boards of 16 x 20 in are four from a sheet of 32 x 40 in and one from a sheet of
    # 20 x 32 in, 1920 sq in; two of the larger are 2560, three of the smaller (two each) 1920 too,
    # but one sheet more.
    bought = buy(boards(*["16x20 in"] * 5), stock("20x32 in"))
    assert counts(bought) == {"32x40": 1, "20x32": 1}
    assert bought.price is None


def test_with_prices_the_cheapest_sheets_are_bought() -> None:
    # By hand: the same five boards at 10 and 4: one and one are 14, three small ones 12.
    bought = buy(boards(*["16x20 in"] * 5), stock("20x32 in"), priced(_32x40="10", _20x32="4"))
    assert counts(bought) == {"20x32": 3}
    assert bought.price == Decimal(12)


def test_a_dearer_small_sheet_is_left_in_the_shop() -> None:
    # By hand: at 10 and 9.50, two large ones are 20, one and one 19.50, three small ones 28.50.
    prices = priced(_32x40="10", _20x32="9.50")
    bought = buy(boards(*["16x20 in"] * 5), stock("20x32 in"), prices)
    assert (counts(bought), bought.price) == ({"32x40": 1, "20x32": 1}, Decimal("19.50"))
    bought = buy(boards(*["16x20 in"] * 3), stock("20x32 in"), prices)
    assert (counts(bought), bought.price) == ({"32x40": 1}, Decimal(10))


def test_a_board_that_only_one_size_holds_comes_from_that_size() -> None:
    # By hand: 36 x 42 in leave 40 x 18 in of the larger sheet, enough for 16 x 20 in lying down.
    bought = buy(boards("36x42 in", "16x20 in"), stock("40x60 in"))
    assert counts(bought) == {"40x60": 1}
    assert [n.stock.sheet for n in bought.nestings] == [read_size("40x60 in")]


def test_a_board_that_no_sheet_holds_is_listed() -> None:
    bought = buy(boards("41x61 in", "16x20 in"), stock("40x60 in"))
    assert [piece.label for piece in bought.too_large] == ["1"]


def test_nothing_costs_nothing() -> None:
    assert buy([], ONE, priced(_32x40="10")) == Purchase(price=Decimal(0))


sides = st.sampled_from([8, 10, 11, 14, 16, 18, 20, 24, 30])
pieces_of = st.lists(st.tuples(sides, sides), min_size=1, max_size=10).map(
    lambda sizes: boards(*(f"{width}x{height} in" for width, height in sizes))
)
cents = st.integers(0, 4000).map(lambda number: Decimal(number) / 100)
THREE = replace(ONE, further=(read_size("40x60 in"), read_size("20x32 in")))
prices_of = st.one_of(
    st.just(()),
    st.tuples(cents, cents, cents).map(lambda of: tuple(zip(THREE.sheets, of, strict=True))),
)


def cost(sheets: dict[Size, int], prices: Prices) -> Decimal:
    each = dict(prices) or {size: Decimal(size.square_nm) for size in sheets}
    return sum((each[size] * count for size, count in sheets.items()), Decimal(0))


@given(pieces_of, prices_of)
def test_a_purchase_is_never_dearer_than_sheets_of_one_size(
    pieces: list[BoardPiece], prices: Prices
) -> None:
    bought = buy(pieces, THREE, prices)
    spent = cost({n.stock.sheet: len(n.sheets) for n in bought.nestings}, prices)
    alone = [(size, nest(pieces, THREE.of_size(size))) for size in THREE.sheets]
    fitting = [(size, len(n.sheets)) for size, n in alone if not n.too_large]
    assert all(spent <= cost({size: count}, prices) for size, count in fitting)
    assert bought.price == (spent if prices else None)


@given(pieces_of, prices_of)
def test_every_piece_is_bought_once(pieces: list[BoardPiece], prices: Prices) -> None:
    bought = buy(pieces, THREE, prices)
    cut = [one.piece for n in bought.nestings for sheet in n.sheets for one in sheet]
    assert Counter([*cut, *bought.too_large]) == Counter(pieces)


@given(pieces_of)
def test_sheets_of_one_size_are_nested_as_ever(pieces: list[BoardPiece]) -> None:
    assert buy(pieces, ONE).count == len(nest(pieces, ONE).sheets)
