"""The order as lists: a table for a spreadsheet, and lines to key into an order form."""

from collections.abc import Iterator, Sequence

from proofs.pages.columns import in_columns
from proofs.pages.delivery.totals import TO_EDGE, cost_words, total_lines
from proofs.pages.wording import counted, in_words
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.plan.delivery.delivery_names import sheet_words

_TICKET_COLUMNS = (
    *("file", "number", "title", "copies", "sheet", "edge_to_edge", "paper", "finish", "image"),
)
_PRICED = ("price", "cost")


def ticket_rows(delivery: Delivery) -> Iterator[tuple[str, ...]]:
    """Yield the rows of the ticket as a table, the header first."""
    yield (*_TICKET_COLUMNS, *_PRICED)
    for file in delivery.files:
        price = file.price
        yield (
            file.file,
            file.entry,
            file.title,
            str(file.copies),
            sheet_words(file.sheet),
            "yes" if file.is_to_edge else "",
            file.paper,
            file.finish,
            str(file.image_size()),
            f"{price:.2f}" if price is not None else "",
            f"{price * file.copies:.2f}" if price is not None else "",
        )


def order_text(delivery: Delivery) -> str:
    """Return the order as plain text in columns, one line for each file."""
    lines = in_columns([_row(file) for file in delivery.files])
    head = [f"Order of {count_words(delivery)}", profile_words(delivery)]
    if delivery.needed_by:
        head.append(f"Needed by {in_words(delivery.needed_by)}")
    if cost := cost_words(delivery):
        head.append(cost)
    whom = ["", "For", *delivery.customer.lines] if delivery.customer.lines else []
    aside = [not_for_printing(delivery)] if delivery.companions else []
    asked = [*requests(delivery), *aside]
    return "\n".join([*head, *whom, "", *lines, "", *total_lines(delivery), *asked, ""])


def requests(delivery: Delivery) -> tuple[str, ...]:
    """Return the requests to the lab: to sharpen or to trim only if this lab does."""
    lab = delivery.lab
    sharpening = "sharpen as usual" if lab.sharpens else "no sharpening"
    trim = f"trim only the bleed of {lab.bleed}" if lab.bleed else "no trim"
    return (
        f"Print at 100 %: no fit, no crop, {trim}.",
        f"No correction, {sharpening}.",
        "Brightness is deliberate: do not adjust.",
        *_edge_requests(delivery.files),
        "No stamps or stickers on the back.",
    )


def _edge_requests(files: Sequence[DeliveredFile]) -> tuple[str, ...]:
    """What is asked of the white margin, and of prints that have none."""
    if not any(file.is_to_edge for file in files):
        return ("Leave the white margin on.",)
    if all(file.is_to_edge for file in files):
        return ("Print to the edge, without a white margin.",)
    return ("Print to the edge where it says so.", "Leave the white margin on the others.")


def _companion_words(delivery: Delivery) -> str:
    """What the folder holds besides the lab's files, blank for nothing."""
    parted = (path.rpartition("/") for path in delivery.companions)
    tops = (f"{folder}/" if folder else name for folder, _, name in parted)
    return " and ".join(dict.fromkeys(tops))


def not_for_printing(delivery: Delivery) -> str:
    """Return a line that names what the lab is not to print."""
    return f"Not for printing: {_companion_words(delivery)}."


def count_words(delivery: Delivery) -> str:
    """Return how many prints are ordered, from how many files."""
    return f"{counted(delivery.prints, 'print')} from {counted(len(delivery.files), 'file')}"


def profile_words(delivery: Delivery) -> str:
    """Return what kind of files they are, in a line."""
    lab, facts = delivery.lab, delivery.files[0].facts
    return f"{lab.format.upper()}, {lab.bits}-bit, {lab.ppi} ppi, profile {facts.icc} embedded"


def _row(file: DeliveredFile) -> tuple[str, ...]:
    name = file.file.rpartition("/")[2]
    sheet = sheet_words(file.sheet) + (TO_EDGE if file.is_to_edge else "")
    return (f"{file.copies} x", sheet, ", ".join(file.made_of), name)
