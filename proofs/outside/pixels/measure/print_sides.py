"""The sides of a print: the borders and strokes along them, and where they are lost in a mat."""

from collections.abc import Iterator

import numpy as np

from proofs.inspection.even_strips import even_strips
from proofs.inspection.lost_edges import PIECE_MM, along_side, lost_edges, mean_pieces
from proofs.inspection.marks import Lab, Mark, MarkKind
from proofs.inspection.print_view import PrintView
from proofs.inspection.strip_colours import Strip
from proofs.lengths import Edge
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.pixel_cielab import cielab_of_image
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.edge_lines import edge_lines
from proofs.records.inspections import BorderLimits, LostEdgeLimits

_SEARCHED_SHARE = 4  # of a side: no margin is deeper
_BEYOND_PX = 20  # pixels behind the widest border, to see where it ends


def border_marks(base: ProfiledImage, view: PrintView, limits: BorderLimits) -> Iterator[Mark]:
    """Yield the borders and strokes along the sides of a picture that has its print's pixels."""
    most_px = limits.most_width_mm * view.px_per_mm
    full = np.float32(257 if base.image.format == "ushort" else 1)
    for side, lines in edge_lines(base).items():
        depth = max(len(lines) // _SEARCHED_SHARE, min(len(lines), round(most_px) + _BEYOND_PX))
        codes = lines[:depth].astype(np.float32) / full
        for strip in even_strips(codes, limits, most_px):
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


def lost_edge_marks(base: ProfiledImage, view: PrintView, limits: LostEdgeLimits) -> Iterator[Mark]:
    """Yield the stretches of each side whose outermost millimetre is too like the mat beside it."""
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
        yield from lost_edges(pieces, mat, side, size, limits)


def _size_mm(base: ProfiledImage, view: PrintView) -> tuple[float, float]:
    return base.image.width / view.px_per_mm, base.image.height / view.px_per_mm
