"""The words and lines around the pictures on a sheet of test strips.

A lab sees the sheet, so steps are named by letters alone: an operator reads "+0.10" as an order.
"""

from collections.abc import Iterator, Mapping

from proofs.pages.drawing import Block, Mark, Shape, Text, across, frame, rectangle, stacked
from proofs.pages.ruler import rule_block
from proofs.pages.setting import shortened
from proofs.pages.typography import (
    INK,
    LIGHT,
    QUIET,
    REGULAR,
    SEMIBOLD,
    Setter,
    Style,
    baseline,
    text_at,
)
from proofs.pixel_areas import Area
from proofs.plan.sheets.strip_packing import StripPiece, StripSheet
from proofs.plan.sheets.strip_sheet import StripFoot, StripFrame
from proofs.plan.tones.tone import density
from proofs.plan.tones.wedge import STEPS, Patch, step_box, wedge_size

_NAME = Style(LIGHT, 17)
_BODY = Style(REGULAR, 6.8)
_STRONG = Style(SEMIBOLD, 6.8)
_SMALL = Style(REGULAR, 5.6, QUIET)
_LETTER = Style(SEMIBOLD, 7.6)
_TITLE = Style(REGULAR, 6.4, QUIET)
_SIDE_BY_SIDE = 420.0  # a sheet as wide as this has the requests next to the name
_GUTTER = 16.0
_DROP = 5.0  # brings the requests down towards the name's baseline
_LABEL_DROP = 3.0  # from a picture to the top of its label, in points
_MARK_LONG, _MARK_LINE = 11.0, 0.7

_PURPOSE = (
    "Parts of pictures at final size. Each letter is another step: the pieces are meant to differ."
)
_REQUESTS = (
    "To the lab: same paper and finish as the final prints; print at 100 %, without any"
    " correction; let it dry for a day."
)


def head_block(setter: Setter, paper: str, number: int, count: int) -> Block:
    """Return the head: what the sheet is, for which paper, and what is asked of the lab."""
    wide = setter.width >= _SIDE_BY_SIDE
    left = (setter.width - _GUTTER) * 0.36 if wide else setter.width
    right = setter.width - left - _GUTTER if wide else setter.width
    which = f"Sheet {number} of {count} · {paper}"
    name = setter.stack([("Test strip", _NAME), (which, _SMALL)], left, gap=1, most=3)
    words = setter.stack([(_REQUESTS, _STRONG), (_PURPOSE, _BODY)], right, gap=2)
    if not wide:
        return stacked([name, words], 3)
    return across([name, words.lowered(_DROP)], (0, left + _GUTTER))


def sheet_marks(
    frame_: StripFrame,
    sheet: StripSheet,
    names: Mapping[tuple[str, int], str],
    head: Block,
    setter: Setter,
) -> tuple[Mark, ...]:
    """Return the marks, in points from the top left of the sheet, without the foot.

    ``names`` holds the words below each picture, by entry and number of the picture, from 0.
    """
    x, y = _points(frame_, frame_.head.left), _points(frame_, frame_.head.top)
    labels = (m for piece in sheet.pieces for m in _label(frame_, piece, names, setter))
    return (*_corners(frame_), *head.at(x, y), *labels)


def foot_marks(frame_: StripFrame, foot: StripFoot, setter: Setter) -> tuple[Mark, ...]:
    """Return the captions of wedge and patches, the line round paper white, and the rule."""
    x, y = _points(frame_, frame_.foot.left), _points(frame_, frame_.foot.top)
    # From a whole pixel, so that no tick is off by more than half of one.
    nought = _points(frame_, round((x + foot.rule.x.points) * frame_.ppi / 72)) - x
    rule = rule_block(setter).at(nought, foot.rule.y.points)
    white = _box(foot.white)
    marks: tuple[Mark, ...] = (
        *_wedge_captions(foot, setter),
        *frame(*white, line=0.4, colour=QUIET),
        *_caption(foot.white, "paper white"),
        *_caption(foot.black, "full black"),
        *rule,
    )
    return tuple(mark.moved(x, y) for mark in marks)


def _points(frame_: StripFrame, pixels: int) -> float:
    return pixels * 72 / frame_.ppi


def _label(
    frame_: StripFrame, piece: StripPiece, names: Mapping[tuple[str, int], str], setter: Setter
) -> Iterator[Mark]:
    """Letter, number and title below a picture, cut off where the picture ends."""
    area = piece.area
    left, width = _points(frame_, area.left), _points(frame_, area.width)
    y = _points(frame_, area.bottom) + _LABEL_DROP + baseline(_LETTER)
    yield text_at(piece.step, _LETTER, left, y)
    start = setter.wide(piece.step, _LETTER) + 5
    line = shortened(
        names[piece.entry, piece.picture],
        max(0.0, width - start - 3),
        lambda t: setter.wide(t, _TITLE),
    )
    yield text_at(line, _TITLE, left + start, y)


def _corners(frame_: StripFrame) -> Iterator[Shape]:
    """Four marks, their outer edges on the corners of the marked area."""
    area: Area = frame_.marks
    left, top = _points(frame_, area.left), _points(frame_, area.top)
    right, bottom = _points(frame_, area.right), _points(frame_, area.bottom)
    # Whole pixels, so that the outer edges fall exactly where they measure.
    line = _points(frame_, max(1, round(_MARK_LINE * frame_.ppi / 72)))
    long = _points(frame_, round(_MARK_LONG * frame_.ppi / 72))
    for x, arm_x in ((left, left), (right - line, right - long)):
        for y, arm_y in ((top, top), (bottom - line, bottom - long)):
            yield rectangle(arm_x, y, long, line, INK)
            yield rectangle(x, arm_y, line, long, INK)


def _wedge_captions(foot: StripFoot, setter: Setter) -> Iterator[Text]:
    """The density of each step, below it; the darkest step is called black."""
    size = wedge_size(foot.wedge_width)
    unit = foot.wedge_width.points / 100
    y = foot.wedge.y.points + size.height.points + baseline(_SMALL) + 0.5
    for number, tone in enumerate(STEPS):
        words = f"{abs(density(tone)):.2f}" if tone else "black"
        left, _, right, _ = step_box(number)
        middle = foot.wedge.x.points + (left + right) / 2 * unit
        yield setter.centred(words, _SMALL, middle, y)


def _box(patch: Patch) -> tuple[float, float, float, float]:
    place, size = patch.place, patch.size
    return place.x.points, place.y.points, size.width.points, size.height.points


def _caption(patch: Patch, words: str) -> Iterator[Text]:
    left, top, _, height = _box(patch)
    y = top + height + baseline(_SMALL) + 0.5
    yield text_at(words, _SMALL, left, y)
