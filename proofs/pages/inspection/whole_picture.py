"""The whole picture on its page, with the numbers of its marks beside it."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.inspection.inspected import FRAMES, InspectedPicture, SeenMark
from proofs.inspection.marks import Area, MarkKind
from proofs.lengths import Edge
from proofs.pages.drawing import Block, Corners, Line, Mark, Placed, Point, filled
from proofs.pages.inspection.leaders import SPACE, Leader, leaders, spread
from proofs.pages.typography import ACCENT, INK, STRONG, Setter
from proofs.plan.entry.mockup import PAPER, Box

ROOM = 20.0
"""Beside the picture, for numbers and bars."""

_ABOVE = 20.0
_BAR, _BAR_AWAY, _BAR_PITCH = 1.8, 3.0, 3.4  # bars outside the picture, along what they mark
_THIN, _HALO = 0.5, 1.6
_TEXT_DROP = 3.2  # from the middle of a figure to its baseline
_ALONG = (*FRAMES, MarkKind.LOST_EDGE)
_FIGURE_PITCH = 16.0


@dataclass(frozen=True, slots=True)
class PictureShown:
    """The whole picture as drawn: its file, its size in points, and the marks in it."""

    picture: InspectedPicture
    name: str
    size: Point

    def corners(self, area: Area) -> Corners:
        """Return where a place in the image falls on the drawing, in points."""
        across, down = (s / mm for s, mm in zip(self.size, self.picture.size_mm, strict=True))
        right, bottom = area.left + area.width, area.top + area.height
        return area.left * across, area.top * down, right * across, bottom * down


def whole_picture(shown: PictureShown, setter: Setter) -> Block:
    """Return the picture with its marks; nothing is drawn over what a mark marks."""
    width, height = shown.size
    numbered = shown.picture.numbered
    bars = _bars(shown, [seen for seen in numbered if seen.mark.kind in _ALONG])
    led = [(seen, shown.corners(seen.mark.area)) for seen in numbered if _is_led(seen)]
    led += [(s, box) for s, box in bars if s.mark.side in (Edge.LEFT, Edge.RIGHT)]
    marks: list[Mark] = [Placed(shown.name, 0, 0, width, height, Box(0, 0, 1, 1))]
    marks += [filled(box, ACCENT) for _, box in bars]
    lines = leaders([box for _, box in led], shown.size, ROOM - 6)
    for (seen, _), leader in zip(led, lines, strict=True):
        marks += _leader(seen, leader, setter)
    level = [(s, box) for s, box in bars if s.mark.side in (Edge.TOP, Edge.BOTTOM)]
    marks += _figures_along(level, shown, setter)
    block = Block(height, tuple(marks))
    room = _ABOVE if any(seen.mark.side == Edge.TOP for seen, _ in level) else 0.0
    below = _ABOVE if any(seen.mark.side == Edge.BOTTOM for seen, _ in level) else 0.0
    lowest = max((leader.start[1] for leader in lines), default=0.0) + SPACE / 2
    whole = Block(max(height + below, lowest), block.marks)
    return whole.lowered(room).indented(ROOM)


def _is_led(seen: SeenMark) -> bool:
    return seen.mark.kind not in _ALONG


def _bars(shown: PictureShown, marks: Sequence[SeenMark]) -> list[tuple[SeenMark, Corners]]:
    """A bar outside the picture for each mark along a side, as long as the mark."""
    width, height = shown.size
    count = dict.fromkeys(Edge, 0)
    found = []
    for seen in marks:
        side = seen.mark.side or Edge.LEFT
        left, top, right, bottom = shown.corners(seen.mark.area)
        away = _BAR_AWAY + count[side] * _BAR_PITCH
        count[side] += 1
        box = {
            Edge.TOP: (left, -away - _BAR, right, -away),
            Edge.BOTTOM: (left, height + away, right, height + away + _BAR),
            Edge.LEFT: (-away - _BAR, top, -away, bottom),
            Edge.RIGHT: (width + away, top, width + away + _BAR, bottom),
        }[side]
        found.append((seen, box))
    return found


def _leader(seen: SeenMark, leader: Leader, setter: Setter) -> list[Mark]:
    """The number of a mark, and a thin line with a pale rim, which shows on any tone."""
    (x, y), text = leader.start, str(seen.number)
    figure = (
        setter.ending(text, STRONG, x - 1, y + _TEXT_DROP)
        if x < 0
        else setter.ending(text, STRONG, x + 1 + setter.wide(text, STRONG), y + _TEXT_DROP)
    )
    return [
        Line(leader.start, leader.end, _HALO, PAPER),
        Line(leader.start, leader.end, _THIN, INK),
        figure,
    ]


def _figures_along(
    bars: Sequence[tuple[SeenMark, Corners]], shown: PictureShown, setter: Setter
) -> list[Mark]:
    """The numbers of the bars above and below the picture."""
    marks: list[Mark] = []
    for side in (Edge.TOP, Edge.BOTTOM):
        own = sorted(
            ((box[0] + box[2]) / 2, str(seen.number))
            for seen, box in bars
            if seen.mark.side == side
        )
        places = spread([middle for middle, _ in own], _FIGURE_PITCH, shown.size[0])
        y = -_ABOVE + 9 if side == Edge.TOP else shown.size[1] + _ABOVE - 3
        marks += [
            setter.centred(text, STRONG, x, y) for x, (_, text) in zip(places, own, strict=True)
        ]
    return marks
