"""The strongest findings at life size, each with a twin of raised contrast."""

from collections.abc import Sequence

from proofs.inspection.inspected import InspectedPicture
from proofs.inspection.look_crops import crop_area, crop_names, cropped_marks
from proofs.inspection.mark_words import what
from proofs.pages.drawing import Block, Mark, Placed, frame, in_rows
from proofs.pages.typography import CAPTION, HAIR, HAIRLINE, Setter
from proofs.plan.entry.mockup import Box

COUNT = 5
"""How many pairs stand side by side."""

_BETWEEN = 2.0  # a crop and its twin, in points
_TO_CAPTION = 2.0


def crop_rows(picture: InspectedPicture, stem: str, ppi: int, setter: Setter) -> list[Block]:
    """Return the crops in rows; ``stem`` is how the names of the picture's files start."""
    pairs = [
        _pair(
            crop_names(stem, place),
            (area.width / ppi * 72, area.height / ppi * 72),
            f"{seen.number} · {what(seen.mark)}",
            setter,
        )
        for place, seen in cropped_marks(picture)
        for area in [crop_area(seen.mark, picture.part.pixels, ppi)]
    ]
    return in_rows(pairs, COUNT, setter.width / COUNT)


def _pair(names: Sequence[str], size: tuple[float, float], caption: str, setter: Setter) -> Block:
    width, height = size
    marks: list[Mark] = []
    for n, name in enumerate(names):
        x = n * (width + _BETWEEN)
        marks.append(Placed(name, x, 0, width, height, Box(0, 0, 1, 1)))
        marks += frame(x, 0, width, height, line=HAIRLINE, colour=HAIR)
    words = setter.paragraph(caption, CAPTION, setter.width / COUNT - 8, most=2)
    below = height + _TO_CAPTION
    return Block(below + words.height, (*marks, *words.at(0, below)))
