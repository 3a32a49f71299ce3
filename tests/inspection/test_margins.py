"""White is looked for exactly, whatever codes a record names as white."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from proofs.inspection.margins import printed_outside
from proofs.pixel_areas import Area


@pytest.mark.parametrize("kind", ["uint8", "uint16"])
@given(data=st.data(), slack=st.integers(0, 5))
def test_a_pixel_counts_where_a_channel_is_too_far_from_white(
    kind: str, data: st.DataObject, slack: int
) -> None:
    most = int(np.iinfo(kind).max)
    near = st.sampled_from([0, 1, 3, most - 4, most - 1, most]) | st.integers(0, most)
    codes = data.draw(arrays.arrays(kind, (4, 5, 3), elements=near))
    white = data.draw(st.lists(near | st.just(65_535), min_size=3, max_size=3))
    far = np.asarray((np.abs(codes.astype(int) - white) > slack).any(axis=-1))
    far[1:3, 2:5] = False
    assert printed_outside(codes, white, [Area(2, 1, 9, 2)], spread=0, slack=slack) == far.sum()


def test_in_a_file_of_fewer_bits_no_code_is_as_white_as_recorded() -> None:
    codes = np.full((4, 6, 3), 255, np.uint8)
    assert printed_outside(codes, (65535,) * 3, [Area(1, 1, 2, 2)], spread=0, slack=0) == 20
