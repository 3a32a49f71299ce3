"""The flow of pages: parts set one below the other, page after page, with head, foot and stamp."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from proofs.lengths import Size, Unit
from proofs.pages.drawing import Anchor, Block, Mark, Page
from proofs.pages.stamp import stamped
from proofs.pages.typography import (
    BOTTOM,
    FOOT,
    FOOT_ALARM,
    MARGIN,
    TOP,
    Measure,
    Setter,
    baseline,
    rule,
    setter_for,
)
from proofs.records.page_sizes import PAGE_SIZES

BETWEEN = 14.0
_HEAD = 36.0  # the running head's baseline, from the top of the page
_FOOT_RULE, _FOOT, _FOOT_LEADING = 44.0, 34.0, 9.0  # from the bottom of the page


@dataclass(frozen=True, slots=True)
class FlowPart:
    """A block to set down a page, and the gap above it.

    ``again`` is repeated above the block if it begins a page: the head of a table.
    ``keeps_next`` keeps the part together with the next one wherever a page can hold both.
    """

    block: Block
    gap: float = BETWEEN
    again: Block | None = None
    keeps_next: bool = False


@dataclass(frozen=True, slots=True)
class Chapter:
    """Parts that begin on a page of their own; ``stamp`` marks their pages, blank for none."""

    parts: tuple[FlowPart, ...]
    stamp: str = ""


@dataclass(frozen=True, slots=True)
class PageLayout:
    """What all pages of a document share.

    ``paper_size`` is ``a4`` or ``letter``. ``name``, such as the exhibition's, follows the
    document's title at the foot; ``stamp`` is blank for none. ``left_out`` says which entries the
    document leaves out, on a line of its own at the foot of each page; blank for none. Lengths in
    ``unit`` are stated first.
    """

    paper_size: str
    measure: Measure
    name: str = ""
    stamp: str = ""
    left_out: str = ""
    unit: Unit = Unit.IN

    @property
    def size(self) -> Size:
        """The size of the page."""
        return PAGE_SIZES[self.paper_size]

    @property
    def setter(self) -> Setter:
        """The setter for the type area."""
        return replace(setter_for(self.paper_size, self.measure), unit=self.unit)

    @property
    def room(self) -> float:
        """The height of the type area, in points."""
        return self.size.height.points - TOP - BOTTOM

    def pages(self, parts: Iterable[FlowPart], title: str = "") -> tuple[Page, ...]:
        """Return the parts on pages, with title and name at the foot."""
        foot = " · ".join(filter(None, (title, self.name)))
        return self.chapters([Chapter(tuple(parts), self.stamp)], foot=(foot,))

    def chapters(
        self,
        chapters: Iterable[Chapter],
        *,
        foot: Sequence[str] = (),
        head: str = "",
        counted: str = "",
    ) -> tuple[Page, ...]:
        """Return chapters on pages that are numbered throughout.

        ``foot`` holds up to two lines, one if entries are left out. ``head`` is at the top from the
        second page on, ``counted`` in front of each page's number.
        """
        filled = [(marks, c.stamp) for c in chapters for marks, _ in _filled(c.parts, self.room)]
        return tuple(
            self._page(
                marks,
                stamp,
                head if n > 1 else "",
                foot=(foot, f"{counted} {n} of {len(filled)}".lstrip()),
            )
            for n, (marks, stamp) in enumerate(filled, 1)
        )

    def filled(self, parts: Iterable[FlowPart]) -> list[float]:
        """Return how much of the type area's height parts take on each page, 0 to 1."""
        return [used / self.room for _, used in _filled(tuple(parts), self.room)]

    def _page(
        self, marks: Sequence[Mark], stamp: str, head: str, *, foot: tuple[Sequence[str], str]
    ) -> Page:
        width, height = self.size.width.points, self.size.height.points
        setter, (lines, number) = self.setter, foot
        first = height - _FOOT
        around = [*rule(setter.width).at(MARGIN, height - _FOOT_RULE)]
        around += stamped(stamp, setter, MARGIN)
        styled = [(line, FOOT) for line in lines]
        styled += [(self.left_out, FOOT_ALARM)] if self.left_out else []
        for n, (line, style) in enumerate(styled):
            words = setter.paragraph(line, style, setter.span(3), most=1)
            around += words.at(MARGIN, first + n * _FOOT_LEADING - baseline(style))
        last = first + max(len(styled) - 1, 0) * _FOOT_LEADING
        around.append(setter.ending(number, FOOT, width - MARGIN, last))
        if head:
            words = setter.paragraph(head, FOOT, setter.width, most=1)
            around += words.at(MARGIN, _HEAD - baseline(FOOT))
        return Page(width, height, (*marks, *around))


def bookmarked(pages: Sequence[Page], title: str) -> tuple[Page, ...]:
    """Return pages whose first one has a bookmark of this title, unique in the document."""
    if not pages:
        return ()
    first, *others = pages
    return (replace(first, marks=(*first.marks, Anchor(0, 0, title, title))), *others)


def _filled(parts: Sequence[FlowPart], room: float) -> list[tuple[list[Mark], float]]:
    """The marks of each page and the height they take.

    Parts that keep together begin a new page if they need one.
    """
    pages: list[list[Mark]] = [[]]
    heights: list[float] = []
    y = 0.0

    def turn_before(height: float) -> None:
        nonlocal y
        if pages[-1] and y + height > room:
            pages.append([])
            heights.append(y)
            y = 0.0

    for run in _runs(parts):
        turn_before(sum(part.gap + part.block.height for part in run))
        for part in run:
            turn_before(part.gap + part.block.height)
            if not pages[-1] and len(pages) > 1 and part.again is not None:
                pages[-1] += part.again.at(MARGIN, TOP)
                y = part.again.height
            gap = part.gap if pages[-1] else 0.0
            pages[-1] += part.block.at(MARGIN, TOP + y + gap)
            y += gap + part.block.height
    return list(zip(pages, [*heights, y], strict=True))


def _runs(parts: Iterable[FlowPart]) -> Iterator[list[FlowPart]]:
    """The parts in groups that keep together."""
    run: list[FlowPart] = []
    for part in parts:
        run.append(part)
        if not part.keeps_next:
            yield run
            run = []
    if run:
        yield run
