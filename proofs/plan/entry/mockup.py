"""A mock-up to scale: the pixels of its edges, the colours of its boards, and the ground it is on.

Colours are sRGB codes. White is 255 in a print and in the paper round it; a white mat, which is
never quite as bright, is a little darker.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import NM_PER_INCH, Edge, Length, PixelSize, Place, Size, half_up, inches
from proofs.pixel_areas import Area, size_in_pixels
from proofs.plan.entry.board import Layout, Opening, Picture
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import Mount, WindowKind

PX_PER_INCH = 100
GROUND_PX = 100
"""The ground on each side of the board: an inch, in which the board's shadow ends."""

HUNG_SHRINK = 3
"""How much smaller than on its mock-up a board hangs with the others of its run."""

Colour = tuple[int, int, int]

GROUND: Colour = (119, 119, 119)
"""A neutral grey of L* 50, 18 % reflectance.

ISO 3664:2009 has prints viewed on a neutral matt surround of 10 to 60 % (from memory).
"""
PAPER: Colour = (255, 255, 255)
_UNNAMED: Colour = (190, 189, 187)
_BOARDS: dict[str, Colour] = {
    "white": (247, 246, 243),
    "off-white": (240, 235, 224),
    "cream": (236, 225, 200),
    "grey": (141, 140, 138),
    "black": (34, 33, 33),
}
_SPELLINGS = {"gray": "grey", "offwhite": "off-white", "ivory": "cream"}
# How bright each face of a 45° bevel is compared with the flat board, in linear light, lit softly
# from the top left: the upper and the left face turn away from the light.
_LIT = {Edge.TOP: 0.74, Edge.LEFT: 0.81, Edge.RIGHT: 0.92, Edge.BOTTOM: 1.05}
_LIGHT_BOARD = 110  # boards with higher codes have dark writing
_LABEL_OF_BOARD = Fraction(2, 5)


@dataclass(frozen=True, slots=True)
class Bevel:
    """The colours of the four faces of a bevel, seen from the front."""

    top: Colour
    right: Colour
    bottom: Colour
    left: Colour


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in pixels from the top left of a picture; its edges may be fractions."""

    left: float
    top: float
    right: float
    bottom: float

    def moved(self, by: float) -> "Box":
        """Return the box with all four edges ``by`` pixels farther in."""
        return Box(self.left + by, self.top + by, self.right - by, self.bottom - by)


def board_pixels(plan: Plan) -> PixelSize:
    """Return the size of the board on a mock-up."""
    return size_in_pixels(plan.layout.board, PX_PER_INCH)


def mockup_pixels(plan: Plan) -> PixelSize:
    """Return the size of a whole mock-up, with the ground round its board."""
    board = board_pixels(plan)
    return PixelSize(board.width + 2 * GROUND_PX, board.height + 2 * GROUND_PX)


def hung_pixels(plan: Plan) -> PixelSize:
    """Return the size of the small board that hangs with the others."""
    board = board_pixels(plan)
    return PixelSize(math.ceil(board.width / HUNG_SHRINK), math.ceil(board.height / HUNG_SHRINK))


def picture_pixels(plan: Plan, n: int = 0) -> PixelSize:
    """Return the size of a whole image on the mock-up, with what the mat hides of it.

    ``n`` counts the pictures of the plan from 0.
    """
    return size_in_pixels(plan.layout.pictures[n].image.size, PX_PER_INCH)


def on_board(opening: Opening) -> Box:
    """Return where a rectangle falls on the board of a mock-up, in pixels from its top left."""
    left, top = _px(opening.left), _px(opening.top)
    right, bottom = left + _px(opening.size.width), top + _px(opening.size.height)
    return Box(left, top, right, bottom)


def on_mockup(opening: Opening) -> Box:
    """Return where a rectangle on the board falls on a whole mock-up."""
    box = on_board(opening)
    return Box(*(edge + GROUND_PX for edge in (box.left, box.top, box.right, box.bottom)))


def seen(layout: Layout, n: int = 0) -> Opening:
    """Return what is visible of a picture on the board.

    Only an opening larger than its board, which the check reports, is cut off.
    """
    return layout.pictures[n].sight.within(layout.board)


def seen_area(plan: Plan, n: int, pixels: PixelSize) -> Area:
    """Return what is seen of a picture whose whole image has this many pixels."""
    image, shown = plan.layout.pictures[n].image, seen(plan.layout, n)
    inside = shown.counted_from(image)
    across = Fraction(pixels.width, image.size.width.nm)
    down = Fraction(pixels.height, image.size.height.nm)
    left, top = half_up(inside.left.nm * across), half_up(inside.top.nm * down)
    right = min(pixels.width, half_up(inside.right.nm * across))
    bottom = min(pixels.height, half_up(inside.bottom.nm * down))
    left, top = max(0, min(left, right - 1)), max(0, min(top, bottom - 1))
    return Area.between(left, top, right, bottom)


def back_line(picture: Picture) -> Opening:
    """Return the line to show on the back: the cut there, or the print if nothing is cut."""
    return picture.back or picture.outline


def label_place(board: Size, size: Size | None = None) -> Opening:
    """Return where the label goes: top left, seen from behind.

    A label is 5 x 3 in on 16 x 20 in and smaller on small boards, unless it has a ``size``.
    """
    width = min(inches(5), board.width * _LABEL_OF_BOARD)
    edge = min(inches("3/4"), board.shortest * Fraction(1, 16))
    return Opening(size or Size(width, width * Fraction(3, 5)), Place(edge, edge))


def board_colour(name: str) -> Colour:
    """Return the colour of a board; an unknown colour is a neutral light grey.

    >>> board_colour("Black"), board_colour("mauve")
    ((34, 33, 33), (190, 189, 187))
    """
    plain = "-".join(name.lower().split())
    return _BOARDS.get(_SPELLINGS.get(plain, plain), _UNNAMED)


def front_colour(mount: Mount) -> Colour:
    """Return the colour of the board seen from the front."""
    if mount.window == WindowKind.SURROUND:  # printed on the same paper as the image
        white = mount.surround_colour == "white"
        return PAPER if white else board_colour(mount.surround_colour)
    return board_colour(mount.mat_colour if mount.has_window else mount.backing_colour)


def bevel_colours(core: str) -> Bevel:
    """Return the colours of a bevel whose core has this colour."""
    colour = board_colour(core)
    return Bevel(**{edge.value: _lit(colour, share) for edge, share in _LIT.items()})


def is_dark(board: Colour) -> bool:
    """Return whether light writing is easier to read on a board than dark writing."""
    return sum(board) / 3 < _LIGHT_BOARD


def ink_on(board: Colour) -> Colour:
    """Return a quiet colour for small writing on a board."""
    red, green, blue = board
    if is_dark(board):
        return red + 110, green + 110, blue + 110
    return red * 9 // 16, green * 9 // 16, blue * 9 // 16


def _lit(colour: Colour, share: float) -> Colour:
    """The colour under this share of the light, with sRGB's curve taken as a power of 2.2."""
    red, green, blue = (min(255, round(code * share ** (1 / 2.2))) for code in colour)
    return red, green, blue


def _px(length: Length) -> float:
    return length.nm * PX_PER_INCH / NM_PER_INCH
