"""Variants made in one pass are the same to the last bit as those made alone: a promise of ours.

What a single one must be is checked against outside sources in ``test_convert``.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import pyvips

from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion import clut
from proofs.outside.pixels.conversion.clut import most_in_memory
from proofs.outside.pixels.conversion.convert import variant_image, variant_images
from proofs.records.labs import RenderingIntent
from tests.outside.pixels.little_cms import printer_profile
from tests.outside.pixels.pictures import as_rows, lab, profile, random_colours

DENSITIES = [-0.30, -0.10, 0.30, 0.20, 0.0, 0.10, 0.60]


def base_of(kind: str) -> ProfiledImage:
    """Many colours in a space, including its extremes."""
    colours = as_rows(random_colours(5000))
    if kind == "grey":
        grey = pyvips.Image.new_from_array(colours[..., :1], interpretation="grey16")
        return ProfiledImage(grey, icc.build_grey_profile("Grey", spaces.srgb_curve()))
    own = printer_profile() if kind == "printer" else profile(kind)
    return ProfiledImage(
        pyvips.Image.new_from_array(colours, interpretation="rgb16"), own, black=3.0
    )


def sized(base: ProfiledImage, height: int, width: int) -> ProfiledImage:
    """The colours of an image, repeated in an order of their own, as one of this size."""
    colours = base.image.numpy().reshape(-1, 3)
    places = np.random.default_rng(width).integers(0, len(colours), (height, width))
    return replace(base, image=pyvips.Image.new_from_array(colours[places], interpretation="rgb16"))


@pytest.mark.parametrize("count", [1, 2, 3, 4, 7])
@pytest.mark.parametrize("bits", [8, 16])
@pytest.mark.parametrize("source", ["srgb", "a98-rgb", "display-p3", "romm", "printer", "grey"])
def test_made_together_or_alone_they_are_the_same(source: str, bits: int, count: int) -> None:
    base, own = base_of(source), lab(bits=bits, space="srgb")
    densities = DENSITIES[-count:]
    alone = [variant_image(base, own, density).numpy() for density in densities]
    made = variant_images(base, own, densities)
    assert [image.interpretation for image in made] == ["srgb" if bits == 8 else "rgb16"] * count
    for one, image in zip(alone, made, strict=True):
        assert np.array_equal(one, image.numpy())
    assert all(not np.array_equal(one, alone[0]) for one in alone[1:])


@pytest.mark.parametrize("intent", RenderingIntent)
def test_they_are_the_same_for_a_printer_with_tables(
    tmp_path: Path, intent: RenderingIntent
) -> None:
    printer = tmp_path / "printer.icc"
    printer.write_bytes(printer_profile())
    base, own = base_of("a98-rgb"), lab(space=str(printer), intent=intent)
    for density, image in zip(DENSITIES, variant_images(base, own, DENSITIES), strict=True):
        assert np.array_equal(variant_image(base, own, density).numpy(), image.numpy())


@pytest.mark.parametrize("bits", [8, 16])
@pytest.mark.parametrize("source", ["srgb", "a98-rgb", "printer"])
def test_small_pictures_that_share_an_engine_are_as_large_ones_are(
    monkeypatch: pytest.MonkeyPatch, source: str, bits: int
) -> None:
    # One after the other, so that nothing of the first may be left in the second; of several
    # sizes, from less than the engine converts at once to a little more than twice that.
    bases = [sized(base_of(source), *size) for size in ((300, 450), (7, 9), (1, 1), (64, 1024))]
    own, densities = lab(bits=bits, space="srgb"), DENSITIES[-4:]
    small = [[image.numpy() for image in variant_images(base, own, densities)] for base in bases]
    monkeypatch.setattr(clut, "_SMALL", 0)
    for base, images in zip(bases, small, strict=True):
        for one, image in zip(images, variant_images(base, own, densities), strict=True):
            assert np.array_equal(one, image.numpy())


def test_the_same_density_may_be_requested_twice() -> None:
    base, own = base_of("display-p3"), lab(space="srgb")
    first, other, again = variant_images(base, own, [0.10, 0.20, 0.10])
    assert np.array_equal(first.numpy(), again.numpy())
    assert not np.array_equal(first.numpy(), other.numpy())


@pytest.mark.parametrize(
    ("inches", "bits", "most"),
    [((20, 16), 8, 4), ((20, 16), 16, 2), ((12, 10), 8, 12), ((40, 30), 8, 1), ((60, 44), 16, 0)],
)
def test_no_more_are_held_than_fit_in_400_mb(inches: tuple[int, int], bits: int, most: int) -> None:
    width, height = (side * 300 for side in inches)
    assert most_in_memory(pyvips.Image.black(width, height, bands=3), bits) == most
    one = width * height * 3 * bits / 8
    assert most * one <= 400e6 < (most + 1) * one
