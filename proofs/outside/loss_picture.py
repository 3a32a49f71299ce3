"""A picture of the colours outside a profile's gamut: pale grey, with patterns drawn over it.

It has only greys, so that any printer can print it. The greys of the patterns are not among the
pale ones, so that a pattern cannot be mistaken for a part of the picture.
"""

import numpy as np
from numpy.typing import NDArray

from proofs.pages.soft_proof.pages import BEYOND, LINES, LOST

Codes = NDArray[np.uint8]
Marked = NDArray[np.bool_]

_LIGHT = np.array([0.2126, 0.7152, 0.0722])  # of red, green and blue; IEC 61966-2-1
_PALEST, _PALE_SPAN = 255, 78
_LINES_ACROSS = 44  # the longer side of the picture
_LINE_SHARE = 0.3


def loss_picture(codes: Codes, beyond: Marked, lost: Marked) -> Codes:
    """Return the picture in sRGB, hatched where out of gamut and crossed where lost.

    A colour that is both is shown as lost.
    """
    grey = codes @ _LIGHT
    tones = _PALEST - _PALE_SPAN * (1 - grey / 255)
    rising, falling = _stripes(grey.shape)
    tones = np.where(beyond, np.where(rising, LINES[0], BEYOND[0]), tones)
    tones = np.where(lost, np.where(rising | falling, LINES[0], LOST[0]), tones)
    drawn = np.rint(tones).astype(np.uint8)
    return np.repeat(drawn[..., None], 3, axis=2)


def _stripes(shape: tuple[int, ...]) -> tuple[Marked, Marked]:
    """The pixels of the lines that rise to the right, and of those that fall."""
    pitch = max(4, round(max(shape) / _LINES_ACROSS))
    rows, columns = np.indices(shape)
    width = max(1, round(pitch * _LINE_SHARE))
    return (rows + columns) % pitch < width, (columns - rows) % pitch < width
