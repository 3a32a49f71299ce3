"""The paper of a print."""

import enum
from dataclasses import dataclass

from proofs.lengths import Length, millimetres
from proofs.records.tables import Profile, Table

# A good matt paper reaches a density of 1.7, gloss and lustre 2.0 (published reviews of papers).
# In round numbers that is L* 16 and 9.
_BLACKS = {"matt": 16.0, "lustre": 9.0, "gloss": 9.0}


class Sharpening(enum.StrEnum):
    """How much a print file is sharpened for its paper."""

    OFF = "off"
    LOW = "low"
    STANDARD = "standard"


@dataclass(frozen=True, slots=True)
class Paper(Profile):
    """A photographic or inkjet paper, and the sharpening that suits it.

    ``black_lightness`` is the L* of its deepest black.
    """

    thickness: Length
    finish: str
    sharpening: Sharpening
    black_lightness: float = _BLACKS["lustre"]


def read_paper(table: Table, name: str) -> Paper:
    """Return the paper that a profile describes."""
    finish = table.text("finish")
    default_black = _BLACKS.get(finish, _BLACKS["lustre"])
    paper = Paper(
        *table.heading(name),
        thickness=table.length("thickness", default=millimetres("0.27")),
        finish=finish,
        sharpening=table.choice("sharpening", Sharpening, default=Sharpening.LOW),
        black_lightness=table.number("black", least=0, most=50, default=default_black),
    )
    table.refuse_unknown()
    return paper
