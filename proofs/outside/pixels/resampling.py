"""From the pixels of the source to exactly the pixels of the print, in floating point.

In the codes of the source, not in linear light: at the ratios of prints light brings the mean
tone nearer by 0.1 to 0.5 L*, but lays a dark line four times as strong along edges (12.8 L*
against 2.9 at an edge of codes 0.2 and 0.8). Enlarging is bicubic: against photographs reduced
and enlarged again, the library's other kernels gain or lose 0.5 dB by the picture. Figures:
``tests/bench/resampling.py``.
"""

import pyvips

from proofs.lengths import PixelSize


def resampled(image: pyvips.Image, size: PixelSize) -> pyvips.Image:
    """Return the picture at exactly ``size``, in float, in its own encoding and scale.

    Reducing is Lanczos-3 over all pixels, enlarging bicubic and centred; each axis on its
    own. Rounding and clipping are left to the caller: whole numbers between the two passes
    cost up to 18 codes at hard edges (measured).
    """
    if (image.width, image.height) == (size.width, size.height):
        return image.cast("float")
    across, down = size.width / image.width, size.height / image.height
    pixels = image.copy(interpretation="multiband").cast("float")
    if across < 1 or down < 1:
        pixels = pixels.resize(min(across, 1), vscale=min(down, 1), kernel="lanczos3", gap=0)
    if across > 1 or down > 1:
        pixels = _enlarged(pixels, max(across, 1), max(down, 1), size)
    if (pixels.width, pixels.height) != (size.width, size.height):
        raise AssertionError(f"{pixels.width} x {pixels.height} instead of {size}")
    return pixels


def _enlarged(image: pyvips.Image, across: float, down: float, size: PixelSize) -> pyvips.Image:
    # The library's resize() enlarges off centre, by half a pixel of the print (8.18), and reads a
    # dark ground beyond the edges unless told to repeat the last row.
    return image.affine(
        [across, 0, 0, down],
        interpolate=pyvips.Interpolate.new("bicubic"),
        idx=0.5 * (1 - 1 / across),
        idy=0.5 * (1 - 1 / down),
        extend="copy",
        oarea=[0, 0, size.width, size.height],
    )


def rounded(image: pyvips.Image) -> pyvips.Image:
    """Return a float picture of 16-bit scale as 16-bit numbers, rounded and clipped."""
    names = {1: "grey16", 3: "rgb16"}
    return image.rint().cast("ushort").copy(interpretation=names[image.bands])
