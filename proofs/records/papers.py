"""The paper of a print."""

from dataclasses import dataclass

from proofs.lengths import Length, millimetres
from proofs.records.tables import Table

SHARPENINGS = ("off", "low", "standard")


@dataclass(frozen=True, slots=True)
class Paper:
    """A photographic or inkjet paper, and how much a print on it wants sharpening."""

    name: str
    title: str
    source: str
    thickness: Length
    finish: str
    sharpening: str


def read_paper(table: Table, name: str) -> Paper:
    """Return the paper that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    paper = Paper(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        thickness=table.length("thickness", default=millimetres("0.27")),
        finish=table.text("finish"),
        sharpening=table.choice("sharpening", SHARPENINGS, default="low"),
    )
    table.done()
    return paper
