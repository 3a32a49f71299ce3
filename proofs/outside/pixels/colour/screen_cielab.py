"""The CIELAB of a colour given in sRGB codes, such as that of a board."""

import numpy as np

from proofs.outside.pixels.colour import cielab
from proofs.outside.pixels.colour.matrix_models import matrix_model
from proofs.outside.pixels.colour.spaces import built_in_profile
from proofs.plan.entry.mockup import Colour


def screen_cielab(colour: Colour) -> tuple[float, float, float]:
    """Return the CIELAB (D50), to a thousandth, of three codes of 8 bits."""
    model = matrix_model(built_in_profile("srgb"))
    assert model is not None, "sRGB is a matrix profile"
    codes = np.array(colour, dtype=np.float64) / 255
    light = np.array([float(curve(codes[n])) for n, curve in enumerate(model.curves)])
    lightness, a, b = (
        round(float(value), 3) + 0.0 for value in cielab.from_xyz(light @ model.to_xyz.T)
    )
    return lightness, a, b
