"""The flow of pages: parts set one below the other, page after page, with head, foot and stamp."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from proofs.lengths import Size, Unit
from proofs.pages.drawing import Anchor, Block, Line, Mark, Page, enlarged, stacked
from proofs.pages.stamp import stamped
from proofs.pages.typography import (
    BOTTOM,
    CAPTION,
    HAIRLINE,
    MARGIN,
    QUIET,
    SMALL_ALARM,
    TOP,
    Measure,
    Setter,
    baseline,
    rule,
    setter_for,
)
from proofs.records.page_sizes import PAGE_SIZES

BETWEEN = 14.0
_BEFORE_SECTION, _DIVIDED_AT = 38.0, 14.0  # above a section's title, and the line in that gap
_LARGER = (1.4, 1.35, 1.3, 1.25, 1.2, 1.15, 1.1, 1.05)
_FEW = 6  # pages; larger type would hardly fill the last of many
_ENOUGH = 0.8  # of a page's height; one that is filled more looks no better
_MOST_SPREAD = 16.0  # added between two parts of a page that is filled less
_HEAD = 36.0  # the running head's baseline, from the top of the page
_FOOT_RULE, _FOOT, _FOOT_LEADING = 44.0, 34.0, 9.0  # from the bottom of the page


@dataclass(frozen=True, slots=True)
class FlowPart:
    """A block to set down a page, and the gap above it.

    ``again`` is repeated above the block if it begins a page: the head of a table.
    ``keeps_next`` keeps the part together with the next one wherever a page can hold both.
    ``title`` is that of the section which begins here, blank for none: it gets a bookmark, and
    stands at the foot of each of its pages.
    """

    block: Block
    gap: float = BETWEEN
    again: Block | None = None
    keeps_next: bool = False
    title: str = ""


def section(title: str, parts: Iterable[FlowPart]) -> list[FlowPart]:
    """Return the parts of a section, which may begin in the middle of a page."""
    first, *rest = parts
    return [replace(first, gap=_BEFORE_SECTION, title=title, keeps_next=bool(rest)), *rest]


@dataclass(frozen=True, slots=True)
class Chapter:
    """Parts that begin on a page of their own; ``stamp`` marks their pages, blank for none.

    All of it is drawn ``times`` as large as it was set. ``title`` is that of the section which all
    of it belongs to, with other chapters or alone; blank for none.
    """

    parts: tuple[FlowPart, ...]
    stamp: str = ""
    times: float = 1.0
    title: str = ""


@dataclass(frozen=True, slots=True)
class _TypeArea:
    """Where marks go on a page before they are enlarged, in points."""

    left: float
    top: float
    width: float
    height: float


@dataclass(slots=True)
class _Filled:
    """A page as it is filled: its pieces, each with where it begins, and its sections and stamp."""

    pieces: list[tuple[float, Block]] = field(default_factory=list)
    used: float = 0.0
    sections: list[str] = field(default_factory=list)
    stamp: str = ""
    marks: list[Mark] = field(default_factory=list)

    def spread(self, height: float) -> None:
        """Move the pieces of a page that is filled too little farther apart."""
        gaps = len(self.pieces) - 1
        if gaps < 1 or self.used > _ENOUGH * height:
            return
        more = min((height - self.used) / gaps, _MOST_SPREAD)
        self.pieces = [(y + n * more, block) for n, (y, block) in enumerate(self.pieces)]
        self.used += gaps * more

    def drawn(self, area: _TypeArea) -> list[Mark]:
        """Return the marks of all pieces."""
        return [m for y, block in self.pieces for m in block.at(area.left, area.top + y)]


@dataclass(frozen=True, slots=True)
class PageLayout:
    """What all pages of a document share.

    ``paper_size`` is ``a4`` or ``letter``. ``name``, such as the exhibition's, follows the
    document's title at the foot; ``stamp`` is blank for none. ``left_out`` says which entries the
    document leaves out, on a line of its own at the foot of each page; blank for none. Lengths in
    ``unit`` are stated first. What is laid out is drawn ``times`` as large, so the room for it is
    smaller.
    """

    paper_size: str
    measure: Measure
    name: str = ""
    stamp: str = ""
    left_out: str = ""
    unit: Unit = Unit.IN
    times: float = 1.0

    @property
    def size(self) -> Size:
        """The size of the page."""
        return PAGE_SIZES[self.paper_size]

    @property
    def setter(self) -> Setter:
        """The setter for the type area."""
        plain = self._plain_setter
        return replace(plain, width=plain.width / self.times)

    @property
    def _plain_setter(self) -> Setter:
        """The setter for the foot, whose type has one size."""
        return replace(setter_for(self.paper_size, self.measure), unit=self.unit)

    @property
    def room(self) -> float:
        """The height of the type area, in points."""
        return (self.size.height.points - TOP - BOTTOM) / self.times

    def pages(self, parts: Iterable[FlowPart], title: str = "") -> tuple[Page, ...]:
        """Return the parts on pages, with title and name at the foot."""
        foot = " · ".join(filter(None, (title, self.name)))
        return self.chapters([Chapter(tuple(parts), self.stamp, self.times)], foot=(foot,))

    def filling_pages(
        self, parts_of: "PartsOf", title: str = "", *, most: float = _LARGER[0]
    ) -> tuple[Page, ...]:
        """Return parts as ``pages`` does, in the largest type that takes no page more.

        Nothing is enlarged more than ``most`` times.
        """
        larger = self.enlarged_for(parts_of, most=most)
        return larger.pages(parts_of(larger), title)

    def enlarged_for(
        self, parts_of: "PartsOf", *, most: float = _LARGER[0], is_last: bool = True
    ) -> "PageLayout":
        """Return this layout as much enlarged as leaves the number of pages as it is.

        A little less is taken if pages are better filled then; ``is_last`` leaves out the last.
        """
        plain = self.filled(parts_of(self))
        filled = {self.times: plain}
        for times in _LARGER if len(plain) <= _FEW else ():
            if times <= most:
                shares = self._enlarged(times).filled(parts_of(self._enlarged(times)))
                fits = len(shares) <= len(plain) and max(shares) <= 1
                filled |= {times: shares} if fits else {}
        end = -1 if is_last else None
        best = max(filled, key=lambda times: (min([*filled[times][:end], _ENOUGH]), times))
        return self._enlarged(best)

    def _enlarged(self, times: float) -> "PageLayout":
        return replace(self, times=times)

    def chapters(
        self,
        chapters: Iterable[Chapter],
        *,
        foot: Sequence[str] = (),
        head: str = "",
        counted: str = "",
    ) -> tuple[Page, ...]:
        """Return chapters on pages that are numbered throughout.

        ``foot`` holds up to two lines, one if entries are left out; the first begins with the
        sections that are on the page. ``head`` is at the top from the second page on, ``counted``
        in front of each page's number.
        """
        filled, begun = list[_Filled](), set[str]()
        for chapter in chapters:
            pages = list(self._filled(chapter))
            if chapter.title and chapter.title not in begun:
                begun.add(chapter.title)
                pages[0].marks.append(Anchor(0, 0, chapter.title, chapter.title))
            filled += pages
        return tuple(
            self._page(
                page,
                head if n > 1 else "",
                foot=(_with_sections(foot, page), f"{counted} {n} of {len(filled)}".lstrip()),
            )
            for n, page in enumerate(filled, 1)
        )

    def _filled(self, chapter: Chapter) -> Iterator[_Filled]:
        """The pages of a chapter, enlarged as it asks for."""
        area = replace(self, times=chapter.times)._area
        for page in _filled(chapter.parts, area):
            page.marks = page.drawn(area)
            page.stamp = chapter.stamp
            page.sections += [chapter.title] if chapter.title else []
            if chapter.times != 1:
                page.marks = [enlarged(mark, chapter.times) for mark in page.marks]
            yield page

    def filled(self, parts: Iterable[FlowPart]) -> list[float]:
        """Return how much of the type area's height parts take on each page, 0 to 1."""
        return [page.used / self.room for page in _filled(tuple(parts), self._area)]

    @property
    def _area(self) -> _TypeArea:
        left, top = MARGIN / self.times, TOP / self.times
        return _TypeArea(left, top, self.setter.width, self.room)

    def _page(self, page: _Filled, head: str, *, foot: tuple[Sequence[str], str]) -> Page:
        width, height = self.size.width.points, self.size.height.points
        setter, (lines, number) = self._plain_setter, foot
        first = height - _FOOT
        around = [*rule(setter.width).at(MARGIN, height - _FOOT_RULE)]
        around += stamped(page.stamp, setter, MARGIN)
        styled = [(line, CAPTION) for line in lines]
        styled += [(self.left_out, SMALL_ALARM)] if self.left_out else []
        for n, (line, style) in enumerate(styled):
            words = setter.paragraph(line, style, setter.span(3), most=1)
            around += words.at(MARGIN, first + n * _FOOT_LEADING - baseline(style))
        last = first + max(len(styled) - 1, 0) * _FOOT_LEADING
        around.append(setter.ending(number, CAPTION, width - MARGIN, last))
        if head:
            words = setter.paragraph(head, CAPTION, setter.width, most=1)
            around += words.at(MARGIN, _HEAD - baseline(CAPTION))
        return Page(width, height, (*page.marks, *around))


PartsOf: TypeAlias = Callable[[PageLayout], Sequence[FlowPart]]
"""What lays out parts for the type area of a layout."""


def _with_sections(foot: Sequence[str], page: _Filled) -> list[str]:
    """The lines of a foot, the first with the sections of the page in front of it."""
    first, *others = foot or [""]
    return [" · ".join(filter(None, (*page.sections, first))), *others]


def _filled(parts: Sequence[FlowPart], area: _TypeArea) -> list[_Filled]:
    """The pages that parts take; parts that keep together begin a new one if they need it."""
    page, title = _Filled(), ""
    pages = [page]
    for run in _runs(parts):
        whole = sum(part.gap + part.block.height for part in run)
        for n, part in enumerate(run):
            height = part.gap + part.block.height
            again = None
            if page.pieces and page.used + (height if n else whole) > area.height:
                page = _Filled(sections=[title] if title and not part.title else [])
                pages.append(page)
                again = part.again
            title = part.title or title
            page.sections += [part.title] if part.title else []
            gap = part.gap if page.pieces else 0.0
            block = _begun(part, gap, area.width) if part.title else part.block
            if again is not None:
                block = stacked([again, block])
            page.pieces.append((page.used + gap, block))
            page.used += gap + block.height
    for page in pages[:-1]:
        page.spread(area.height)
    return pages


def _begun(part: FlowPart, gap: float, width: float) -> Block:
    """A part that begins a section, with its bookmark, and a line above it within a page."""
    marks = [Anchor(0, -gap, part.title, part.title), *part.block.marks]
    if gap:
        y = _DIVIDED_AT - gap
        marks.append(Line((0, y), (width, y), 2 * HAIRLINE, QUIET))
    return Block(part.block.height, tuple(marks))


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
