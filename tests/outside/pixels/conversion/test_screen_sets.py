"""Pictures converted in one pass are the same to the last bit as those alone: a promise of ours.

What a single one must be is checked against outside sources in ``test_convert``.
"""

import numpy as np
import pytest

from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import screen_pictures
from proofs.outside.pixels.conversion.screen_sets import screen_sets
from tests.outside.pixels.conversion.test_variants_together import base_of

DENSITIES = [-0.10, 0.0, 0.10, 0.20]


def parts_of(kind: str) -> list[ProfiledImage]:
    """Two pictures of one space: 113 x 7 and 301 x 9 pixels, in no whole rows of any sheet."""
    whole = base_of(kind)
    areas = ((0, 0, 113, 7), (50, 1, 301, 9))
    images = (whole.image.crop(*area) for area in areas)
    return [ProfiledImage(image, whole.profile, whole.black) for image in images]


@pytest.mark.parametrize("kind", ["srgb", "a98-rgb", "display-p3", "romm", "printer", "grey"])
def test_pictures_of_one_space_are_as_if_converted_alone(kind: str) -> None:
    bases = parts_of(kind)
    for base, made in zip(bases, screen_sets(bases, DENSITIES), strict=True):
        alone = screen_pictures(base, DENSITIES)
        assert len(made) == len(DENSITIES)
        assert all(np.array_equal(one, other) for one, other in zip(alone, made, strict=True))


def test_pictures_of_several_spaces_come_in_the_order_given() -> None:
    (one, two), (three, _) = parts_of("srgb"), parts_of("romm")
    made = screen_sets([one, three, two], [0.10])
    for base, (codes,) in zip([one, three, two], made, strict=True):
        assert np.array_equal(codes, screen_pictures(base, [0.10])[0])


def test_no_pictures_make_no_sets() -> None:
    assert screen_sets([], DENSITIES) == []
