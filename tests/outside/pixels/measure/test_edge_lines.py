"""The lines from each edge of a picture, against the pixels themselves."""

import numpy as np
import pytest

from proofs.lengths import Edge
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.edge_lines import edge_lines
from tests.outside.pixels.pictures import profile


@pytest.mark.parametrize("bands", [1, 3])
@pytest.mark.parametrize(("width", "height"), [(40, 30), (700, 530)])
def test_lines_run_inwards_from_their_edge(width: int, height: int, bands: int) -> None:
    drawn = np.random.default_rng(4).integers(0, 65536, (height, width, bands))
    pixels: np.ndarray = drawn.astype(np.uint16)
    lines = edge_lines(ProfiledImage(vips.image_of_codes(pixels), profile("srgb")))
    across, down = max(1, width // 256), max(1, height // 256)
    rows = pixels[:, : width // across * across : across]
    columns = pixels[: height // down * down : down].swapaxes(0, 1)
    expected = {
        Edge.TOP: rows,
        Edge.BOTTOM: rows[::-1],
        Edge.LEFT: columns,
        Edge.RIGHT: columns[::-1],
    }
    for edge, whole in expected.items():
        assert len(lines[edge]) == len(whole)
        for some in (slice(0, 1), slice(5, 17), slice(25, 10_000)):
            assert np.array_equal(lines[edge][some], whole[some])
