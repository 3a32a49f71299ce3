"""Pictures of the finished mount, to scale: from the front, and from behind."""

import io
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from proofs.errors import WriteError
from proofs.outside.back_drawing import draw_back
from proofs.outside.bevels import Codes, cut_edge, draw_oval_cut, frame_strips, lay_cut
from proofs.outside.files import MOST_PICTURE_BYTES, read_bytes
from proofs.outside.fonts import Fonts, load_fonts
from proofs.outside.ground import board_of, fill, on_ground
from proofs.outside.marks_on_pixels import Pen
from proofs.outside.png import PngFrame, png_frame, rgb_png
from proofs.pages.typography import REGULAR
from proofs.pixel_areas import size_in_pixels
from proofs.plan.bench.labels import Label
from proofs.plan.entry.board import Cut, Layout, Opening, Picture
from proofs.plan.entry.mockup import (
    GROUND_PX,
    PAPER,
    PX_PER_INCH,
    Box,
    Colour,
    bevel_colours,
    board_colour,
    board_pixels,
    front_colour,
    ink_on,
    on_board,
    picture_pixels,
)
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import BevelKind, Mount, WindowKind, WindowShape

Floats = NDArray[np.float64]

_SHADE_DEPTH = 0.10  # how much darker the print is at the foot of the mat, in sRGB codes
_SHADE_REACH_PX = 3.5
_OVERHANG_DEPTH = 0.20  # a reverse bevel overhangs the print
_PRINT_SHADE_DEPTH = 0.16
_REACH_PX, _SPACED_REACH_PX = 5.0, 12.0  # of that shade; a print on spacers is off the board


_NEAR_PX = 2  # as far beyond the edges of a cut the pixels change that it is drawn in


@dataclass(frozen=True, slots=True)
class EmptyMount:
    """The front of a mount without its pictures, made once for all prints and their steps.

    ``canvas`` holds its pixels with the ground round it; ``over`` draws on its board what covers
    the pictures, in this order. ``frame`` is what its PNGs share: the rows beside its pictures.
    """

    canvas: Codes
    over: tuple[Callable[[Codes], None], ...]
    frame: PngFrame


def empty_mount(plan: Plan) -> EmptyMount:
    """Return the mount of a plan, at 100 px per inch of board, for ``front_codes``."""
    return _empty_mount(plan.layout, plan.mount)


@lru_cache(maxsize=2)  # 24 MB each, or more; the mounts of a run are often of one size
def _empty_mount(layout: Layout, mount: Mount) -> EmptyMount:
    canvas, board = on_ground(size_in_pixels(layout.board, PX_PER_INCH))
    fill(board, front_colour(mount))
    for cuts in layout.windows:
        _fill_window(board, mount, cuts)
    for lying in layout.pictures:
        _seat_print(board, mount, lying)
    over = [draw for cuts in layout.windows for draw in _cut_window(board, mount, cuts)]
    return EmptyMount(canvas, tuple(over), png_frame(canvas, _changing_rows(layout, board)))


def _changing_rows(layout: Layout, board: Codes) -> slice:
    """The rows of a mock-up in which anything is drawn once its pictures are laid."""
    cuts = [cut for cuts in layout.windows for cut in cuts]
    drawn = [opening for cut in cuts for opening in (cut.face, cut.limiting)]
    boxes = [on_board(opening) for opening in (*drawn, *(p.image for p in layout.pictures))]
    top = max(0, math.floor(min(box.top for box in boxes)) - _NEAR_PX)
    bottom = min(len(board), math.ceil(max(box.bottom for box in boxes)) + _NEAR_PX)
    return slice(GROUND_PX + top, GROUND_PX + bottom)


def front_codes(
    mount: EmptyMount, plan: Plan, pictures: Sequence[Codes], *, not_printed: bool = False
) -> Codes:
    """Return the mount seen from the front with its pictures, at 100 px per inch of board.

    ``pictures`` hold sRGB codes, in the plan's order and of the sizes that ``picture_pixels``
    returns. Raises ``ValueError`` for another size.
    """
    canvas = mount.canvas.copy()
    _lay_pictures(canvas, mount, plan, pictures)
    if not_printed:
        board = board_of(canvas)
        image = Image.fromarray(board)
        _mark(image, "not printed", ink_on(front_colour(plan.mount)))
        board[:] = np.asarray(image)
    return canvas


def front_png(mount: EmptyMount, plan: Plan, pictures: Sequence[Codes]) -> bytes:
    """Return the PNG of what ``front_codes`` returns, without drawing what all of them share."""
    canvas, rows = np.empty_like(mount.canvas), mount.frame.read_rows
    canvas[rows] = mount.canvas[rows]
    _lay_pictures(canvas, mount, plan, pictures)
    return mount.frame.png(canvas, PX_PER_INCH)


def _lay_pictures(canvas: Codes, mount: EmptyMount, plan: Plan, pictures: Sequence[Codes]) -> None:
    """Draw the pictures, and what covers them, on a canvas with the mount."""
    for n, picture in enumerate(pictures):
        expected = picture_pixels(plan, n)
        if picture.shape != (expected.height, expected.width, 3) or picture.dtype != np.uint8:
            raise ValueError(f"a picture of {picture.shape} {picture.dtype}, not {expected}")
    board = board_of(canvas)
    for lying, picture in zip(plan.layout.pictures, pictures, strict=True):
        _paste(board, picture, lying.image, within=on_board(lying.limiting or lying.image))
    for draw in mount.over:
        draw(board)


def back_codes(plan: Plan, label: Label, front: Codes, fonts: Fonts) -> Codes:
    """Return the mount seen from behind: label, TOP with an arrow, and its pictures as a ghost.

    ``front`` is its front as ``front_codes`` returns it; of the ghost, only what is seen there
    shows. The openings are dotted.
    """
    canvas, board = on_ground(board_pixels(plan))
    board[:] = np.asarray(draw_back(plan, label, board_of(front), fonts))
    return canvas


def mockup_png(codes: Codes) -> bytes:
    """Return a mock-up as PNG."""
    return rgb_png(codes, PX_PER_INCH)


def read_mockup(path: Path) -> Codes:
    """Return the pixels of a mock-up that an earlier run made. Raises ``WriteError``."""
    content = read_bytes(path, error=WriteError, most=MOST_PICTURE_BYTES)
    with Image.open(io.BytesIO(content), formats=["PNG"]) as image:
        return np.asarray(image.convert("RGB"))


def _fill_window(board: Codes, mount: Mount, cuts: Sequence[Cut]) -> None:
    """Fill an opening with what is visible without a print: lower mats, then paper or board."""
    colours = [board_colour(mat.colour) for mat in mount.inner]
    ground = board_colour(mount.backing_colour) if mount.window == WindowKind.FLOAT else PAPER
    for cut, colour in zip(cuts, (*colours, ground), strict=True):
        fill(_part(board, on_board(cut.face)), colour)
        fill(_part(board, on_board(cut.limiting)), colour)


def _seat_print(board: Codes, mount: Mount, lying: Picture) -> None:
    """Draw what a print adds to its image: its shadow on the board, its paper, a keyline."""
    if mount.window in (WindowKind.NONE, WindowKind.FLOAT):
        edge = on_board(lying.outline)
        _shade_outside(board, edge, reach=_SPACED_REACH_PX if mount.spacer else _REACH_PX)
        fill(_part(board, edge), PAPER)
    if mount.keyline:
        line = on_board(lying.image.grown(mount.keyline))
        fill(_part(board, line), board_colour(mount.keyline_colour))


def _cut_window(
    board: Codes, mount: Mount, cuts: Sequence[Cut]
) -> Iterator[Callable[[Codes], None]]:
    """Yield what draws a window over its print: the shadow of each mat, and its bevel."""
    reverse = mount.bevel == BevelKind.REVERSE
    reach = max(_SHADE_REACH_PX, mount.mat.inches * PX_PER_INCH * 0.8)
    shade = (_OVERHANG_DEPTH, reach) if reverse else (_SHADE_DEPTH, _SHADE_REACH_PX)
    for cut, made_of in reversed(list(zip(cuts, mount.mats, strict=True))):
        face, limit = on_board(cut.face), on_board(cut.limiting)
        mat, bevel = board_colour(made_of.colour), bevel_colours(made_of.core_colour)
        if mount.shape != WindowShape.RECTANGLE:
            yield partial(draw_oval_cut, edges=(face, limit), mat=mat, bevel=bevel, shade=shade)
            continue
        yield partial(_shade_inside, box=limit, depth=shade[0], reach=shade[1])
        yield partial(lay_cut, cut=cut_edge((face, limit), mat, bevel, shape=board.shape))


def _paste(canvas: Codes, picture: Codes, image: Opening, *, within: Box) -> None:
    """Lay the picture on whole pixels of the canvas, cropped to the opening's bounds."""
    place = on_board(image)
    left, top = math.floor(place.left + 0.5), math.floor(place.top + 0.5)
    height, width = canvas.shape[:2]
    x0, y0 = max(left, math.floor(within.left), 0), max(top, math.floor(within.top), 0)
    x1 = min(left + picture.shape[1], math.ceil(within.right), width)
    y1 = min(top + picture.shape[0], math.ceil(within.bottom), height)
    if x1 > x0 and y1 > y0:
        canvas[y0:y1, x0:x1] = picture[y0 - top : y1 - top, x0 - left : x1 - left]


def _part(canvas: Codes, box: Box) -> Codes:
    """The pixels that a box touches."""
    rows = slice(max(0, math.floor(box.top)), max(0, math.ceil(box.bottom)))
    return canvas[rows, max(0, math.floor(box.left)) : max(0, math.ceil(box.right))]


def _shade_inside(canvas: Codes, box: Box, depth: float, reach: float) -> None:
    """The soft shade that the mat casts on the print, deeper towards the light."""
    far = math.ceil(reach * 4)
    height, width = canvas.shape[:2]
    x0, x1 = max(0, math.floor(box.left)), min(width, math.ceil(box.right))
    y0, y1 = max(0, math.floor(box.top)), min(height, math.ceil(box.bottom))
    across = np.arange(x0, x1) + 0.5
    down = np.arange(y0, y1) + 0.5
    left = _fall(across - box.left, depth, reach) * _fall(box.right - across, depth / 3, reach)
    over = _fall(down - box.top, depth * 1.2, reach) * _fall(box.bottom - down, depth / 3, reach)
    inner = canvas[y0:y1, x0:x1]
    for rows in (slice(0, far), slice(max(far, y1 - y0 - far), None)):
        _darken(inner[rows], over[rows][:, None])
    for columns in (slice(0, far), slice(max(far, x1 - x0 - far), None)):
        _darken(inner[:, columns], left[columns][None, :])


def _shade_outside(board: Codes, box: Box, *, reach: float) -> None:
    """The shade of a print on the board, below it and to its right."""
    shift = reach * 0.3
    far = box.moved(-math.ceil(reach * 4))
    for top, bottom, left, right in frame_strips(far, box, board.shape):
        across, down = np.arange(left, right) + 0.5 - shift, np.arange(top, bottom) + 0.5 - shift
        out_x = np.maximum(np.maximum(box.left - across, across - box.right), 0)
        out_y = np.maximum(np.maximum(box.top - down, down - box.bottom), 0)
        away = np.hypot(out_x[None, :], out_y[:, None])
        share = 1 - _PRINT_SHADE_DEPTH * np.exp(-away / reach * 1.6)
        _darken(board[top:bottom, left:right], share)


def _fall(distance: Floats, depth: float, reach: float) -> Floats:
    return np.asarray(1 - depth * np.exp(-np.maximum(distance, 0) / reach))


def _darken(region: Codes, share: Floats) -> None:
    region[:] = np.rint(region * share[:, :, None]).astype(np.uint8)


def _mark(image: Image.Image, words: str, ink: Colour) -> None:
    """Write small words into the lower right corner of the board."""
    edge = round(min(image.size) * 0.025)
    pen = Pen(image, load_fonts(None), ink)
    size = max(12.0, min(image.size) / 72)
    width = pen.width(words, REGULAR, size)
    pen.write((image.width - edge - width, image.height - edge), words, REGULAR, size)
