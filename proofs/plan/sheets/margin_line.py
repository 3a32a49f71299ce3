"""What is printed outside the picture, behind the mat: cut marks, and a margin line.

The margin line states the entry's number and the size, marks the upper edge, and has a small grey
wedge. Both keep 1/4 in away from the opening, so that they stay hidden if the mat slips. If the mat
hides no paper, the paper is trimmed: the cut marks show where and are cut off, and there is no
margin line.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import Edge, inches
from proofs.pixel_areas import Area, pixels, pixels_at_least, pixels_at_most
from proofs.plan.entry.board import Layout, Opening, Picture
from proofs.plan.sheets.placing import Placing
from proofs.plan.tones.wedge import wedge_size

BEHIND_MAT = inches("1/4")
"""How far from the opening the mat is certain to hide the sheet; common practice, no source."""

LINE_WEDGE = inches("3/2")
LINE_HEIGHT = wedge_size(LINE_WEDGE).height
_LINE_LONG, _LINE_LEAST = inches("13/4"), inches("11/4")
_SPACE = inches("1/16")
_MARK_LONG, _MARK_LEAST, _MARK_LINE = inches("1/5"), inches("1/16"), inches("1/100")
_MARGIN_LINE, _CUT_MARKS = "margin line", "cut marks"
_NO_MARGIN = "the print has no margin"
_SIDES = (Edge.TOP, Edge.BOTTOM, Edge.LEFT, Edge.RIGHT)


@dataclass(frozen=True, slots=True)
class MarginLine:
    """The place of the margin line: ``top`` is the sign for the upper edge, always upright.

    ``strip`` holds words and wedge; if it ``is_turned``, it reads upwards.
    """

    top: Area
    strip: Area
    is_turned: bool


@dataclass(frozen=True, slots=True)
class MarginMarks:
    """Everything printed outside the picture, and the reasons for what is missing.

    ``clear`` is the area of the opening, of 1/4 in round it, and of the image; paper that is cut
    along its edge still reaches that far behind the mat. It is None if the mat hides no paper. The
    cut marks are then in line with the edges of the trimmed paper, and outside them.
    """

    clear: Area | None
    cut_marks: tuple[Area, ...] = ()
    margin_line: MarginLine | None = None
    missing: tuple[str, ...] = ()


def margin_marks(
    layout: Layout, picture: Picture, placing: Placing, *, margin_line: bool, cut_marks: bool
) -> MarginMarks:
    """Return what is printed outside the picture of a sheet, as far as it was asked for."""
    clear = clear_area(layout, picture, placing)
    asked = [
        words
        for words, is_asked in ((_MARGIN_LINE, margin_line), (_CUT_MARKS, cut_marks))
        if is_asked
    ]
    if clear is None:
        return _trimmed(layout, picture, placing, asked)
    hidden = placing.free.shared(_board(layout, picture, placing))
    all_marks = _cut_marks(clear, hidden, placing.ppi) if cut_marks else ()
    marks = tuple(mark for mark in all_marks if hidden.holds(mark))
    found = _margin_line(clear, hidden, marks, placing.ppi) if margin_line else None
    lacking = [
        (_MARGIN_LINE, margin_line and found is None),
        (_CUT_MARKS, cut_marks and not marks),
    ]
    why = "the sheet has too little paper behind the mat"
    if placing.is_to_edge:
        why = _NO_MARGIN
    missing = tuple(f"no {words}: {why}" for words, is_lacking in lacking if is_lacking)
    return MarginMarks(clear, marks, found, missing)


def _trimmed(
    layout: Layout, picture: Picture, placing: Placing, asked: Sequence[str]
) -> MarginMarks:
    """The cut marks of paper that is trimmed, and why there is nothing else."""
    trim = _trim_area(layout, picture, placing)
    clear = Area.around([trim, placing.image])
    marks: tuple[Area, ...] = ()
    if _CUT_MARKS in asked and placing.free.holds(trim):
        found = _cut_marks(clear, placing.free, placing.ppi, lines=trim)
        marks = tuple(mark for mark in found if placing.free.holds(mark))
    why = "the paper's edge is visible" if picture.paper_edge else "no mat hides any paper"
    reasons = {_MARGIN_LINE: why}
    if not marks:
        reasons[_CUT_MARKS] = "the sheet has too little white outside the trimmed paper"
    if placing.is_to_edge:
        reasons = dict.fromkeys(asked, _NO_MARGIN)
    missing = tuple(f"no {words}: {reasons[words]}" for words in asked if words in reasons)
    return MarginMarks(None, marks, missing=missing)


def _trim_area(layout: Layout, picture: Picture, placing: Placing) -> Area:
    """The trimmed paper in the file, to the nearest pixel.

    Without a visible edge that is the image, as far as it is on the board: a printed surround
    reaches beyond.
    """
    image, place, ppi = placing.image, picture.image.place, placing.ppi
    if picture.paper_edge is None and picture.image == picture.image.within(layout.board):
        return image
    edge = picture.paper_edge or picture.image.within(layout.board)
    return Area.between(
        image.left + pixels(edge.left - place.x, ppi),
        image.top + pixels(edge.top - place.y, ppi),
        image.right + pixels(edge.right - picture.image.right, ppi),
        image.bottom + pixels(edge.bottom - picture.image.bottom, ppi),
    )


def clear_area(layout: Layout, picture: Picture, placing: Placing) -> Area | None:
    """Return the part of a sheet that must stay clear, in pixels; None if no paper is hidden.

    All openings of the board count, in each mat and at both edges of their bevels. It is a pixel
    larger on each side, because the image itself is rounded to whole pixels.
    """
    if not picture.cuts or picture.paper_edge is not None:
        return None
    cuts = [cut for window in layout.windows for cut in window]
    edges = [edge for cut in cuts for edge in (cut.back, cut.face)]
    areas = [_outwards(edge.grown(BEHIND_MAT), picture, placing) for edge in edges]
    return Area.around([*areas, placing.image])


def _outwards(edge: Opening, picture: Picture, placing: Placing) -> Area:
    """The pixels that an outline on the board covers, fully or in part."""
    image, place = placing.image, picture.image.place
    return Area.between(
        image.left + pixels_at_most(edge.left - place.x, placing.ppi) - 1,
        image.top + pixels_at_most(edge.top - place.y, placing.ppi) - 1,
        image.left + pixels_at_least(edge.right - place.x, placing.ppi) + 1,
        image.top + pixels_at_least(edge.bottom - place.y, placing.ppi) + 1,
    )


def _board(layout: Layout, picture: Picture, placing: Placing) -> Area:
    """The pixels on the board: paper that hangs over its edge is cut off."""
    image, place = placing.image, picture.image.place
    left, top, width, height = (
        pixels_at_most(length, placing.ppi)
        for length in (place.x, place.y, layout.board.width, layout.board.height)
    )
    return Area(image.left - left, image.top - top, width, height)


def _cut_marks(clear: Area, hidden: Area, ppi: int, *, lines: Area | None = None) -> Iterator[Area]:
    """Bars in line with the edges of the clear area, or of ``lines``, wherever there is room.

    The edge of a bar that is nearer to the picture is the line.
    """
    along = lines or clear
    line, space = max(1, pixels(_MARK_LINE, ppi)), pixels_at_least(_SPACE, ppi)
    long, least = pixels(_MARK_LONG, ppi), pixels_at_least(_MARK_LEAST, ppi)
    across = min(clear.left - hidden.left, hidden.right - clear.right) - space
    down = min(clear.top - hidden.top, hidden.bottom - clear.bottom) - space
    if down >= least:
        high = min(long, down)
        for left in (along.left - line, along.right):
            yield Area(left, clear.top - space - high, line, high)
            yield Area(left, clear.bottom + space, line, high)
    if across >= least:
        wide = min(long, across)
        for top in (along.top - line, along.bottom):
            yield Area(clear.left - space - wide, top, wide, line)
            yield Area(clear.right + space, top, wide, line)


def _margin_line(clear: Area, hidden: Area, marks: tuple[Area, ...], ppi: int) -> MarginLine | None:
    """The margin line on the first side with room, close to the picture or beyond the marks."""
    space = pixels_at_least(_SPACE, ppi)
    beyond = 2 * space + pixels_at_least(_MARK_LONG, ppi)
    for side in _SIDES:
        for away in (space, beyond):
            whole = _line_area(clear, hidden, side, away, ppi=ppi)
            if whole and hidden.holds(whole) and not any(whole.touches(mark) for mark in marks):
                return _parted(whole, side, space)
    return None


def _line_area(clear: Area, hidden: Area, side: Edge, away: int, *, ppi: int) -> Area | None:
    """The margin line, next to the middle of a side of the clear area; None if it is too long."""
    high = pixels_at_least(LINE_HEIGHT, ppi)
    is_level = side in (Edge.TOP, Edge.BOTTOM)
    room = hidden.width if is_level else hidden.height
    if room < pixels_at_least(_LINE_LEAST, ppi):
        return None
    long = min(room, pixels(_LINE_LONG, ppi))
    if is_level:
        middle = clear.left + (clear.width - long) // 2
        left = max(hidden.left, min(middle, hidden.right - long))
        top = clear.top - away - high if side == Edge.TOP else clear.bottom + away
        return Area(left, top, long, high)
    middle = clear.top + (clear.height - long) // 2
    top = max(hidden.top, min(middle, hidden.bottom - long))
    left = clear.left - away - high if side == Edge.LEFT else clear.right + away
    return Area(left, top, high, long)


def _parted(whole: Area, side: Edge, space: int) -> MarginLine:
    is_turned = side in (Edge.LEFT, Edge.RIGHT)
    sign = whole.width if is_turned else whole.height
    across, down = (0, sign + space) if is_turned else (sign + space, 0)
    strip = Area.between(whole.left + across, whole.top + down, whole.right, whole.bottom)
    return MarginLine(Area(whole.left, whole.top, sign, sign), strip, is_turned)
