"""The small pictures on the page of an inspected picture: their names, and what each shows."""

from collections.abc import Iterator
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.inspected import FLAWS, FRAMES, InspectedPicture, SeenMark
from proofs.inspection.marks import Mark
from proofs.lengths import PixelSize, half_up, millimetres
from proofs.pixel_areas import Area, pixels
from proofs.plan.entry.planning import Plan

LOOKS = "inspection-pictures"
"""The folder of these pictures."""

CROP_SIDE = millimetres(16)
MOST_CROPS = 10
OVERVIEW_PPI = 200
OVERVIEW_POINTS = (330.0, 300.0)
"""The most width and height of the whole picture on its page."""

_MOST_GAIN = 8.0
_MIDDLE, _REACH = 128.0, 100.0  # codes
_NEARLY_ALL = 99.5  # per cent of a crop's codes that the raised twin shows without clipping

Codes = NDArray[np.uint8]


def overview_name(stem: str) -> str:
    """Return the name of the whole picture."""
    return f"{LOOKS}/{stem}.jpg"


def crop_names(stem: str, place: int) -> tuple[str, str]:
    """Return the names of a mark's crop and of its twin; ``place`` is that among all marks."""
    return f"{LOOKS}/{stem}-{place + 1}.jpg", f"{LOOKS}/{stem}-{place + 1}-raised.jpg"


def look_stem(stem: str, plan: Plan, n: int) -> str:
    """Return how the names of a picture's files start; several pictures are numbered."""
    return stem if len(plan.parts) == 1 else f"{stem}_{n + 1}"


def cropped_marks(picture: InspectedPicture) -> Iterator[tuple[int, SeenMark]]:
    """Yield the marks that get a crop, in the order of their numbers, each with its place."""
    places = {id(seen): place for place, seen in enumerate(picture.marks)}
    shown = [seen for seen in picture.numbered if seen.mark.kind in (*FRAMES, *FLAWS)]
    for seen in shown[:MOST_CROPS]:
        yield places[id(seen)], seen


def crop_area(mark: Mark, whole: PixelSize, ppi: int) -> Area:
    """Return the pixels of a print that a mark's crop shows: round its middle, all in the print."""
    side = pixels(CROP_SIDE, ppi)
    size = PixelSize(min(side, whole.width), min(side, whole.height))
    across, down = (half_up(Fraction(mm) * ppi * 5 / 127) for mm in mark.area.centre)
    left = min(max(across - size.width // 2, 0), whole.width - size.width)
    top = min(max(down - size.height // 2, 0), whole.height - size.height)
    return Area.of(size, left, top)


def overview_pixels(whole: PixelSize) -> PixelSize:
    """Return the size of the whole picture for its page, in pixels."""
    width, height = (side / 72 * OVERVIEW_PPI for side in OVERVIEW_POINTS)
    scale = min(width / whole.width, height / whole.height, 1.0)
    return PixelSize(max(1, round(whole.width * scale)), max(1, round(whole.height * scale)))


def with_raised_contrast(codes: Codes) -> Codes:
    """Return a crop with its differences from its own median made larger, up to eightfold."""
    away = codes.astype(np.float32) - np.median(codes, axis=(0, 1))
    gain = min(_MOST_GAIN, _REACH / max(float(np.percentile(np.abs(away), _NEARLY_ALL)), 1.0))
    raised = np.rint(_MIDDLE + max(gain, 1.0) * away)
    return np.asarray(np.clip(raised, 0, 255), dtype=np.uint8)
