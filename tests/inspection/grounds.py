"""Calm pictures to plant defects in, and how they are inspected."""

import numpy as np

from proofs.inspection.marks import Inspection, Mark, MarkKind
from proofs.inspection.print_view import PrintView
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.print_inspection import STRIP_ROWS, inspect_print
from tests.inspection.planting import Codes
from tests.workbench import SHIPPED

PPI = 300
MM = PPI / 25.4
USUAL = SHIPPED.inspection("usual")
VIEW = PrintView(PPI, {}, (("A", 0.0),), 9.0)


def sky(width: int = 700, height: int = 500, seed: int = 1, grain: float = 1.5) -> Codes:
    """Return an evening sky with grain, in 8-bit sRGB."""
    y, x = np.mgrid[0:height, 0:width]
    tone = 120 + 50 * y / height + 8 * np.sin(x / 170)
    noise = np.random.default_rng(seed).normal(0, grain, (height, width))
    codes = (tone + noise)[..., None] + np.array([-6, 0, 10])
    return np.asarray(np.rint(np.clip(codes, 0, 255)), np.uint8)


def base_of(codes: Codes) -> ProfiledImage:
    """Return 8-bit sRGB as the base of a print has it, 16 bits deep."""
    image = vips.image_of_codes(codes.astype(np.uint16) * 257)
    return ProfiledImage(image, spaces.built_in_profile("srgb"))


def inspected(codes: Codes, view: PrintView = VIEW, rows: int = STRIP_ROWS) -> Inspection:
    """Return the usual inspection of a picture."""
    return inspect_print(base_of(codes), view, USUAL, rows=rows)


def marks_of(codes: Codes, *kinds: MarkKind, view: PrintView = VIEW) -> list[Mark]:
    """Return the marks of some kinds on a picture."""
    return [mark for mark in inspected(codes, view).marks if mark.kind in kinds]
