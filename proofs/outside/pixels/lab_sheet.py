"""A finished picture set on the sheet that a lab prints, in the lab's space and depth."""

from collections.abc import Sequence

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.grey_route import name_of
from proofs.outside.pixels.strip_pieces import grey_codes
from proofs.pixel_areas import Area
from proofs.plan.sheets.placing import Placing
from proofs.records.labs import Lab

Greys = NDArray[np.uint16]

_WHITE = 65535


def on_sheet(
    image: pyvips.Image, lab: Lab, placing: Placing, margin_marks: Sequence[tuple[Area, Greys]]
) -> pyvips.Image:
    """Return a picture, in the lab's space already, in its place on the white sheet.

    ``beside`` holds what is printed round it, as L* with 65535 for 100. No pixel of the picture
    is changed.
    """
    vips.ready()
    area = placing.image
    sheet = image.embed(
        area.left,
        area.top,
        placing.file.width,
        placing.file.height,
        extend="background",
        background=white_codes(lab),
    )
    for place, greys in margin_marks:
        codes = grey_codes(greys, lab)
        piece = pyvips.Image.new_from_array(codes, interpretation=name_of(codes.shape[2], lab.bits))
        sheet = sheet.insert(piece, place.left, place.top)
    return sheet


def white_codes(lab: Lab) -> list[int]:
    """Return the codes of bare paper in a lab's files."""
    white = grey_codes(np.full((1, 1), _WHITE, np.uint16), lab)
    return [int(code) for code in white[0, 0]]
