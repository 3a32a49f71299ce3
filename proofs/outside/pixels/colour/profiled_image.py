"""An image together with the profile that defines its colours."""

from dataclasses import dataclass

import pyvips


@dataclass(frozen=True, slots=True)
class ProfiledImage:
    """An upright image of one or three channels, 8 or 16 bits, in its own colour space.

    ``profile`` defines what the codes mean; ``black`` is the L* of the darkest tone that the
    source's device can hold, 0 unless it prints with ink.
    """

    image: pyvips.Image
    profile: bytes
    black: float = 0.0
