"""The figures of a corner: how far it is from the board's edges and from the next corners."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import Length, Place, Size, inches, millimetres
from proofs.pages.drawing import Block, Mark
from proofs.pages.typography import CAPTION, FIGURE_STRONG, STRONG, Setter, Words
from proofs.plan.cutting.corners import SIDES, Corner, CornerPart
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.templates import LineKind, Template, edges_of
from proofs.plan.entry.board import Opening

_STEP = millimetres(3)  # from one place that is tried to the next
_CLEAR = millimetres(3)  # between words and lines
_BELOW_TOP = millimetres(16)  # free for the arrow and TOP at the board's upper edge
_MARK_WIDE, _MARK_HIGH = millimetres(26), millimetres(5)  # free on all sides of a mark's middle
_OPPOSITE = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}


def corner_figures(
    template: Template, part: CornerPart, marks: Marks, setter: Setter
) -> tuple[Mark, ...] | None:
    """Return the figures of all corners of a part, in points from its top left.

    They are in the border next to the corner, or inside the opening if that has more room. Returns
    None if there is no place where they are clear of all lines and marks.
    """
    words = [line for corner in part.corners for line in _corner_words(template, corner, marks)]
    words.append((_measured_to(template), CAPTION))
    lines = [edge.line for picture in template.layout.pictures for edge in edges_of(picture)]
    for place in _free_places(part, template.layout.board):
        box = _free(place, part)
        found = _set(words, box.size.width, setter)
        if found.high > box.size.height or found.width > box.size.width:
            continue
        for clear in _clear_places(found.size, box, part, lines):
            left, top = clear.x - part.area.left, clear.y - part.area.top
            return found.block.at(left.points, top.points)
    return None


@dataclass(frozen=True, slots=True)
class _Words:
    """Words as set, and how much room they take."""

    block: Block
    width: Length

    @property
    def high(self) -> Length:
        """Their height."""
        return _from_points(self.block.height)

    @property
    def size(self) -> Size:
        """Their width and height."""
        return Size(self.width, self.high)


def _set(words: Sequence[Words], width: Length, setter: Setter) -> _Words:
    least = max(setter.wide(word, style) for text, style in words for word in text.split())
    block = setter.stack(words, max(width.points, least), gap=1)
    widest = max(setter.wide(*line) for line in words)
    return _Words(block, max(_from_points(least), min(width, _from_points(widest))))


def _from_points(points: float) -> Length:
    return inches(Fraction(round(points * 100), 7200))


def _clear_places(
    size: Size, box: Opening, part: CornerPart, lines: Sequence[Opening]
) -> Iterator[Place]:
    """The places in a box where words cross no line and no register mark, nor its figures."""
    across, down = box.size.width - size.width, box.size.height - size.height
    for right in range(0, max(across.nm, 0) + 1, _STEP.nm):
        for lower in range(0, max(down.nm, 0) + 1, _STEP.nm):
            taken = Opening(size).shifted(box.left + Length(right), box.top + Length(lower))
            is_clear = all(_is_clear(taken, mark) for mark in part.marks)
            if is_clear and not any(_is_crossed(taken, line) for line in lines):
                yield taken.place


def _is_crossed(taken: Opening, line: Opening) -> bool:
    """Whether a closed line runs through what is taken: neither all inside it nor all outside."""
    shared = taken.shared(line)
    return bool(shared.size.width and shared.size.height) and shared != taken


def _is_clear(taken: Opening, mark: Place) -> bool:
    around = Opening(Size(2 * _MARK_WIDE, 2 * _MARK_HIGH))
    over = taken.shared(around.shifted(mark.x - _MARK_WIDE, mark.y - _MARK_HIGH))
    return not (over.size.width and over.size.height)


def _free(box: Opening, part: CornerPart) -> Opening:
    """What a part shows of a box, less some room round it."""
    return box.shared(part.area).grown(-_CLEAR)


def _free_places(part: CornerPart, board: Size) -> Iterator[Opening]:
    """Where there is nothing but board: beside the corner's lines, and then inside the opening."""
    corner, area = part.corner, part.area
    shown = corner.shown
    if corner.down < 0:
        yield _between(area.left, _BELOW_TOP, area.right, shown.top)
    elif corner.down > 0:
        yield _between(area.left, shown.bottom, area.right, board.height)
    left = shown.right - SIDES if corner.across < 0 else area.left
    right = shown.left + SIDES if corner.across > 0 else area.right
    top = shown.bottom - SIDES if corner.down < 0 else area.top
    bottom = shown.top + SIDES if corner.down > 0 else area.bottom
    yield _between(left, top, right, bottom)


def _between(left: Length, top: Length, right: Length, bottom: Length) -> Opening:
    """The rectangle between these edges, of no size if they cross."""
    least = millimetres(1)
    size = Size(max(right - left, least), max(bottom - top, least))
    return Opening(size, Place(left, top))


def _measured_to(template: Template) -> str:
    line = next(edges_of(template.layout.pictures[0]))
    what = "the opening at the back" if line.kind == LineKind.BACK else "the print"
    return f"Seen from the front: from the edges of the board to {what}, and to its next corners"


def _corner_words(template: Template, corner: Corner, marks: Marks) -> Iterator[Words]:
    """The name of a corner, its distance from the board's edges, and to the next corners."""
    layout, first = template.layout, next(edges_of(template.layout.pictures[corner.picture]))
    several = len(layout.pictures) > 1
    name = f"picture {corner.picture + 1}, {corner.name}" if several else corner.name
    yield name.capitalize(), STRONG
    borders, line = first.line.borders_in(Opening(layout.board)), first.line
    sides = {-1: ("left", borders.left), 1: ("right", borders.right)}
    levels = {-1: ("top", borders.top), 1: ("bottom", borders.bottom)}
    ends = [sides[corner.across]] if corner.across else []
    ends += [levels[corner.down]] if corner.down else []
    away = (f"{marks.with_unit(length)} from the {edge}" for edge, length in ends)
    yield ", ".join(away), FIGURE_STRONG
    lengths = {"left": line.size.width, "right": line.size.width}
    next_ones = (
        f"{marks.with_unit(lengths.get(edge, line.size.height))} to the {_OPPOSITE[edge]}"
        for edge, _ in ends
    )
    yield ", ".join(next_ones), FIGURE_STRONG
