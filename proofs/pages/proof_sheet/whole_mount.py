"""The whole mount of an entry to scale, with its dimension lines."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from proofs.findings import Severity
from proofs.lengths import Length, Unit
from proofs.pages.drawing import Block, Line, Mark, Text, frame
from proofs.pages.mount_drawing import corners, mount_drawing
from proofs.pages.proof_sheet.faults_drawn import DRAWN_CODES, Pencil, wrong_marks
from proofs.pages.proof_sheet.steps_drawn import pictures_shown
from proofs.pages.typography import ACCENT, CAPTION, QUIET, Setter
from proofs.plan.checks.on_ruler import read_in_centimetres, read_in_inches, read_size
from proofs.plan.checks.outcomes import Outcome, StepOutcome
from proofs.plan.entry.mockup import Colour, front_colour, ink_on, seen
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.rules import VisibleRule

_ROW = 11.5  # a dimension line with its number
_FIRST = 3.0  # between the board and its first dimension line
_TICK = 2.2
_LINE = 0.45
_FROM_WINDOW = 4.0  # to that line
_ROOM_IN_MAT = 15.0  # of a border that holds the dimension line of the visible size
_MAY_LAP = 9.0  # of a number, over the end of its line and beside the next, which is longer
_UP, _DOWN = 2.2, 7.2  # the baseline of a number below its line


@dataclass(frozen=True, slots=True)
class Dimension:
    """The distance between two places along a line, in points from the board's corner."""

    start: float
    end: float
    words: str


@dataclass(frozen=True, slots=True)
class _Line:
    """Where dimensions are drawn: ``at`` this distance from the board's top, or from its left.

    Numbers are behind the line, or before it, and stay ``within`` this length if it is given.
    """

    at: float
    is_across: bool
    ink: Colour = QUIET
    is_before: bool = False
    within: float | None = None


@dataclass(frozen=True, slots=True)
class MountDrawing:
    """The drawing of an entry's mount, ``scale`` times smaller, before it is drawn.

    ``is_inside`` is whether the dimension lines of the openings lie in the mat: then only those of
    the board stand out, below it and on its right.
    """

    plan: Plan
    scale: int
    is_inside: bool

    @property
    def before(self) -> float:
        """What stands out on the left and above the board."""
        return 0.0 if self.is_inside else _ROW + _FIRST

    @property
    def after(self) -> float:
        """What stands out on the right and below the board."""
        return _FIRST + (_ROW if self.is_inside else 2 * _ROW)

    @property
    def width(self) -> float:
        """The width with all dimension lines, in points."""
        return self.before + self.plan.layout.board.width.points / self.scale + self.after

    @property
    def height(self) -> float:
        """The height with all dimension lines and the caption, in points."""
        lines = self.before + self.plan.layout.board.height.points / self.scale + self.after
        return lines + CAPTION.leading


def mount_at(job: Job, outcome: Outcome, plan: Plan, scale: int, setter: Setter) -> MountDrawing:
    """Return the drawing of a mount at a scale."""
    is_wrong = any(
        f.code in DRAWN_CODES for f in outcome.findings if f.severity >= Severity.AT_RISK
    )
    has_room = plan.layout.borders_face.least.points / scale >= _ROOM_IN_MAT
    if is_wrong or not has_room:
        return MountDrawing(plan, scale, is_inside=False)
    chains = [_chain(job, plan, scale, is_across=is_across) for is_across in (True, False)]
    is_even = chains[0][0].words == chains[0][-1].words
    are_short = all(
        setter.wide(one.words, CAPTION) <= one.end - one.start + _MAY_LAP
        for chain in chains
        for one in chain
    )
    return MountDrawing(plan, scale, is_inside=is_even and are_short)


def whole_mount(
    job: Job, outcome: Outcome, drawing: MountDrawing, setter: Setter, step: StepOutcome
) -> Block:
    """Return the mount of one step: board, opening and borders outside it, the visible size inside.

    A thin frame shows where the part at life size lies; what breaks a rule is marked.
    """
    plan, scale = drawing.plan, drawing.scale
    board = mount_drawing(plan, scale, pictures_shown(step))
    marks = [*board.marks, *wrong_marks(Pencil(setter, plan, scale), outcome.findings)]
    marks += [*_part_shown(outcome, scale), *_outer(job, drawing, setter)]
    marks += _visible(job, drawing, setter)
    unit = "inches" if _unit(job) == Unit.IN else "centimetres"
    where = "at the face" if plan.mount.has_window else "round the print"
    caption = setter.paragraph(f"1:{scale}, {unit}, borders {where}", CAPTION, 200, most=1)
    moved = Block(0, tuple(marks)).at(drawing.before, drawing.before)
    height = drawing.height - caption.height
    return Block(drawing.height, (*moved, *caption.at(0, height)))


def _unit(job: Job) -> Unit:
    return job.rules.unit if job.rules else Unit.IN


def _part_shown(outcome: Outcome, scale: int) -> Sequence[Mark]:
    if outcome.life_size is None:
        return ()
    left, top, right, bottom = corners(outcome.life_size.place, scale)
    return frame(left, top, right - left, bottom - top, line=0.6, colour=ACCENT)


def _outer(job: Job, drawing: MountDrawing, setter: Setter) -> Iterator[Mark]:
    """Borders and opening below the window and on its right, then the board itself."""
    plan, scale = drawing.plan, drawing.scale
    borders, board = plan.layout.borders_face, plan.layout.board
    ink = ink_on(front_colour(plan.mount)) if drawing.is_inside else QUIET
    for is_across in (True, False):
        whole = board.width if is_across else board.height
        edge = (board.height if is_across else board.width).points / scale
        border = (borders.bottom if is_across else borders.right).points / scale
        at = edge - border + _FROM_WINDOW if drawing.is_inside else edge + _FIRST
        chain = _chain(job, plan, scale, is_across=is_across)
        if is_across and drawing.is_inside:
            # Below on the right stands the number of the lower border; this one is on the left too.
            chain.pop()
        for one in chain:
            within = whole.points / scale if drawing.is_inside else None
            yield from _drawn(one, _Line(at, is_across, ink, within=within), setter)
        at = edge + _FIRST + (0 if drawing.is_inside else _ROW)
        over_all = Dimension(0.0, whole.points / scale, _reader(job)(whole, ()))
        yield from _drawn(over_all, _Line(at, is_across), setter)


def _chain(job: Job, plan: Plan, scale: int, *, is_across: bool) -> list[Dimension]:
    """One border, the opening, and the other border; without those that have no width."""
    borders, board, read = plan.layout.borders_face, plan.layout.board, _reader(job)
    sides = (borders.left, borders.right) if is_across else (borders.top, borders.bottom)
    whole = board.width if is_across else board.height
    limits = [rule.least for rule in job.rules.borders] if job.rules else []
    lengths = (sides[0], whole - sides[0] - sides[1], sides[1])
    ends = (0, sides[0].nm, whole.nm - sides[1].nm, whole.nm)
    # An opening larger than its board, which the check reports, ends with the board.
    places = [Length(max(0, min(end, whole.nm))).points / scale for end in ends]
    return [
        Dimension(start, end, read(length, () if n == 1 else limits))
        for n, (length, (start, end)) in enumerate(zip(lengths, pairwise(places), strict=True))
        if end > start
    ]


def _reader(job: Job) -> Callable[[Length, Iterable[Length]], str]:
    return read_in_inches if _unit(job) == Unit.IN else read_in_centimetres


def _visible(job: Job, drawing: MountDrawing, setter: Setter) -> Iterator[Mark]:
    """The visible sizes, above and on the left of the pictures: equal ones in a line once."""
    plan, scale = drawing.plan, drawing.scale
    rule = job.rules.visible if job.rules else VisibleRule()
    ink = ink_on(front_colour(plan.mount)) if drawing.is_inside else QUIET
    face = plan.layout.borders_face
    across: list[Dimension] = []
    down: list[Dimension] = []
    for n in range(len(plan.layout.pictures)):
        sight = seen(plan.layout, n)
        words = read_size(sight.size, rule, _unit(job)).rpartition(" ")[0].split(" × ")
        left, top, right, bottom = corners(sight, scale)
        across.append(Dimension(left, right, words[0]))
        down.append(Dimension(top, bottom, words[1]))
    for is_across, found, border in ((True, across, face.top), (False, down, face.left)):
        at = border.points / scale - _FROM_WINDOW if drawing.is_inside else -_FIRST
        line = _Line(at, is_across, ink, is_before=True)
        for dimension in _apart(found):
            yield from _drawn(dimension, line, setter)


def _apart(dimensions: Iterable[Dimension]) -> list[Dimension]:
    """The dimensions that can share a line, the first of those that overlap."""
    kept: list[Dimension] = []
    for one in dimensions:
        if all(one.end <= other.start or other.end <= one.start for other in kept):
            kept.append(one)
    return kept


def _drawn(dimension: Dimension, line: _Line, setter: Setter) -> Iterator[Mark]:
    """A dimension line with its ticks, and its number in the middle, turned if the line is."""
    start, end, at = dimension.start, dimension.end, line.at
    ends = [((start, at), (end, at))]
    ends += [((x, at - _TICK), (x, at + _TICK)) for x in (start, end)]
    wide = setter.wide(dimension.words, CAPTION)
    middle = (start + end) / 2
    if line.within is not None:
        middle = max(wide / 2 + 1.5, min(middle, line.within - wide / 2 - 1.5))
    beside = at - _UP if line.is_before else at + _DOWN
    place, angle = (middle - wide / 2, beside), 0
    if not line.is_across:
        ends = [(a[::-1], b[::-1]) for a, b in ends]
        place, angle = (beside, middle + wide / 2), 90
    yield from (Line(a, b, _LINE, line.ink) for a, b in ends)
    style = CAPTION
    yield Text(*place, dimension.words, style.weight, style.size, line.ink, angle)
