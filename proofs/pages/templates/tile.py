"""A part of a board at full size, as a page of a template shows it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from proofs.lengths import ZERO, Place, millimetres
from proofs.pages.drawing import Block, Line, Mark, Point, Shape, oval, rectangle, sides
from proofs.pages.typography import ACCENT, FIGURE, HAIRLINE, INK, SEMIBOLD, Setter, Style, text_at
from proofs.plan.cutting.templates import EdgeLine, LineKind, Template
from proofs.plan.entry.board import Opening
from proofs.plan.entry.mockup import PAPER

STROKES: dict[LineKind, tuple[float, tuple[float, ...]]] = {
    LineKind.BOARD: (0.9, ()),
    LineKind.BACK: (0.5, ()),
    LineKind.FACE: (0.4, (6.0, 3.0)),
    LineKind.PAPER: (0.4, (6.0, 2.0, 0.8, 2.0)),
    LineKind.IMAGE: (0.8, (0.8, 2.4)),
}
"""The width, in points, and the dashes of each kind of line."""

_REACH = millimetres(3)  # of a register mark's arms; an overlap holds it whole
_CHORDS = 720  # of an oval; at 20 in across, each is 2 mm long
_TOP = Style(SEMIBOLD, 9)
_TOP_AT = millimetres(5)  # of the arrow's tip, below the board's edge


@dataclass(frozen=True, slots=True)
class _View:
    """Converts places on the board to points on the page, from the top left of a part."""

    area: Opening

    def point(self, place: Place) -> Point:
        origin = self.area.place
        return (place.x - origin.x).points, (place.y - origin.y).points


def part_block(template: Template, area: Opening, marks: Iterable[Place], setter: Setter) -> Block:
    """Return a part of a board at full size, with those of the register marks that it shows."""
    view = _View(area)
    drawn: list[Mark] = [s for edge in template.lines for s in _strokes(edge, view)]
    for place in marks:
        if area.holds(place, _REACH):
            drawn += _register(place, view, setter)
    if area.top < ZERO:
        drawn += _top(view, setter)
    return Block(area.size.height.points, tuple(drawn))


def _strokes(edge: EdgeLine, view: _View) -> Iterator[Line]:
    """The parts of an edge line on this tile."""
    if edge.is_oval:
        yield from _oval(edge, view)
        return
    width, dash = STROKES[edge.kind]
    line, shown = edge.line, view.area
    from_x, to_x = max(line.place.x, shown.place.x), min(line.right, shown.right)
    from_y, to_y = max(line.place.y, shown.place.y), min(line.bottom, shown.bottom)
    for y in (line.place.y, line.bottom):
        if shown.place.y <= y <= shown.bottom and from_x < to_x:
            ends = view.point(Place(from_x, y)), view.point(Place(to_x, y))
            yield Line(*ends, width, INK, dash)
    for x in (line.place.x, line.right):
        if shown.place.x <= x <= shown.right and from_y < to_y:
            ends = view.point(Place(x, from_y)), view.point(Place(x, to_y))
            yield Line(*ends, width, INK, dash)


def _oval(edge: EdgeLine, view: _View) -> Iterator[Line]:
    """Short chords of the oval; a dashed one is made of every other chord."""
    (width, dash), line, shown = STROKES[edge.kind], edge.line, view.area.size
    ends = view.point(line.place), view.point(Place(line.right, line.bottom))
    chords = list(sides(oval((*ends[0], *ends[1]), _CHORDS)))
    for chord in chords[:: 2 if dash else 1]:
        if all(0 <= x <= shown.width.points and 0 <= y <= shown.height.points for x, y in chord):
            yield Line(*chord, width, INK)


def _register(place: Place, view: _View, setter: Setter) -> Iterator[Mark]:
    """A cross, and its place in mm, on the side with more room and clear of any line."""
    (x, y), arm = view.point(place), _REACH.points
    yield Line((x - arm, y), (x + arm, y), HAIRLINE, ACCENT)
    yield Line((x, y - arm), (x, y + arm), HAIRLINE, ACCENT)
    words = f"{round(place.x.mm)} · {round(place.y.mm)}"
    is_right = x > view.area.size.width.points / 2
    wide = setter.wide(words, FIGURE)
    left = x - arm - 2 - wide if is_right else x + arm + 2
    yield rectangle(left - 1, y - 5.2, wide + 2, 10.4, PAPER)
    yield text_at(words, FIGURE, left, y + 3.9)


def _top(view: _View, setter: Setter) -> Iterator[Mark]:
    """An arrow and TOP, in the middle of the tile, close to the board's edge."""
    x = view.area.size.width.points / 2
    _, tip = view.point(Place(ZERO, _TOP_AT))
    head = ((x, tip), (x + 4, tip + 6), (x - 4, tip + 6))
    yield Shape(head, INK)
    yield Line((x, tip + 5), (x, tip + 16), 1.2, INK)
    yield setter.centred("TOP", _TOP, x, tip + 26)
