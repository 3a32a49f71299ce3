"""A print looked at closely before it is sharpened: everything that `inspection/` finds in it."""

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.edge_sharpness import sharpness
from proofs.inspection.lightness_levels import BLOCK_MM, block_roughness, levels_of, texture
from proofs.inspection.lines import lines
from proofs.inspection.lost_tones import lost_tones, tone_extremes
from proofs.inspection.marks import Inspection, surest_first
from proofs.inspection.print_view import PrintView
from proofs.inspection.specks import level_count, speck_shapes, specks
from proofs.inspection.streaks import streaks
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.pixel_cielab import lightness_of_image, quick_lightness
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.print_sides import border_marks, lost_edge_marks
from proofs.records.inspections import InspectionProfile

STRIP_ROWS = 256


def inspect_print(
    base: ProfiledImage, view: PrintView, profile: InspectionProfile, *, rows: int = STRIP_ROWS
) -> Inspection:
    """Return what is worth a look in a picture that has the pixels of its print.

    It is upright, cropped, and not sharpened. ``rows`` is how many rows are worked on at a time;
    the result does not depend on it.
    """
    vips.ready()
    lightness, mm = _lightness(base, rows), view.px_per_mm
    levels = levels_of(lightness, level_count(mm))
    found = speck_shapes(levels, profile.specks, mm, rows)
    rough = texture(block_roughness(lightness, max(1, round(BLOCK_MM * mm))), BLOCK_MM)
    sharpest = sharpness(lightness, profile.sharpness.least_edges)
    marks = [
        *border_marks(base, view, profile.borders),
        *lost_edge_marks(base, view, profile.lost_edges),
        *lost_tones(tone_extremes(lightness), view, profile.tones),
        *specks(found, profile.specks, mm),
        *lines(levels[0], levels[1], profile.lines, mm, rows),
        *streaks(lightness, profile.streaks, mm),
    ]
    return Inspection(
        surest_first(marks),
        searched_share=float((rough <= profile.specks.most_texture_l).mean()),
        edge_width_mm=sharpest.edge_px / mm if sharpest else None,
        sharpest=((sharpest.x + 0.5) / mm, (sharpest.y + 0.5) / mm) if sharpest else None,
    )


def _lightness(base: ProfiledImage, rows: int) -> NDArray[np.float32]:
    """The L* of all pixels, made a few rows at a time."""
    image = base.image
    lightness = np.empty((image.height, image.width), np.float32)
    most = 65535 if image.format == "ushort" else 255
    quick = quick_lightness(base.profile, most) if image.bands == 3 else None
    for top in range(0, image.height, rows):
        strip = image.crop(0, top, image.width, min(rows, image.height - top))
        own = quick(strip.numpy()) if quick else lightness_of_image(strip, base.profile)
        lightness[top : top + rows] = own
    return lightness
