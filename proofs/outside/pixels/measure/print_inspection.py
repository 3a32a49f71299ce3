"""A print looked at closely before it is sharpened: everything that `inspection/` finds in it."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.even_strips import Strip, even_strips
from proofs.inspection.lost_edges import PIECE_MM, along_side, lost_edges, mean_pieces
from proofs.inspection.lost_tones import lost_tones, tone_extremes
from proofs.inspection.marks import Inspection, Lab, Mark, MarkKind, surest_first
from proofs.inspection.print_view import PrintView
from proofs.lengths import Edge
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.pixel_cielab import cielab_of_image, lightness_of_image
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.edge_lines import edge_lines
from proofs.records.inspections import InspectionProfile

STRIP_ROWS = 256
_SEARCHED_SHARE = 4  # of a side: a margin is not deeper


def inspect_print(
    base: ProfiledImage, view: PrintView, profile: InspectionProfile, *, rows: int = STRIP_ROWS
) -> Inspection:
    """Return what is worth a look in a picture that has the pixels of its print.

    It is upright, cropped, and not sharpened. ``rows`` is how many rows are worked on at a time;
    the result does not depend on it.
    """
    vips.ready()
    lightness = _lightness(base, rows)
    marks = [
        *_border_marks(base, view, profile),
        *_lost_edge_marks(base, view, profile),
        *lost_tones(tone_extremes(lightness), view, profile.tones),
    ]
    return Inspection(surest_first(marks), searched_share=1.0)


def _lightness(base: ProfiledImage, rows: int) -> NDArray[np.float32]:
    """The L* of all pixels, made a few rows at a time."""
    image = base.image
    lightness = np.empty((image.height, image.width), np.float32)
    for top in range(0, image.height, rows):
        strip = image.crop(0, top, image.width, min(rows, image.height - top))
        lightness[top : top + rows] = lightness_of_image(strip, base.profile)
    return lightness


def _size_mm(base: ProfiledImage, view: PrintView) -> tuple[float, float]:
    return base.image.width / view.px_per_mm, base.image.height / view.px_per_mm


def _border_marks(
    base: ProfiledImage, view: PrintView, profile: InspectionProfile
) -> Iterator[Mark]:
    most_px = profile.borders.most_width_mm * view.px_per_mm
    full = np.float32(257 if base.image.format == "ushort" else 1)
    for side, lines in edge_lines(base).items():
        depth = max(len(lines) // _SEARCHED_SHARE, min(len(lines), round(most_px) + 20))
        codes = lines[:depth].astype(np.float32) / full
        for strip in even_strips(codes, profile.borders, most_px):
            yield _strip_mark(strip, side, base, view)


def _strip_mark(strip: Strip, side: Edge, base: ProfiledImage, view: PrintView) -> Mark:
    size = _size_mm(base, view)
    length = size[0] if side in (Edge.TOP, Edge.BOTTOM) else size[1]
    start, width = strip.start / view.px_per_mm, strip.width / view.px_per_mm
    colour, ground = (_colour_of(codes, base) for codes in (strip.codes, strip.ground))
    stretch = (min(start, length / 2), max(0.0, length - 2 * start))
    return Mark(
        MarkKind.STROKE if strip.is_stroke else MarkKind.BORDER,
        along_side(side, stretch, width, size, start=start),
        contrast=colour[0] - ground[0],
        confidence=1.0,
        length_mm=stretch[1],
        width_mm=width,
        side=side,
        colour=colour,
    )


def _colour_of(codes: tuple[float, ...], base: ProfiledImage) -> Lab:
    """The CIELAB of 8-bit codes in the picture's own space."""
    pixel = np.rint(np.array(codes) * 257).astype(np.uint16)[None, None, :]
    lightness, a, b = cielab_of_image(vips.image_of_codes(pixel), base.profile)[0, 0]
    return float(lightness), float(a), float(b)


def _lost_edge_marks(
    base: ProfiledImage, view: PrintView, profile: InspectionProfile
) -> Iterator[Mark]:
    image, size = base.image, _size_mm(base, view)
    across = max(1, min(round(PIECE_MM * view.px_per_mm), image.width, image.height))
    bands = {
        Edge.TOP: (0, 0, image.width, across),
        Edge.RIGHT: (image.width - across, 0, across, image.height),
        Edge.BOTTOM: (0, image.height - across, image.width, across),
        Edge.LEFT: (0, 0, across, image.height),
    }
    for side, mat in view.mats.items():
        colours = cielab_of_image(image.crop(*bands[side]), base.profile)
        if side in (Edge.LEFT, Edge.RIGHT):
            colours = colours.swapaxes(0, 1)
        pieces = mean_pieces(colours, view.px_per_mm)
        yield from lost_edges(pieces, mat, side, size, profile.lost_edges)
