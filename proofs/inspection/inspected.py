"""A picture that was looked at, with its marks as they matter: numbered, hidden or ticked off."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from proofs.inspection.marks import Area, Inspection, Mark, MarkKind, Point
from proofs.inspection.ticks import tick_for, ticked
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan, PlannedPicture
from proofs.records.spotted import Tick, TickWord

MOST_FLAWS = 10
"""How many specks, hairs, scratches and streaks of a picture are numbered: the surest."""

_MUCH_WITHOUT_TONE = 0.01  # of the image, in one area; common practice, no source

FLAWS = (MarkKind.SPECK, MarkKind.LINE, MarkKind.STREAK)
FRAMES = (MarkKind.BORDER, MarkKind.STROKE)
TONES = (MarkKind.CLIPPED, MarkKind.BLOCKED)


@dataclass(frozen=True, slots=True)
class PictureLook:
    """What the pixels of one picture showed; ``sha256`` is that of its file."""

    inspection: Inspection
    sha256: str


@dataclass(frozen=True, slots=True)
class SeenMark:
    """A mark, the word with which it is ticked off if it is, and whether the mat hides it.

    ``number`` is the one on the page; None if it has none there.
    """

    mark: Mark
    word: TickWord | None = None
    is_hidden: bool = False
    number: int | None = None

    @property
    def is_open(self) -> bool:
        """Whether it is still to be looked at."""
        return self.word is None and not self.is_hidden


@dataclass(frozen=True, slots=True)
class InspectedPicture:
    """One picture of an entry, counted from 0, and all marks in it, the surest first."""

    plan: Plan
    n: int
    look: PictureLook
    marks: tuple[SeenMark, ...]

    @classmethod
    def of_look(
        cls, plan: Plan, n: int, look: PictureLook, ticks: Sequence[Tick]
    ) -> "InspectedPicture":
        """Return a picture with its marks numbered; ``ticks`` are those of all entries.

        Numbers run from the borders and strokes, which may decide, over the surest flaws and the
        lost edges to the largest area of each lost tone.
        """
        own = [t for t in ticks if (t.number, t.picture) == (plan.entry.number, n + 1)]
        own = [tick for tick in own if tick.is_of(look.sha256)]
        marks = look.inspection.marks
        words = ticked(marks, own, image_mm(plan, n))
        seen = [
            SeenMark(mark, words.get(place), _is_hidden(mark, plan, n))
            for place, mark in enumerate(marks)
        ]
        numbers = {place: count for count, place in enumerate(_in_order(seen), 1)}
        numbered = (replace(each, number=numbers.get(m)) for m, each in enumerate(seen))
        return cls(plan, n, look, tuple(numbered))

    @property
    def part(self) -> PlannedPicture:
        """The picture as planned."""
        return self.plan.parts[self.n]

    @property
    def size_mm(self) -> Point:
        """The size of the whole image on paper."""
        return image_mm(self.plan, self.n)

    @property
    def numbered(self) -> tuple[SeenMark, ...]:
        """The marks with a number, in the order of the numbers."""
        found = [(seen.number, seen) for seen in self.marks if seen.number is not None]
        return tuple(seen for _, seen in sorted(found, key=lambda pair: pair[0]))

    @property
    def is_calm(self) -> bool:
        """Whether there is nothing to look at in it, but perhaps small areas without tone."""
        numbered = [seen.mark for seen in self.numbered]
        width, height = self.size_mm
        much = _MUCH_WITHOUT_TONE * width * height
        return all(m.kind in TONES and (m.area_mm2 or 0.0) < much for m in numbered)

    def of(self, kinds: Iterable[MarkKind]) -> tuple[SeenMark, ...]:
        """Return the marks of these kinds that are to be looked at, the surest first."""
        held = tuple(kinds)
        return tuple(seen for seen in self.marks if seen.is_open and seen.mark.kind in held)

    def tick(self, mark: Mark) -> Tick:
        """Return the tick that takes a mark off; a border or an edge is usually meant."""
        word = TickWord.SPOTTED if mark.kind in FLAWS else TickWord.MEANT
        number = self.plan.entry.number
        return tick_for(
            mark, word, self.size_mm, entry=(number, self.n + 1), sha256=self.look.sha256
        )


def _in_order(marks: Sequence[SeenMark]) -> list[int]:
    """The places of the marks that get a number, in the order of the numbers."""

    def of(*kinds: MarkKind) -> list[int]:
        return [n for n, seen in enumerate(marks) if seen.is_open and seen.mark.kind in kinds]

    tones = [
        max(of(kind), key=lambda n: (marks[n].mark.area_mm2 or 0.0, -n))
        for kind in TONES
        if of(kind)
    ]
    return [*of(*FRAMES), *of(*FLAWS)[:MOST_FLAWS], *of(MarkKind.LOST_EDGE), *tones]


def image_mm(plan: Plan, n: int) -> Point:
    """Return the size of a whole image of a plan on paper."""
    size = plan.layout.pictures[n].image.size
    return size.width.mm, size.height.mm


def _is_hidden(mark: Mark, plan: Plan, n: int) -> bool:
    """Whether the mat hides a mark; an edge is lost where the mat begins, wherever that is."""
    return mark.kind is not MarkKind.LOST_EDGE and is_hidden(mark.area, plan, n)


def is_hidden(area: Area, plan: Plan, n: int) -> bool:
    """Return whether the mat hides a place in picture ``n``, if the print lies in its place."""
    picture = plan.layout.pictures[n]
    sight = picture.sight.counted_from(picture.image)
    left, top, right, bottom = (e.mm for e in (sight.left, sight.top, sight.right, sight.bottom))
    x = min(max((left + right) / 2, area.left), area.left + area.width)
    y = min(max((top + bottom) / 2, area.top), area.top + area.height)
    # Of the place, the point nearest to the middle of the opening decides.
    across, down = (2 * x - left - right) / (right - left), (2 * y - top - bottom) / (bottom - top)
    if picture.is_oval:
        return across**2 + down**2 >= 1
    return max(abs(across), abs(down)) >= 1


@dataclass(frozen=True, slots=True)
class InspectedEntry:
    """One entry after an inspection: its outcome, and those of its pictures that were looked at.

    ``stem`` is how the names of its files start.
    """

    outcome: Outcome
    stem: str
    pictures: tuple[InspectedPicture, ...] = ()
