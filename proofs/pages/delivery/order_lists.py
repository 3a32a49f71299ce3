"""The order as lists: a table for a spreadsheet, and lines to key into an order form."""

from collections.abc import Iterator

from proofs.pages.proof_sheet.parts import in_words
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.plan.delivery.delivery_names import sheet_words

TICKET_COLUMNS = ("file", "number", "title", "copies", "sheet", "paper", "finish", "image")
_PRICED = ("price", "cost")


def ticket_rows(delivery: Delivery) -> Iterator[tuple[str, ...]]:
    """Yield the rows of the ticket as a table, the header first."""
    yield (*TICKET_COLUMNS, *_PRICED)
    for file in delivery.files:
        price = file.price
        yield (
            file.file,
            file.entry,
            file.title,
            str(file.copies),
            sheet_words(file.sheet),
            file.paper,
            file.finish,
            str(file.image_size()),
            f"{price:.2f}" if price is not None else "",
            f"{price * file.copies:.2f}" if price is not None else "",
        )


def order_text(delivery: Delivery) -> str:
    """Return the order as plain lines, one a file, in columns."""
    rows = [_row(file) for file in delivery.files]
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    lines = [
        "  ".join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
    head = [f"Order of {count_words(delivery)}", profile_words(delivery)]
    if delivery.needed_by:
        head.append(f"Needed by {in_words(delivery.needed_by)}")
    if cost := cost_words(delivery):
        head.append(cost)
    aside = [not_for_printing(delivery)] if delivery.companions else []
    return "\n".join([*head, "", *lines, "", *requests(delivery), *aside, ""])


def requests(delivery: Delivery) -> tuple[str, ...]:
    """Return what is asked of the lab: to sharpen, or trim, only where that is its way."""
    lab = delivery.lab
    sharpening = "sharpen as usual" if lab.sharpens else "no sharpening"
    trim = f"trim the bleed of {lab.bleed} alone" if lab.bleed else "no trim"
    return (
        f"Print at 100 %: no fit, no crop, {trim}.",
        f"No correction, {sharpening}.",
        "The tone is in the file.",
        "The white margin is meant.",
        "Nothing on the back.",
    )


def companion_words(delivery: Delivery) -> str:
    """Return what lies there beside the lab's files, or nothing."""
    parted = (path.rpartition("/") for path in delivery.companions)
    tops = (f"{folder}/" if folder else name for folder, _, name in parted)
    return " and ".join(dict.fromkeys(tops))


def not_for_printing(delivery: Delivery) -> str:
    """Return in a line that the lab is not to print what lies beside its files."""
    return f"Not for printing: {companion_words(delivery)}."


def count_words(delivery: Delivery) -> str:
    """Return how many prints are ordered, of how many files."""
    prints, files = delivery.prints, len(delivery.files)
    return f"{prints} print{'s' * (prints != 1)} of {files} file{'s' * (files != 1)}"


def profile_words(delivery: Delivery) -> str:
    """Return what kind of files they are, in a line."""
    lab, facts = delivery.lab, delivery.files[0].facts
    return f"{lab.format.upper()}, {lab.bits} bit, {lab.ppi} ppi, profile {facts.icc} embedded"


def cost_words(delivery: Delivery) -> str:
    """Return what the prints cost as far as is known, or nothing."""
    cost, lacking = delivery.cost, delivery.unpriced
    if cost is None:
        return ""
    words = f"Cost {cost:.2f} {delivery.lab.currency}".rstrip()
    return f"{words}, without {lacking} whose price is not known" if lacking else words


def _row(file: DeliveredFile) -> tuple[str, ...]:
    made_of = ", ".join(words for words in (file.paper, file.finish) if words)
    name = file.file.rpartition("/")[2]
    return (f"{file.copies} x", sheet_words(file.sheet), made_of, name)
