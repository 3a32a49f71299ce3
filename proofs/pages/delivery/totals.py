"""The totals of an order: by sheet, paper and finish, with what is to pay."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from proofs.pages.columns import in_columns
from proofs.pages.drawing import Block, stacked
from proofs.pages.flow import FlowPart
from proofs.pages.table import Columns, table_parts
from proofs.pages.typography import BODY, CAPTION, STRONG, Setter, Style, Words, baseline, rule
from proofs.pages.wording import counted
from proofs.plan.delivery.deliveries import Delivery
from proofs.plan.delivery.delivery_names import sheet_words
from proofs.plan.delivery.order_totals import OrderLine, order_totals

TO_EDGE = ", to the edge"
"""What follows the sheet of a print to the edge."""

TO_PAY = "To pay"
"""The name of the sum of all."""

_HEAD = ("Prints", "Sheet", "Paper and finish")
_PRICED = ("Price", "Cost")
_SHARES, _PRICED_SHARES = (1.0, 3.0, 5.0), (1.0, 2.8, 4.0, 1.2, 1.4)
_UNKNOWN = "not known"


def cost_words(delivery: Delivery) -> str:
    """Return what the order costs in all, as far as is known, or nothing."""
    to_pay, lacking = order_totals(delivery).to_pay, delivery.unpriced
    if to_pay is None:
        return ""
    words = f"Cost {_money(to_pay, delivery)}"
    return f"{words}, without {counted(lacking, 'print')} of unknown price" if lacking else words


def sum_rows(delivery: Delivery) -> Iterator[tuple[str, str]]:
    """Yield what is to pay, each sum with its name; none if no price is known."""
    totals = order_totals(delivery)
    if totals.prints is None or totals.to_pay is None:
        return
    if totals.is_more_than_prints:
        yield "Prints", _money(totals.prints, delivery)
    if totals.postage is not None:
        yield "Postage", _money(totals.postage, delivery) if totals.postage else "free"
    tax = f"{totals.tax_percent} %", _money(totals.tax or Decimal(0), delivery)
    if totals.tax is not None and not totals.is_tax_contained:
        yield f"Tax at {tax[0]}", tax[1]
    yield TO_PAY, _money(totals.to_pay, delivery)
    if totals.tax is not None and totals.is_tax_contained:
        yield f"Of it tax at {tax[0]}", tax[1]


def total_lines(delivery: Delivery) -> list[str]:
    """Return the totals as plain text, with a blank line behind; empty if they say nothing new."""
    if not _says_more(delivery):
        return []
    lines = order_totals(delivery).lines
    prices, costs = (_flush_right(amounts) for amounts in zip(*map(_amounts, lines), strict=True))
    words = zip(lines, prices, costs, strict=True)
    rows = [(f"{line.prints} x", *_words(line), price, cost) for line, price, cost in words]
    sums = list(sum_rows(delivery))
    right = _flush_right([amount for _, amount in sums])
    names = [name for name, _ in sums]
    summed = in_columns(list(zip(names, right, strict=True))) if sums else []
    return ["Totals", *in_columns(rows), *summed, ""]


def total_parts(delivery: Delivery, setter: Setter) -> list[FlowPart]:
    """Return the totals as a table for the ticket, with the sums below it."""
    if not _says_more(delivery):
        return []
    is_priced = order_totals(delivery).prints is not None
    columns = Columns(setter, _PRICED_SHARES if is_priced else _SHARES)
    lines = order_totals(delivery).lines
    rows = [_table_row(line, columns, is_priced=is_priced) for line in lines]
    head = _priced_head(columns) if is_priced else columns.head(_HEAD)
    sums = [_sum(*row, setter) for row in sum_rows(delivery)]
    closing = [FlowPart(stacked([rule(setter.width), *sums], 2), 0)] if sums else []
    return [*table_parts(head, rows), *closing]


def _says_more(delivery: Delivery) -> bool:
    """Whether there is more to say than how many prints there are."""
    totals = order_totals(delivery)
    return len(totals.lines) > 1 or totals.prints is not None


def _priced_head(columns: Columns) -> Block:
    """The head of the table, the words over amounts at the right of their columns."""
    head = columns.head((*_HEAD, *("" for _ in _PRICED)))
    marks = [
        mark
        for words, left, width in zip(_PRICED, columns.lefts[3:], columns.widths[3:], strict=True)
        for mark in _at_right(words, CAPTION, width, columns.setter).at(left, 0)
    ]
    return Block(head.height, (*head.marks, *marks))


def _flush_right(texts: Sequence[str]) -> list[str]:
    longest = max(map(len, texts), default=0)
    return [text.rjust(longest) for text in texts]


def _table_row(line: OrderLine, columns: Columns, *, is_priced: bool) -> Block:
    setter, widths = columns.setter, columns.widths
    count: Words = (str(line.prints), STRONG)
    cells: list[Words | Block] = [count, *((words, BODY) for words in _words(line))]
    if is_priced:
        amounts = zip(_amounts(line), widths[3:], strict=True)
        cells += [_at_right(text, BODY, width, setter) for text, width in amounts]
    return columns.row(cells)


def _sum(name: str, amount: str, setter: Setter) -> Block:
    style = STRONG if name == TO_PAY else BODY
    words = setter.paragraph(name, style, setter.column)
    left = 2 * setter.pitch
    return Block(
        words.height, (*words.at(left, 0), *_at_right(amount, style, setter.width, setter).marks)
    )


def _at_right(text: str, style: Style, width: float, setter: Setter) -> Block:
    return Block(style.leading, (setter.ending(text, style, width, baseline(style)),))


def _words(line: OrderLine) -> tuple[str, str]:
    sheet = sheet_words(line.sheet) + (TO_EDGE if line.is_to_edge else "")
    return sheet, ", ".join(line.made_of)


def _amounts(line: OrderLine) -> tuple[str, str]:
    if line.price is None or line.cost is None:
        return _UNKNOWN, ""
    return f"{line.price:.2f}", f"{line.cost:.2f}"


def _money(amount: Decimal, delivery: Delivery) -> str:
    return f"{amount:.2f} {delivery.lab.currency}".rstrip()
