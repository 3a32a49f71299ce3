"""The CIELAB of whole pictures by their profile, exact where the profile lets it be."""

import numpy as np
import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.colour.cielab import media_relative_to_measured, xyz_to_cielab
from proofs.outside.pixels.colour.icc import Floats
from proofs.outside.pixels.colour.matrix_models import matrix_model
from proofs.outside.pixels.conversion.grey import cielab_of_grey_codes
from proofs.records.labs import RenderingIntent


def cielab_of_image(image: pyvips.Image, profile: bytes, *, intent: str = "relative") -> Floats:
    """Return the CIELAB (D50) of an 8-bit or 16-bit picture, (rows, columns, 3).

    ``intent`` chooses among the tables of a look-up profile; a matrix has but one meaning, which
    is relative to its white.
    """
    vips.ready()
    codes = image.numpy().reshape(image.height, image.width, image.bands)
    most = 65535 if image.format == "ushort" else 255
    if image.bands == 1 and icc.read_header(profile).channels == 1:
        tones = cielab_of_grey_codes(profile)[:: 65535 // most]
        return np.asarray(tones[codes[..., 0]])
    model = matrix_model(profile)
    if model is None:
        file, table = (
            vips.profile_file(profile),
            RenderingIntent.RELATIVE if intent == RenderingIntent.ABSOLUTE else intent,
        )
        lab = image.icc_import(input_profile=file, intent=table, pcs="lab").numpy()
        lab = np.asarray(lab, dtype=np.float64)
        return (
            media_relative_to_measured(lab, profile) if intent == RenderingIntent.ABSOLUTE else lab
        )
    steps = np.linspace(0, 1, most + 1)
    light = [curve(steps)[codes[..., n]] for n, curve in enumerate(model.curves)]
    return xyz_to_cielab(np.stack(light, axis=-1) @ model.to_xyz.T)
