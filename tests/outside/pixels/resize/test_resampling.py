"""Exact size, no shift, no artefacts: reducing and enlarging against references.

Outside source: Lanczos-3 and its table of values (Pillow's kernel of that name, and the check
values computed from sinc(x) sinc(x/3)); a separable reference in double precision below.
"""

from collections.abc import Callable

import numpy as np
import pytest
import pyvips
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from proofs.lengths import PixelSize
from proofs.outside.pixels.resize.resampling import resampled
from tests.outside.pixels import near
from tests.outside.pixels.pictures import Array, photograph

SIDES = st.integers(1, 300)


def lanczos_3(x: Array) -> Array:
    return np.where(np.abs(x) < 3, np.sinc(x) * np.sinc(x / 3), 0)


def weights(old: int, new: int) -> Array:
    """The weight of each old pixel in each new one: Lanczos-3, stretched for reduction."""
    ratio = old / new
    stretch = max(ratio, 1)
    centres = (np.arange(new) + 0.5) * ratio - 0.5
    table = lanczos_3((np.arange(-3 * old, 4 * old)[None] - centres[:, None]) / stretch)
    table /= table.sum(axis=1, keepdims=True)
    folded = np.zeros((new, old))
    for place, column in zip(np.arange(-3 * old, 4 * old).clip(0, old - 1), table.T, strict=True):
        folded[:, place] += column
    return folded


def reference(pixels: Array, size: PixelSize) -> Array:
    down, across = weights(pixels.shape[0], size.height), weights(pixels.shape[1], size.width)
    exact = np.einsum("yh,hwc,xw->yxc", down, pixels, across, optimize=True)
    return np.asarray(np.clip(exact, 0, 255))


def ours(pixels: Array, size: PixelSize) -> Array:
    """The rounded 16-bit result, on the 8-bit scale."""
    image = pyvips.Image.new_from_array(np.rint(pixels * 257).astype(np.uint16))
    return np.asarray(resampled(image, size) / 257.0)


def test_the_reference_has_the_computed_values_of_lanczos_3() -> None:
    assert lanczos_3(np.array([0, 0.5, 1.5, 2.5])) == pytest.approx(
        [1, 0.607927102, -0.135094912, 0.024317084], abs=1e-9
    )


@pytest.mark.parametrize("ratio", [1.15, 1.5, 2.3, 3.0, 4.5, 8.0])
@pytest.mark.parametrize("name", ["astronaut", "chelsea", "coffee"])
def test_reducing_photographs_is_lanczos_3_over_all_pixels(name: str, ratio: float) -> None:
    pixels = photograph(name)[:240, :300].astype(float)
    size = PixelSize(round(300 / ratio), round(240 / ratio))
    exact = reference(pixels, size)
    off = np.abs(ours(pixels, size) - exact)
    clipped = (exact < 2) | (exact > 253)
    assert off[~clipped].max() <= near.REDUCED_CODES
    assert off.max() <= near.REDUCED_CODES_NEAR_CLIPPING


def zone_plate(side: int) -> Array:
    y, x = np.mgrid[-1 : 1 : side * 1j, -1 : 1 : side * 1j]
    return np.repeat((127.5 + 100 * np.cos(side * np.pi / 4 * (x**2 + y**2)))[..., None], 3, axis=2)


def star(side: int) -> Array:
    y, x = np.mgrid[-1 : 1 : side * 1j, -1 : 1 : side * 1j]
    return np.repeat((127.5 + 100 * np.sign(np.sin(36 * np.arctan2(y, x))))[..., None], 3, axis=2)


@pytest.mark.parametrize("figure", [zone_plate, star])
@pytest.mark.parametrize("ratio", [1.3, 2.0, 3.7])
def test_fine_patterns_show_no_moire_beyond_that_of_lanczos_3(
    figure: Callable[[int], Array], ratio: float
) -> None:
    pixels = figure(400)
    size = PixelSize(round(400 / ratio), round(400 / ratio))
    assert np.abs(ours(pixels, size) - reference(pixels, size)).max() <= near.REDUCED_CODES


@pytest.mark.parametrize("ratio", [1.5, 3.0])
def test_one_pixel_lines_keep_their_total_light(ratio: float) -> None:
    pixels = np.full((120, 120, 3), 40.0)
    pixels[:, 60] = 200
    size = PixelSize(round(120 / ratio), 120)
    got = ours(pixels, size)
    assert got[60, :, 0].sum() - 40 * size.width == pytest.approx(160 / ratio, abs=near.CODE)


@settings(max_examples=200, deadline=None)
@given(SIDES, SIDES, SIDES, SIDES)
def test_the_size_is_exact_and_flat_areas_stay_flat(
    old_width: int, old_height: int, width: int, height: int
) -> None:
    flat = np.full((old_height, old_width, 3), [65535, 51400, 0], dtype=np.uint16)
    image = pyvips.Image.new_from_array(flat)
    pixels = resampled(image, PixelSize(width, height))
    assert pixels.shape == (height, width, 3)
    assert (pixels == [65535, 51400, 0]).all()


def centre_of(pixels: Array) -> tuple[float, float]:
    """The centre of a blob, as a share of each side."""
    weight = pixels[..., 0] - pixels[0, 0, 0]
    y, x = np.mgrid[: weight.shape[0], : weight.shape[1]] + 0.5
    return (
        float((weight * x).sum() / weight.sum() / weight.shape[1]),
        float((weight * y).sum() / weight.sum() / weight.shape[0]),
    )


@pytest.mark.parametrize("factor", [0.21, 0.5, 0.77, 1.2, 1.5, 2.0, 3.3])
def test_nothing_shifts_in_either_direction(factor: float) -> None:
    y, x = np.mgrid[:101, :131]
    blob = 20 + 200 * np.exp(-((x - 71) ** 2 + (y - 43) ** 2) / (2 * 9.0**2))
    pixels = np.repeat(blob[..., None], 3, axis=2)
    size = PixelSize(round(131 * factor), round(101 * factor))
    across, down = centre_of(ours(pixels, size))
    assert across * size.width == pytest.approx(71.5 / 131 * size.width, abs=near.CENTRE)
    assert down * size.height == pytest.approx(43.5 / 101 * size.height, abs=near.CENTRE)


@pytest.mark.parametrize("factor", [1.07, 1.4, 2.0, 3.0])
def test_enlarging_is_lanczos_3_too(factor: float) -> None:
    pixels = photograph("astronaut")[100:180, 100:200].astype(float)
    size = PixelSize(round(100 * factor), round(80 * factor))
    assert np.abs(ours(pixels, size) - reference(pixels, size)).max() <= near.REDUCED_CODES


@pytest.mark.parametrize("size", [PixelSize(87, 70), PixelSize(50, 23), PixelSize(200, 160)])
def test_pillow_in_floating_point_agrees(size: PixelSize) -> None:
    pixels = photograph("astronaut")[100:180, 100:200].astype(np.float32)
    other = [
        np.asarray(
            Image.fromarray(pixels[..., n]).resize(
                (size.width, size.height), Image.Resampling.LANCZOS
            )
        )
        for n in range(3)
    ]
    inside = (slice(8, -8), slice(8, -8))  # at the edges Pillow truncates the kernel instead
    off = np.abs(ours(pixels, size) - np.clip(np.stack(other, axis=-1), 0, 255))[inside]
    assert off.max() <= near.ROUNDED


@pytest.mark.parametrize("size", [PixelSize(1181, 783), PixelSize(57, 31), PixelSize(150, 31)])
def test_flat_pictures_have_no_line_at_any_edge(size: PixelSize) -> None:
    assert (ours(np.full((67, 101, 3), 200.0), size) == 200).all()


def test_one_side_may_shrink_while_the_other_grows() -> None:
    pixels = np.tile(np.linspace(10, 240, 50)[None, :, None], (40, 1, 3))
    got = ours(pixels, PixelSize(100, 10))
    assert got.shape == (10, 100, 3)
    assert (np.diff(got[5, 4:-4, 0]) > 0).all()


@pytest.mark.parametrize("size", [PixelSize(118, 118), PixelSize(1, 1), PixelSize(300, 2)])
@pytest.mark.parametrize("shape", [(1, 1), (3, 3), (4, 2000), (600, 1)])
def test_the_smallest_and_thinnest_pictures_are_resampled(
    size: PixelSize, shape: tuple[int, int]
) -> None:
    got = ours(np.full((*shape, 3), 90.0), size)
    assert got.shape == (size.height, size.width, 3)
    assert (got == 90).all()
