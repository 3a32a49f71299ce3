"""The back of a mount as pixels: label, top edge, the opening, dotted, and the picture's ghost."""

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from PIL import Image, ImageDraw, ImageOps

from proofs.outside.bevels import Codes
from proofs.outside.fonts import Fonts
from proofs.outside.marks_on_pixels import Pen, drawn
from proofs.outside.sheet_pictures import small_jpeg
from proofs.pages.labels.face import label_face
from proofs.pages.typography import REGULAR, SEMIBOLD
from proofs.plan.bench.labels import Label
from proofs.plan.checks.hidden_checks import hides_more
from proofs.plan.entry.mockup import (
    PX_PER_INCH,
    Box,
    Colour,
    back_line,
    board_colour,
    ink_on,
    is_dark,
    label_place,
    on_board,
    seen,
)
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import WindowShape

_FINE = 4  # the arrow is drawn this much larger, then reduced, for smooth edges
_LABEL: Colour = (255, 255, 253)
_GHOST, _GHOST_ON_DARK = 0.17, 0.28  # how strongly the picture shows behind its board
_GHOST_ON_PAGE = 0.34  # a small picture on paper needs more
_FINE_DOTS = 0.3  # of the size of the others
_PAGE: Colour = (255, 255, 255)
_USUAL_SIDE_PX = 1600  # the short side of the usual board; smaller boards get smaller writing


def draw_back(plan: Plan, label: Label, front: Codes, fonts: Fonts) -> Image.Image:
    """Return the back of a mount, mirrored as seen from behind.

    ``front`` is the board from the front with its pictures; the back has as many pixels. The edge
    of an image of which a given opening hides more than the overlap is dotted too.
    """
    board = plan.layout.board
    colour = board_colour(plan.mount.backing_colour)
    image = Image.new("RGB", front.shape[1::-1], colour)
    _ghosts(image, plan, front, colour)
    ink, unit = ink_on(colour), min(1.0, min(image.size) / _USUAL_SIDE_PX)
    for opening in dict.fromkeys(back_line(picture) for picture in plan.layout.pictures):
        places = _round_places if plan.mount.shape != WindowShape.RECTANGLE else _dot_places
        _dots(image, places(on_board(opening.mirrored(board)), 13 * unit + 3), ink, unit)
    covered = [p.image for n, p in enumerate(plan.layout.pictures) if hides_more(plan, n)]
    for whole in covered:
        edge = on_board(whole.within(board).mirrored(board))
        _dots(image, _dot_places(edge, 8 * unit + 3), ink, _FINE_DOTS * unit)
    pen = Pen(image, fonts, ink)
    _top_edge(image, pen, ink, unit)
    words = f"Seen from behind · {_dotted(plan, finely=bool(covered))}"
    _caption(image, pen, words, unit, on=colour)
    _label(image, on_board(label_place(board)), label, fonts)
    return image


def _dotted(plan: Plan, *, finely: bool) -> str:
    """What the dotted lines show, in words."""
    if not plan.mount.has_window:
        return "dotted: the print on the face"
    words = "dotted: the opening, mirrored"
    return f"{words}; finely dotted: the whole image" if finely else words


def _ghosts(back: Image.Image, plan: Plan, front: Codes, colour: Colour) -> None:
    """Show what is seen of each picture from the front, mirrored and faint."""
    faint = _faint(colour, _GHOST_ON_DARK if is_dark(colour) else _GHOST)
    for n, picture in enumerate(plan.layout.pictures):
        box = on_board(seen(plan.layout, n))
        left, top = math.ceil(box.left), math.ceil(box.top)
        right, bottom = math.floor(box.right), math.floor(box.bottom)
        if right <= left or bottom <= top:
            continue
        shown = Image.fromarray(front[top:bottom, left:right])
        # Half as fine is fine enough for what is so faint, and takes half the room in a file.
        ghost = shown.reduce(2).point(faint).resize(shown.size, Image.Resampling.NEAREST)
        ghost = ImageOps.mirror(ghost)
        mask = _oval_mask(ghost.size) if picture.is_oval else None
        back.paste(ghost, (back.width - right, top), mask)


def ghost_jpeg(picture: Codes, *, is_oval: bool) -> bytes:
    """Return a small picture as the back of a white board shows it: mirrored and faint."""
    ghost = ImageOps.mirror(Image.fromarray(picture).point(_faint(_PAGE, _GHOST_ON_PAGE)))
    page = Image.new("RGB", ghost.size, _PAGE)
    page.paste(ghost, (0, 0), _oval_mask(ghost.size) if is_oval else None)
    return small_jpeg(np.asarray(page))


def _faint(colour: Colour, strength: float) -> list[int]:
    """What each code of a picture becomes behind a board of this colour, channel by channel."""
    table: list[int] = []
    for code in colour:
        deepest = 255 if code > 127 else 0  # a light board is only darkened, a dark one lightened
        table += [round(code + strength * (picture - deepest)) for picture in range(256)]
    return table


def _oval_mask(size: tuple[int, int]) -> Image.Image:
    mask = Image.new("L", size, 0)
    ImageDraw.Draw(mask).ellipse((0, 0, size[0] - 1, size[1] - 1), 255)
    return mask


def _dots(
    image: Image.Image, places: Sequence[tuple[float, float]], ink: Colour, unit: float
) -> None:
    radius = 3.2 * unit + 0.8
    for x, y in places:
        left, top = math.floor(x - radius), math.floor(y - radius)
        edges = (x - radius - left, y - radius - top, x + radius - left, y + radius - top)
        # In half pixels: the library takes whole ones of the mask, which is drawn twice as large.
        halves = [int(2 * edge) for edge in edges]
        image.paste(ink, (left, top), _dot(math.ceil(radius), *halves))


@lru_cache(maxsize=256)  # of a few hundred bytes; a board has a few kinds of dots
def _dot(radius: int, left: int, top: int, right: int, bottom: int) -> Image.Image:
    """The mask of a dot between these half pixels."""
    side = 2 * radius + 2
    mask = Image.new("L", (2 * side, 2 * side), 0)
    ImageDraw.Draw(mask).ellipse((left, top, right, bottom), 255)
    return mask.resize((side, side), Image.Resampling.BOX)


def _round_places(box: Box, apart: float) -> list[tuple[float, float]]:
    """Dots along an oval, about ``apart`` from each other."""
    across, down = (box.right - box.left) / 2, (box.bottom - box.top) / 2
    count = max(8, round(math.pi * (across + down) / apart))
    angles = [2 * math.pi * n / count for n in range(count)]
    x, y = box.left + across, box.top + down
    return [(x + across * math.cos(angle), y + down * math.sin(angle)) for angle in angles]


def _dot_places(box: Box, apart: float) -> list[tuple[float, float]]:
    """Dots along all four edges, evenly spaced, one on every corner."""
    columns = max(1, round((box.right - box.left) / apart))
    rows = max(1, round((box.bottom - box.top) / apart))
    xs = [box.left + (box.right - box.left) * n / columns for n in range(columns + 1)]
    ys = [box.top + (box.bottom - box.top) * n / rows for n in range(1, rows)]
    level = [(x, y) for y in (box.top, box.bottom) for x in xs]
    return level + [(x, y) for x in (box.left, box.right) for y in ys]


def _top_edge(image: Image.Image, pen: Pen, ink: Colour, unit: float) -> None:
    """TOP with an arrow, in the middle of the upper edge."""
    middle, size = image.width / 2, 46 * unit
    tip, foot = 34 * unit, 96 * unit
    half, neck = 20 * unit, 3 * unit
    points = [(middle, tip), (middle + half, tip + half * 1.3), (middle + neck, tip + half * 1.3)]
    points += [(middle + neck, foot), (middle - neck, foot)]
    points += [(middle - neck, tip + half * 1.3), (middle - half, tip + half * 1.3)]
    left, width = math.floor(middle - half) - 1, math.ceil(2 * half) + 4
    height = math.ceil(foot + 4)
    mask = Image.new("L", (width * _FINE, height * _FINE), 0)
    ImageDraw.Draw(mask).polygon([((x - left) * _FINE, y * _FINE) for x, y in points], 255)
    image.paste(ink, (left, 0), mask.resize((width, height), Image.Resampling.BOX))
    pen.write(
        (middle - pen.width("TOP", SEMIBOLD, size) / 2, foot + 54 * unit), "TOP", SEMIBOLD, size
    )


def _caption(image: Image.Image, pen: Pen, words: str, unit: float, *, on: Colour) -> None:
    """Words in the middle of the lower edge; no line runs through them."""
    size = max(11.0, 22 * unit)
    wide = pen.width(words, REGULAR, size)
    x, y = (image.width - wide) / 2, image.height - 34 * unit
    left, top = math.floor(x - size / 2), math.floor(y - size)
    right, bottom = math.ceil(x + wide + size / 2), math.ceil(y + size / 2)
    image.paste(on, (left, top, right, bottom))
    pen.write((x, y), words, REGULAR, size)


def _label(image: Image.Image, box: Box, label: Label, fonts: Fonts) -> None:
    """The label as it will be printed on plain paper."""
    place = round(box.left), round(box.top)
    size = round(box.right - box.left), round(box.bottom - box.top)
    points = 72 / PX_PER_INCH
    face = label_face(label, size[0] * points, size[1] * points, fonts.width)
    picture = drawn(face.block.marks, size, 1 / points, fonts=fonts, ground=_LABEL)
    image.paste(picture, place)
    edges = (*place, place[0] + size[0] - 1, place[1] + size[1] - 1)
    ImageDraw.Draw(image).rectangle(edges, outline=ink_on(_LABEL))
