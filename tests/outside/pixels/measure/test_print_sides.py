"""The sides of photographs: no border is invented, and a real one is found in each.

The photographs are those that scikit-image brings.
"""

import numpy as np
import pytest
import pyvips
import skimage.data

from proofs.inspection.marks import Mark, MarkKind
from proofs.inspection.print_view import PrintView
from proofs.lengths import Edge
from proofs.outside.pixels.measure.print_sides import border_marks
from tests.inspection.grounds import MM, PPI, USUAL, base_of
from tests.inspection.planting import Codes

NAMES = ("astronaut", "brick", "camera", "chelsea", "coffee", "coins", "grass", "gravel", "moon")
CROPS = 6
VIEW = PrintView(PPI, {}, (("A", 0.0),), 9.0)


def borders(codes: Codes) -> list[Mark]:
    return list(border_marks(base_of(codes), VIEW, USUAL.borders))


def photograph(name: str) -> Codes:
    """Return a photograph at twice its own pixels, as a print enlarges it."""
    pixels = np.asarray(getattr(skimage.data, name)(), np.uint8)
    pixels = pixels[..., None].repeat(3, axis=2) if pixels.ndim == 2 else pixels[..., :3]
    image = pyvips.Image.new_from_array(np.ascontiguousarray(pixels), interpretation="srgb")
    return np.ascontiguousarray(image.resize(2, kernel="lanczos3").numpy())


def crops(codes: Codes, seed: int) -> list[Codes]:
    random, found = np.random.default_rng(seed), []
    for _ in range(CROPS):
        height, width = (round(side * random.uniform(0.4, 0.95)) for side in codes.shape[:2])
        top, left = (
            int(random.integers(a - b)) for a, b in zip(codes.shape, (height, width), strict=False)
        )
        found.append(np.ascontiguousarray(codes[top : top + height, left : left + width]))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_no_border_is_invented_in_fifty_crops_of_photographs(name: str) -> None:
    codes = photograph(name)
    assert [borders(crop) for crop in crops(codes, 3)] == [[]] * CROPS
    assert len(NAMES) * CROPS >= 50


@pytest.mark.parametrize("name", NAMES)
def test_a_border_of_a_photograph_is_found_on_its_side(name: str) -> None:
    codes = photograph(name)
    codes[:, :5] = (200, 20, 30)
    (mark,) = borders(codes)
    assert (mark.kind, mark.side) == (MarkKind.BORDER, Edge.LEFT)
    assert mark.width_mm == pytest.approx(5 / MM, abs=1.1 / MM)
