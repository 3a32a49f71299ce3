"""Sheets of ready-cut labels: their number on a page, their size and their positions."""

from collections.abc import Iterator
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Place, Size
from proofs.records.page_sizes import PAGE_SIZES
from proofs.records.tables import Profile, Table

_MOST_ACROSS = 100  # labels in a row or a column of a page


@dataclass(frozen=True, slots=True)
class LabelSheet(Profile):
    """A page of equal labels in columns and rows.

    ``left`` and ``top`` are the margins before the first label; ``across`` and ``down`` are the
    gaps between two labels.
    """

    page: str
    columns: int
    rows: int
    label: Size
    left: Length
    top: Length
    across: Length = ZERO
    down: Length = ZERO

    @property
    def places(self) -> Iterator[Place]:
        """The top left corner of each label, row by row."""
        for row in range(self.rows):
            for column in range(self.columns):
                x = self.left + (self.label.width + self.across) * column
                yield Place(x, self.top + (self.label.height + self.down) * row)


def read_label_sheet(table: Table, name: str) -> LabelSheet:
    """Return the label sheet that a profile describes. Its labels must lie on the page."""
    label = table.size("label")
    sheet = LabelSheet(
        *table.heading(name),
        page=table.choice("page", tuple(PAGE_SIZES)),
        columns=table.count("columns", most=_MOST_ACROSS),
        rows=table.count("rows", most=_MOST_ACROSS),
        label=label,
        left=table.length("left"),
        top=table.length("top"),
        across=table.length("across", default=ZERO),
        down=table.length("down", default=ZERO),
    )
    table.refuse_unknown()
    *_, last = sheet.places
    page = PAGE_SIZES[sheet.page]
    if last.x + label.width > page.width:
        fit = f"as many as fit the page, {page.width} wide"
        table.refuse("columns", fit, rests_on=["page", "label", "left", "across"])
    if last.y + label.height > page.height:
        fit = f"as many as fit the page, {page.height} high"
        table.refuse("rows", fit, rests_on=["page", "label", "top", "down"])
    return sheet
