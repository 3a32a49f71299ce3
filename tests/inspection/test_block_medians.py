"""Medians by comparisons, held to those of NumPy."""

import numpy as np
import pytest

from proofs.inspection.block_medians import block_medians, median_of, medians_around


@pytest.mark.parametrize("count", [*range(1, 34), 64])
def test_a_median_is_that_of_numpy(count: int) -> None:
    values = np.random.default_rng(count).integers(0, 40, (count, 60, 7)).astype(np.float32) / 3
    assert np.array_equal(median_of(list(values)), np.median(values, axis=0))


def test_the_medians_of_blocks_are_those_of_their_pixels() -> None:
    values = np.random.default_rng(1).normal(size=(40, 64)).astype(np.float32)
    own = np.median(values.reshape(5, 8, 8, 8)[:, 1::3, :, 1::3], axis=(1, 3))
    assert np.array_equal(block_medians(values, 8, 3, 1), own)


def test_the_medians_around_a_block_take_the_outermost_again_beyond_the_frame() -> None:
    blocks = np.random.default_rng(2).normal(size=(5, 7)).astype(np.float32)
    framed = np.pad(blocks, 2, mode="edge")
    own = np.median(framed[2:7, 0:5])
    assert medians_around(blocks, 2)[2, 0] == own
