"""The lines of pixels from each edge of a picture inwards, sparsely sampled, for inspection."""

from dataclasses import dataclass

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import Edge
from proofs.outside.pixels.colour.profiled_image import ProfiledImage

_SAMPLES = 256


@dataclass(frozen=True, slots=True)
class EdgeLines:
    """The lines parallel to an edge, from the edge inwards, read as they are asked for.

    Most pictures are judged by the first few, and all would take 30 ms. No line is left out, but
    each has only about 256 samples.
    """

    image: pyvips.Image
    edge: Edge

    def __len__(self) -> int:
        return int(self.image.height if self._are_rows else self.image.width)

    def __getitem__(self, lines: slice) -> NDArray[np.uint16]:
        """Return some of the lines: lines, samples and channels, in the codes of the image."""
        first, last, _ = lines.indices(len(self))
        if self.edge in (Edge.BOTTOM, Edge.RIGHT):
            return self._between(len(self) - last, len(self) - first)[::-1]
        return self._between(first, last)

    @property
    def _are_rows(self) -> bool:
        return self.edge in (Edge.TOP, Edge.BOTTOM)

    def _between(self, first: int, last: int) -> NDArray[np.uint16]:
        """These lines, counted from the top or from the left."""
        image, count = self.image, last - first
        if self._are_rows:
            across = max(1, image.width // _SAMPLES)
            rows = _with_channels(image.crop(0, first, image.width, count).numpy())
            return rows[:, : image.width // across * across : across]
        down = max(1, image.height // _SAMPLES)
        columns = image.crop(first, 0, count, image.height).subsample(1, down)
        return _with_channels(columns.numpy()).swapaxes(0, 1)


def edge_lines(base: ProfiledImage) -> dict[Edge, EdgeLines]:
    """Return the lines of an image from each of its edges."""
    return {edge: EdgeLines(base.image, edge) for edge in Edge}


def _with_channels(codes: NDArray[np.uint16]) -> NDArray[np.uint16]:
    return codes[..., np.newaxis] if codes.ndim == 2 else codes
