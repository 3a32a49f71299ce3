"""The last page of the proof sheet: all mounts of the run on one wall, at one scale."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.pages.drawing import Anchor, Block, Link, Mark, Placed, rectangle, stacked
from proofs.pages.proof_sheet.entry_head import anchor_of
from proofs.pages.setting import shortened
from proofs.pages.typography import ASIDE, REGULAR, SEMIBOLD, TITLE, Setter, Style, text_at
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.mockup import Box, Colour, hung_pixels
from proofs.plan.entry.planning import Plan
from proofs.plan.wall.hang import Hang, HungMount, HungRow, Mounted, Wall, hang

PLASTER: Colour = (205, 205, 205)
"""The wall on paper: lighter than on a screen, because a page of grey takes much ink."""

_INK: Colour = (48, 48, 48)
_UNITS = 100  # to a point
_LARGEST = 24.0  # points per inch: 1:3
_CAPTION, _HEADING = 13.0, 17.0  # heights of lines, in points
_GAP = 7.0
_TITLE_DROP, _HEADING_DROP = 10.5, 9.0  # of a baseline
_WORD_GAP = 3.5
_ABOVE = 5.0
_NUMBER = Style(SEMIBOLD, 7.5, _INK)
_NAME = Style(REGULAR, 7.5, _INK)
_CATEGORY = Style(SEMIBOLD, 9, _INK)
_LAYERS = 9  # of even grey, from the edge of a shadow inwards
_DARKEST = 0.27
_REACH, _RIGHT, _DOWN = 0.85, 0.15, 0.4  # of a shadow, in inches of wall


@dataclass(frozen=True, slots=True)
class HungEntry:
    """An entry that hangs: its ``place`` in the run, its outcome, and its plan."""

    place: int
    outcome: Outcome
    plan: Plan


def hung_entries(outcomes: Sequence[Outcome]) -> tuple[HungEntry, ...]:
    """Return the entries that hang; none if there are fewer than two, whose pages show them."""
    hung = tuple(
        HungEntry(place, outcome, outcome.plan)
        for place, outcome in enumerate(outcomes, 1)
        if outcome.plan is not None and outcome.hung
    )
    return hung if len(hung) > 1 else ()


def hang_block(entries: Sequence[HungEntry], setter: Setter, height: float) -> Block:
    """Return the wall with its heading, as wide as the page and of this height."""
    heading = setter.paragraph("The hang", TITLE, setter.width)
    note = setter.paragraph("All mounts of the run, at one scale", ASIDE, setter.width)
    head = stacked([heading, note])
    room = height - head.height - _ABOVE
    mounts = [Mounted(e.plan.layout.board, e.outcome.entry.category) for e in entries]
    wall = Wall(
        most_width=round(setter.width * _UNITS),
        most_height=round(room * _UNITS),
        largest=_LARGEST * _UNITS,
        title=round(_CAPTION * _UNITS),
        heading=round(_HEADING * _UNITS),
        least_gap=round(_GAP * _UNITS),
        shape=setter.width / room,
    )
    found = hang(mounts, wall)
    marks: list[Mark] = [rectangle(0, 0, setter.width, room, PLASTER)]
    left, top = (setter.width - found.width / _UNITS) / 2, (room - found.height / _UNITS) / 2
    marks += (mark.moved(left, top) for mark in _hung(found, entries, setter))
    anchor = Anchor(0, 0, "hang", "The hang")
    on_wall = Block(room, tuple(marks)).at(0, head.height + _ABOVE)
    return Block(height, (*head.marks, *on_wall, anchor))


def _hung(found: Hang, entries: Sequence[HungEntry], setter: Setter) -> Iterator[Mark]:
    for mount in found.mounts:
        yield from _shadow(mount, found.scale / _UNITS)
    for row in found.rows:
        yield from _words(row, entries, setter)
        for mount in row.mounts:
            entry = entries[mount.place]
            left, top, width, height = _in_points(mount)
            pixels = hung_pixels(entry.plan)
            crop = Box(0, 0, pixels.width, pixels.height)
            yield Placed(entry.outcome.hung, left, top, width, height, crop)
            yield Link(left, top, width, height, anchor_of(entry.place))


def _in_points(mount: HungMount) -> tuple[float, float, float, float]:
    left, top, width, height = (
        side / _UNITS for side in (mount.left, mount.top, mount.width, mount.height)
    )
    return left, top, width, height


def _shadow(mount: HungMount, scale: float) -> Iterator[Mark]:
    """A soft shadow, in layers that grow darker inwards."""
    left, top, width, height = _in_points(mount)
    for n in range(1, _LAYERS + 1):
        share = n / _LAYERS
        grown = _REACH * scale * (1 - share)
        grey = round(PLASTER[0] * (1 - _DARKEST * share**2))
        x, y = left + _RIGHT * scale - grown, top + _DOWN * scale - grown
        yield rectangle(x, y, width + 2 * grown, height + 2 * grown, (grey, grey, grey))


def _words(row: HungRow, entries: Sequence[HungEntry], setter: Setter) -> Iterator[Mark]:
    """The categories that begin in a row, and number and title below each mount."""
    baseline = row.headings_top / _UNITS + _HEADING_DROP
    for heading in row.headings:
        words = [(heading.words, _CATEGORY)]
        yield from _line(words, (heading.left / _UNITS, baseline), heading.width / _UNITS, setter)
    baseline = row.captions_top / _UNITS + _TITLE_DROP
    for mount in row.mounts:
        entry = entries[mount.place].outcome.entry
        words = [(entry.number, _NUMBER), (entry.title, _NAME)]
        yield from _line(words, (mount.left / _UNITS, baseline), mount.width / _UNITS, setter)


def _line(
    words: Sequence[tuple[str, Style]], place: tuple[float, float], room: float, setter: Setter
) -> Iterator[Mark]:
    """Texts side by side, cut to fit; no ellipsis stands alone."""
    x, y = place
    for text, style in words:
        left = room - (x - place[0])
        line = _cut(text, style, left, setter)
        wide = setter.wide(line, style)
        if wide > left or line == "…":
            break
        yield text_at(line, style, x, y)
        x += wide + _WORD_GAP


def _cut(text: str, style: Style, room: float, setter: Setter) -> str:
    return shortened(text, room, lambda part: setter.wide(part, style))
