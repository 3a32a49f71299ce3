"""Clear and half-clear pictures laid onto paper white, as light does it."""

from collections.abc import Sequence

import pyvips

from proofs.outside.pixels.colour.icc import Curve
from proofs.outside.pixels.colour.linear_light import codes_to_light, light_to_codes, to_16_bits

_WHOLE = {"uchar": 255, "ushort": 65535, "uint": 2**32 - 1}


def opacity_of(alpha: pyvips.Image) -> pyvips.Image:
    """Return the opacity, 0 to 1, that the alpha channel of a picture holds."""
    alpha = alpha.copy(interpretation="multiband")
    if alpha.format not in _WHOLE:
        return alpha.clamp(min=0, max=1)
    return alpha.linear(1 / _WHOLE[alpha.format], 0)


def flattened(image: pyvips.Image, opacity: pyvips.Image, curves: Sequence[Curve]) -> pyvips.Image:
    """Return a picture of 16 bits laid onto white.

    Mixed in linear light: mixed in codes, half-clear edges come out too dark. Pixels that hide
    all of the paper keep their codes to the last digit.
    """
    codes = to_16_bits(image)
    light = codes_to_light(codes, curves)
    mixed = light_to_codes((light - 1) * opacity + 1, curves)
    return (opacity >= 1).ifthenelse(codes, mixed)
