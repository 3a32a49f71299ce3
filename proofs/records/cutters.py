"""How true the openings are cut and the prints are placed."""

from dataclasses import dataclass

from proofs.lengths import Length
from proofs.records.tables import Table


@dataclass(frozen=True, slots=True)
class Cutter:
    """A way of cutting mats. ``cut`` is by how much one cut may lie off its line, and
    ``placing`` by how much the print may lie off its place behind the opening.
    """

    name: str
    title: str
    source: str
    cut: Length
    placing: Length


def read_cutter(table: Table, name: str) -> Cutter:
    """Return the cutter that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    tolerance = table.table("tolerance")
    cutter = Cutter(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        cut=tolerance.length("cut"),
        placing=tolerance.length("placing"),
    )
    tolerance.done()
    table.done()
    return cutter
