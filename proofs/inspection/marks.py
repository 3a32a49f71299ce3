"""What an inspection found in one picture at the size of its print: marks, and how it looked."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from proofs.lengths import Edge

Point = tuple[float, float]  # millimetres from the left and from the top of the image as hung
Lab = tuple[float, float, float]  # CIELAB for D50, as `outside/pixels/colour` gives it


class MarkKind(StrEnum):
    """What a mark may be; each kind is found in a way of its own."""

    SPECK = "speck"
    LINE = "hair or scratch"
    STREAK = "streak"
    BORDER = "border"
    STROKE = "stroke"
    LOST_EDGE = "lost edge"
    CLIPPED = "bare paper"
    BLOCKED = "blocked"


@dataclass(frozen=True, slots=True)
class Area:
    """The rectangle around a mark, in millimetres from the top left of the image as hung."""

    left: float
    top: float
    width: float
    height: float

    @property
    def centre(self) -> Point:
        """Return the middle of the rectangle."""
        return self.left + self.width / 2, self.top + self.height / 2

    def moved(self, right: float, down: float) -> "Area":
        """Return the same rectangle elsewhere."""
        return Area(self.left + right, self.top + down, self.width, self.height)


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing to look at.

    ``contrast`` is its L* less that of its ground, at its strongest: lighter is positive. For a
    lost edge it is the mean CIEDE2000 between picture and mat. ``confidence`` runs from 0 to 1.
    ``area_mm2``, ``length_mm`` and ``width_mm`` are on paper, None where the kind has none.
    ``side`` is that of a border, a stroke or a lost edge. ``step`` is the letter of the step in
    which tones are lost, None for what is in the picture itself.
    """

    kind: MarkKind
    area: Area
    contrast: float
    confidence: float
    area_mm2: float | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    side: Edge | None = None
    colour: Lab | None = None
    step: str | None = None


@dataclass(frozen=True, slots=True)
class Inspection:
    """What was found in one picture, and how much of it could be searched.

    ``marks`` are the surest first. ``searched_share`` is the share of the picture, 0 to 1, that is
    calm enough for specks to be seen in. ``edge_width_mm`` is the width of edges where the picture
    is sharpest, and ``sharpest`` where that is; both are None with fewer than 30 edges.
    """

    marks: tuple[Mark, ...]
    searched_share: float
    edge_width_mm: float | None = None
    sharpest: Point | None = None


def surest_first(marks: Sequence[Mark]) -> tuple[Mark, ...]:
    """Return the marks by falling confidence; those alike from top to bottom, then left to right.

    The order depends on the marks alone, not on the order in which they were found.
    """
    return tuple(
        sorted(marks, key=lambda m: (-m.confidence, m.area.top, m.area.left, m.kind, m.step or ""))
    )
