"""A mount drawn to scale: board, bevel, paper, and the picture in its window."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from proofs.pages.drawing import (
    Block,
    Corners,
    Mark,
    Placed,
    Point,
    Shape,
    filled,
    frame,
    oval,
    rectangle,
    sides,
)
from proofs.pages.typography import HAIR
from proofs.plan.entry.board import Cut, Opening
from proofs.plan.entry.mockup import (
    PAPER,
    Bevel,
    Box,
    Colour,
    bevel_colours,
    board_colour,
    front_colour,
    is_dark,
    on_mockup,
    seen,
)
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import BevelKind, WindowKind, WindowShape

SCALES = (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 30, 32, 40, 50, 60, 80, 100, 150, 200)
WHOLE = Box(0, 0, 1, 1)
"""The part of a picture that is a file of its own."""
_OVAL_POINTS = 96  # a multiple of 4
_EDGE = 0.3  # the line round a board, which a white one needs on white paper
_NO_PICTURE = (226, 224, 220)


@dataclass(frozen=True, slots=True)
class Shown:
    """The picture file that shows what is seen of a picture, and the part of it, in pixels."""

    name: str
    crop: Box = WHOLE


def mount_drawing(
    plan: Plan, scale: float, pictures: Sequence[Shown], *, paper: Colour = PAPER
) -> Block:
    """Return the mount of one step; without pictures they are grey areas.

    ``paper`` is the colour of the paper that is seen round a picture.
    """
    layout, ground = plan.layout, ground_of(plan, paper)
    width, height = layout.board.width.points / scale, layout.board.height.points / scale
    marks: list[Mark] = [rectangle(0, 0, width, height, ground)]
    marks += windows_drawn(plan, scale, pictures, paper=paper)
    if not is_dark(front_colour(plan.mount)):
        marks += frame(0, 0, width, height, line=_EDGE, colour=HAIR)
    return Block(height, tuple(marks))


def ground_of(plan: Plan, paper: Colour = PAPER) -> Colour:
    """Return the colour of the front; a white surround is as white as the paper."""
    ground = front_colour(plan.mount)
    return paper if plan.mount.window == WindowKind.SURROUND and ground == PAPER else ground


def windows_drawn(
    plan: Plan, scale: float, pictures: Sequence[Shown], *, paper: Colour = PAPER
) -> Sequence[Mark]:
    """Return all that lies on the board, or in its openings, in its place on the board."""
    marks: list[Mark] = []
    is_straight = plan.mount.shape == WindowShape.RECTANGLE
    for cuts in plan.layout.windows:
        marks += _window(plan, cuts, scale, paper) if is_straight else ()
    for n in range(len(plan.layout.pictures)):
        marks += _print(plan, n, scale, paper)
        marks += _picture(plan, n, scale, pictures[n] if pictures else None)
    for cuts in plan.layout.windows:
        marks += () if is_straight else _oval_window(plan, cuts, scale)
    return marks


def cut_from(plan: Plan, mockup: str) -> tuple[Shown, ...]:
    """Return the pictures of a plan as a mock-up shows them."""
    count = len(plan.layout.pictures)
    return tuple(Shown(mockup, whole_pixels(seen(plan.layout, n))) for n in range(count))


def _window(plan: Plan, cuts: Sequence[Cut], scale: float, paper: Colour) -> Sequence[Mark]:
    """The bevels of a window from the top mat inwards, and what is seen inside them."""
    mount, board, marks = plan.mount, plan.layout.board, list[Mark]()
    inside = [board_colour(mat.colour) for mat in mount.inner]
    inside.append(board_colour(mount.backing_colour) if mount.window == WindowKind.FLOAT else paper)
    cores = [mat.core_colour for mat in mount.mats]
    for cut, core, colour in zip(cuts, cores, inside, strict=True):
        face = corners(cut.face.within(board), scale)
        limit = corners(cut.limiting.within(board), scale)
        if mount.bevel == BevelKind.ORDINARY:
            marks += _bevel(face, limit, bevel_colours(core))
        marks.append(filled(limit, colour))
    return marks


def _oval_window(plan: Plan, cuts: Sequence[Cut], scale: float) -> Sequence[Mark]:
    """The mats round an oval, and their bevels, over the picture: the innermost first."""
    board, marks = plan.layout.board, list[Mark]()
    outer = corners(cuts[0].face.within(board), scale)
    for cut, mat in reversed(list(zip(cuts, plan.mount.mats, strict=True))):
        face, limit = (corners(edge.within(board), scale) for edge in (cut.face, cut.limiting))
        marks += _outside_oval(outer, face, board_colour(mat.colour))
        if face != limit:
            marks += _oval_bevel(face, limit, bevel_colours(mat.core_colour))
    return marks


def _outside_oval(box: Corners, edge: Corners, colour: Colour) -> Sequence[Mark]:
    """What lies in a box but outside an oval, as four pieces that hold a corner each."""
    left, top, right, bottom = box
    points, quarter = oval(edge, _OVAL_POINTS), _OVAL_POINTS // 4
    ends = ((right, bottom), (left, bottom), (left, top), (right, top))
    middles = ((right, None), (None, bottom), (left, None), (None, top), (right, None))
    pieces = []
    for n, corner in enumerate(ends):
        arc = [points[(n * quarter + k) % _OVAL_POINTS] for k in range(quarter + 1)]
        start = _on_side(middles[n], arc[0])
        end = _on_side(middles[n + 1], arc[-1])
        pieces.append(Shape((start, *arc, end, corner), colour))
    return pieces


def _on_side(side: tuple[float | None, float | None], point: Point) -> Point:
    """The place on one side of a box that is next to a point."""
    x, y = side
    return (point[0] if x is None else x, point[1] if y is None else y)


def _oval_bevel(outer: Corners, inner: Corners, colours: Bevel) -> Sequence[Mark]:
    """The bevel of an oval, from face to face, in short pieces."""
    pairs = zip(sides(oval(outer, _OVAL_POINTS)), sides(oval(inner, _OVAL_POINTS)), strict=True)
    faces = (colours.right, colours.bottom, colours.left, colours.top, colours.right)
    quarter = _OVAL_POINTS // 4
    return [
        Shape((start, end, in_end, in_start), _mixed(faces, n / quarter))
        for n, ((start, end), (in_start, in_end)) in enumerate(pairs)
    ]


def _mixed(colours: Sequence[Colour], place: float) -> Colour:
    """The colour at a place between two of these, which count from 0."""
    first = min(int(place), len(colours) - 2)
    pairs = zip(colours[first], colours[first + 1], strict=True)
    red, green, blue = (round(a + (b - a) * (place - first)) for a, b in pairs)
    return red, green, blue


def _print(plan: Plan, n: int, scale: float, paper: Colour) -> Sequence[Mark]:
    """What is seen of the print around its image: its paper, or a keyline."""
    picture, mount, board = plan.layout.pictures[n], plan.mount, plan.layout.board
    if picture.paper_edge is not None:
        return (filled(corners(picture.paper_edge.within(board), scale), paper),)
    if mount.keyline:
        line = picture.image.grown(mount.keyline).within(board)
        return (filled(corners(line, scale), board_colour(mount.keyline_colour)),)
    return ()


def corners(opening: Opening, scale: float) -> Corners:
    """Return left, top, right and bottom of an edge line, as drawn."""
    left, top = opening.place.x.points / scale, opening.place.y.points / scale
    right = left + opening.size.width.points / scale
    return left, top, right, top + opening.size.height.points / scale


def _picture(plan: Plan, n: int, scale: float, shown: Shown | None) -> Sequence[Mark]:
    """What is seen of a picture."""
    left, top, right, bottom = corners(seen(plan.layout, n), scale)
    if right <= left or bottom <= top:
        return ()
    if shown is None:
        return (filled((left, top, right, bottom), _NO_PICTURE),)
    return (Placed(shown.name, left, top, right - left, bottom - top, shown.crop),)


def whole_pixels(sight: Opening) -> Box:
    """Return the whole pixels of a mock-up inside an edge line.

    A pixel that the edge crosses shows some of the mat, so it is left out.
    """
    box = on_mockup(sight)
    left, top = math.ceil(box.left - 1e-6), math.ceil(box.top - 1e-6)
    right, bottom = math.floor(box.right + 1e-6), math.floor(box.bottom + 1e-6)
    return Box(left, top, max(right, left + 1), max(bottom, top + 1))


def _bevel(outer: Corners, inner: Corners, colours: Bevel) -> Sequence[Mark]:
    """The four faces over one plain area, so that nothing shows through where they meet."""
    left, top, right, bottom = outer
    in_left, in_top, in_right, in_bottom = inner
    around = ((left, top), (right, top), (right, bottom), (left, bottom))
    within = ((in_left, in_top), (in_right, in_top), (in_right, in_bottom), (in_left, in_bottom))
    faces = [
        Shape((start, end, inner_end, inner_start), colour)
        for (start, end), (inner_start, inner_end), colour in zip(
            sides(around),
            sides(within),
            (colours.top, colours.right, colours.bottom, colours.left),
            strict=True,
        )
    ]
    return (filled(outer, colours.left), *faces)
