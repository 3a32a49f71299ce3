"""Sharpening for the print: what ink and paper soften, given back in advance."""

import numpy as np
import pyvips

from proofs.outside.pixels import curves, spaces

# Common practice, no source: half the difference to a blurred copy is seen on the print only as
# crispness, all of it is as much as a portrait bears.
AMOUNTS = {"off": 0.0, "low": 0.5, "standard": 1.0}
_PPI_PER_RADIUS = 200  # a radius of 1.5 pixels at 300 ppi: common practice, no source
_THRESHOLD = 65535 * 2.5 / 255  # softer differences are noise or smooth tone: left alone
_WHITE = 65535


def sharpened(image: pyvips.Image, profile: bytes, strength: str, ppi: int) -> pyvips.Image:
    """Return a 16-bit picture sharpened in lightness by ``off``, ``low`` or ``standard``.

    All channels move alike, so hues stay. Flat areas and differences below 2.5 codes of 255
    do not change; the lines along edges come near black and white but never reach them.
    """
    amount = AMOUNTS[strength]
    if not amount:
        return image
    codes = image.copy(interpretation="multiband").cast("float")
    light_and_dark = codes.recomb([_weights(profile)]) if image.bands == 3 else codes
    blurred = light_and_dark.gaussblur(ppi / _PPI_PER_RADIUS, precision="float", min_ampl=0.01)
    change = _beyond_threshold(light_and_dark - blurred) * amount
    room = _room(codes, change)
    moved = codes + change * room / (room + change.abs() + 1e-6)
    names = {1: "grey16", 3: "rgb16"}
    return moved.rint().cast("ushort").copy(interpretation=names[image.bands])


def _beyond_threshold(difference: pyvips.Image) -> pyvips.Image:
    kept = difference.abs() - _THRESHOLD
    return (kept > 0).ifthenelse(kept * difference.sign(), 0)


def _room(codes: pyvips.Image, change: pyvips.Image) -> pyvips.Image:
    """How far the channel nearest to white, or to black, can still move the way of the change."""
    highest, lowest = codes, codes
    if codes.bands == 3:
        highest = codes[0].bandrank([codes[1], codes[2]], index=2)
        lowest = codes[0].bandrank([codes[1], codes[2]], index=0)
    return (change > 0).ifthenelse(highest * -1 + _WHITE, lowest)


def _weights(profile: bytes) -> list[float]:
    """How much each channel adds to lightness: the Y of its primary."""
    model = curves.matrix_model(profile)
    y = model.to_xyz[1] if model else spaces.to_connection(spaces.SRGB)[1]
    return [float(v) for v in np.clip(y, 0, None) / np.clip(y, 0, None).sum()]
