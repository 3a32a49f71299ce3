"""The sheets of board to buy for pieces: at least cost, or with least waste without prices."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from proofs.lengths import Length, Size
from proofs.plan.bench.nesting import BoardPiece, NestedPiece, Nesting, nest
from proofs.records.stock import Prices, Stock

_MOST_TRIED = 40  # beginnings of a purchase: 60 boards and three sizes take about a second
_AT_ONCE = 60  # pieces that one sheet is filled from; few sheets hold a third of that

Sheet = tuple[NestedPiece, ...]
_Bought = tuple[tuple[Size, Sheet], ...]


@dataclass(frozen=True, slots=True)
class Purchase:
    """The sheets to buy: a nesting for each size, and the pieces that are too large for any.

    ``price`` is that of all sheets together, None without prices.
    """

    nestings: tuple[Nesting, ...] = ()
    too_large: tuple[BoardPiece, ...] = ()
    price: Decimal | None = None

    @property
    def count(self) -> int:
        """How many sheets are bought."""
        return sum(len(nesting.sheets) for nesting in self.nestings)


def buy(
    pieces: Sequence[BoardPiece], stock: Stock, prices: Prices = (), *, edge: Length | None = None
) -> Purchase:
    """Return the cheapest purchase that was found, never dearer than sheets of one size alone.

    Without prices it is the one of the least area: all that is not a piece is waste. ``edge`` is
    that of the stock unless another is given.
    """
    search = _Search(stock, _costs(stock, prices), edge)
    too_large = tuple(piece for piece in pieces if search.is_too_large(piece))
    search.run([piece for piece in pieces if piece not in too_large])
    nestings = tuple(
        Nesting(stock.of_size(size), stock.edge if edge is None else edge, sheets)
        for size in stock.sheets
        if (sheets := tuple(sheet for of, sheet in search.best if of == size))
    )
    price = sum((dict(prices)[size] for size, _ in search.best), Decimal(0)) if prices else None
    return Purchase(nestings, too_large, price)


def fullest(nesting: Nesting) -> Sheet:
    """Return the sheet of a nesting with the most board in use; empty if it has none."""
    return max(nesting.sheets, key=used_square_nm, default=())


def used_square_nm(sheet: Sheet) -> int:
    """Return how much of a sheet its pieces take, in square nanometres."""
    return sum(nested.piece.size.square_nm for nested in sheet)


def without(pieces: Sequence[BoardPiece], sheet: Sheet) -> list[BoardPiece]:
    """Return the pieces that are not cut from a sheet, each as often as it is left."""
    cut, left = Counter(nested.piece for nested in sheet), list[BoardPiece]()
    for piece in pieces:
        if cut[piece]:
            cut[piece] -= 1
        else:
            left.append(piece)
    return left


def _costs(stock: Stock, prices: Prices) -> dict[Size, Fraction]:
    if prices:
        return {size: Fraction(price) for size, price in prices}
    return {size: Fraction(size.square_nm) for size in stock.sheets}


@dataclass(slots=True)
class _Search:
    """Purchases tried one sheet at a time, the fullest for its cost first; it lives in one call.

    A beginning is given up if even pieces without any waste would cost more than the best.
    """

    stock: Stock
    costs: dict[Size, Fraction]
    edge: Length | None
    best: _Bought = ()
    tried: int = 0
    seen: dict[frozenset[tuple[Size, int]], Fraction] = field(default_factory=dict)

    def is_too_large(self, piece: BoardPiece) -> bool:
        return all(self._nested([piece], size).too_large for size in self.costs)

    def run(self, pieces: list[BoardPiece]) -> None:
        """Find the best purchase of pieces each of which fits a sheet of some size."""
        alone = [(size, self._nested(pieces, size)) for size in self.costs]
        whole = [
            tuple((size, sheet) for sheet in nesting.sheets)
            for size, nesting in alone
            if not nesting.too_large
        ]
        self.best = min(whole, key=self._badness, default=())
        if len(self.costs) > 1:
            self._go_on(pieces)

    def _nested(self, pieces: Sequence[BoardPiece], size: Size) -> Nesting:
        return nest(pieces, self.stock.of_size(size), edge=self.edge)

    def _badness(self, bought: _Bought) -> tuple[Fraction, int]:
        return self._cost(bought), len(bought)

    def _cost(self, bought: _Bought) -> Fraction:
        return sum((self.costs[size] for size, _ in bought), Fraction(0))

    def _go_on(self, pieces: list[BoardPiece]) -> None:
        open_ends: list[tuple[list[BoardPiece], _Bought]] = [(pieces, ())]
        while open_ends:
            left, bought = open_ends.pop()
            if not left:
                self._keep(bought)
            elif self._may_be_better(left, bought):
                # The most promising sheet is pushed last, and so tried first.
                open_ends += [
                    (without(left, sheet), (*bought, (size, sheet)))
                    for size, sheet in reversed(self._sheets(left))
                ]

    def _keep(self, bought: _Bought) -> None:
        if not self.best or self._badness(bought) < self._badness(self.best):
            self.best = bought

    def _may_be_better(self, left: Sequence[BoardPiece], bought: _Bought) -> bool:
        """Whether to go on: not where the same pieces were left before at no higher cost."""
        spent, key = self._cost(bought), frozenset(Counter(p.size for p in left).items())
        if self.seen.get(key, spent + 1) <= spent:
            return False
        self.seen[key] = spent
        if not self.best:
            return True
        self.tried += 1
        return self.tried <= _MOST_TRIED and spent + self._least(left) < self._cost(self.best)

    def _least(self, left: Sequence[BoardPiece]) -> Fraction:
        """What these pieces cost without any waste."""
        area = sum(piece.size.square_nm for piece in left)
        edge = self.stock.edge if self.edge is None else self.edge
        return area * min(cost / size.grown(-edge).square_nm for size, cost in self.costs.items())

    def _sheets(self, left: Sequence[BoardPiece]) -> list[tuple[Size, Sheet]]:
        """The fullest sheet of each size, the most board for its cost first."""
        found = [(size, fullest(self._nested(left[:_AT_ONCE], size))) for size in self.costs]
        filled = [(size, sheet) for size, sheet in found if sheet]
        return sorted(filled, key=lambda one: self.costs[one[0]] / used_square_nm(one[1]))
