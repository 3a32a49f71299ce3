"""The strongest findings at life size, each with a twin of raised contrast."""

from collections.abc import Sequence

from proofs.inspection.inspected import InspectedPicture, SeenMark
from proofs.inspection.look_crops import crop_area, crop_names, cropped_marks
from proofs.inspection.mark_words import what
from proofs.pages.drawing import Block, Line, Mark, Placed, frame, in_rows
from proofs.pages.typography import CAPTION, HAIR, HAIRLINE, INK, Setter
from proofs.pixel_areas import Area
from proofs.plan.entry.mockup import Box

COUNT = 5
"""How many pairs stand side by side."""

_BETWEEN = 2.0  # a crop and its twin, in points
_TO_CAPTION = 2.0
_POINTER = 4.0  # the length of the lines that point to a mark
_THICK = 0.8
_POINTS_PER_MM = 72 / 25.4


def crop_rows(picture: InspectedPicture, stem: str, ppi: int, setter: Setter) -> list[Block]:
    """Return the crops in rows; ``stem`` is how the names of the picture's files start."""
    pairs = [
        _pair(crop_names(stem, place), area, seen, ppi=ppi, setter=setter)
        for place, seen in cropped_marks(picture)
        for area in [crop_area(seen.mark, picture.part.pixels, ppi)]
    ]
    return in_rows(pairs, COUNT, setter.width / COUNT)


def _pair(names: Sequence[str], area: Area, seen: SeenMark, *, ppi: int, setter: Setter) -> Block:
    width, height = (side / ppi * 72 for side in (area.width, area.height))
    across, down = seen.mark.area.centre
    x = across * _POINTS_PER_MM - area.left / ppi * 72
    y = down * _POINTS_PER_MM - area.top / ppi * 72
    marks: list[Mark] = []
    for n, name in enumerate(names):
        left = _POINTER + n * (width + _BETWEEN)
        marks.append(Placed(name, left, _POINTER, width, height, Box(0, 0, 1, 1)))
        marks += frame(left, _POINTER, width, height, line=HAIRLINE, colour=HAIR)
        marks.append(Line((left + x, 0), (left + x, _POINTER - 0.5), _THICK, INK))
    marks.append(Line((0, _POINTER + y), (_POINTER - 0.5, _POINTER + y), _THICK, INK))
    caption = f"{seen.number} · {what(seen.mark)}"
    words = setter.paragraph(caption, CAPTION, setter.width / COUNT - 8, most=2)
    below = _POINTER + height + _TO_CAPTION
    return Block(below + words.height, (*marks, *words.at(_POINTER, below)))
