"""How a print is seen: its resolution, the mats around it, its steps and its paper."""

from collections.abc import Mapping
from dataclasses import dataclass

from proofs.inspection.marks import Lab
from proofs.lengths import Edge

MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class PrintView:
    """What an inspection has to know of a print besides its pixels.

    ``mats`` has the colour of the mat that is seen at each side; a side that no mat meets is left
    out. ``steps`` are the letters of the steps, each with its change of density.
    ``black_lightness`` is the L* of the paper's deepest black.
    """

    ppi: int
    mats: Mapping[Edge, Lab]
    steps: tuple[tuple[str, float], ...]
    black_lightness: float

    @property
    def px_per_mm(self) -> float:
        """The number of pixels in a millimetre."""
        return self.ppi / MM_PER_INCH
