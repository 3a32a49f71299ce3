"""Where each mount of a run hangs on one wall, at one scale, in whole units of what shows it.

Mounts hang in the order of their entries, category by category, in rows. Those of one row share a
centre line, as in an exhibition. The unit is a pixel of a picture, or a fraction of a point.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from proofs.lengths import Size
from proofs.records.cells import folded

_BETWEEN, _APART = 4.5, 9.0  # inches of wall between two mounts, and between two categories
_ROWS, _EDGE = 5.0, 7.0  # between two rows, and around all of them
_SMALLER = 0.96
_WIDTHS = 32  # of rows, tried at each scale
_NO_CATEGORY = "No category"

_Group = tuple[str, tuple[int, ...]]  # a category, or a part of one, and the places of its mounts
_Row = tuple[_Group, ...]


@dataclass(frozen=True, slots=True)
class Mounted:
    """A mount to hang, and the category that it is entered in; blank for none."""

    board: Size
    category: str = ""


@dataclass(frozen=True, slots=True)
class Wall:
    """What a wall may measure, and the room for its words; all in units.

    ``largest`` is the largest scale, in units per inch. ``title`` is the height of the words below
    a mount, ``heading`` that of a category's name, and ``least_gap`` the least between two mounts.
    ``shape`` is the width over the height that a wall comes near where there is a choice.
    """

    most_width: int
    most_height: int
    largest: float
    title: int
    heading: int
    least_gap: int
    shape: float = 1.6


@dataclass(frozen=True, slots=True)
class HungMount:
    """A mount on the wall, by its place among all of them, and its area."""

    place: int
    left: int
    top: int
    width: int
    height: int

    @property
    def right(self) -> int:
        """Its right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> int:
        """Its lower edge."""
        return self.top + self.height


@dataclass(frozen=True, slots=True)
class Heading:
    """The name of a category, from the left edge of its first mount, cut to fit this width."""

    words: str
    left: int
    width: int


@dataclass(frozen=True, slots=True)
class HungRow:
    """A row of mounts, and the names of the categories that begin in it.

    The row has the wall from ``top`` to ``bottom``, with its words. ``headings_top`` is where its
    headings begin, ``captions_top`` where the words below its mounts do.
    """

    mounts: tuple[HungMount, ...]
    headings: tuple[Heading, ...]
    top: int
    bottom: int
    headings_top: int
    captions_top: int


@dataclass(frozen=True, slots=True)
class Hang:
    """All mounts on their wall, at ``scale`` units per inch."""

    scale: float
    width: int
    height: int
    rows: tuple[HungRow, ...]

    @property
    def mounts(self) -> tuple[HungMount, ...]:
        """All mounts, in the order in which they hang."""
        return tuple(mount for row in self.rows for mount in row.mounts)


def hang(mounts: Sequence[Mounted], wall: Wall) -> Hang:
    """Return all mounts at the largest scale that the wall has room for.

    Of several hangs at that scale it is the one of the best shape, with rows of about one length.
    Categories are named if there are several. Raises ``ValueError`` if there is no mount, or no
    room for so many.
    """
    if not mounts:
        raise ValueError("there is no mount to hang")
    groups = _categories(mounts)
    area = sum(m.board.width.inches * m.board.height.inches for m in mounts)
    scale = min(wall.largest, math.sqrt(wall.most_width * wall.most_height / area))
    finest = 1 / max(m.board.longest.inches for m in mounts)  # all are one unit large, or less
    while scale > finest / 2:
        hanger = _Hanger(tuple(_in_units(m.board, scale) for m in mounts), groups, wall, scale)
        hangs = hanger.hangs() if hanger.may_fit else ()
        fitting = [found for found in hangs if hanger.fits(found)]
        if fitting:
            return min(fitting, key=hanger.badness)
        scale *= _SMALLER
    raise ValueError(f"{len(mounts)} mounts are too many for one wall")


def _categories(mounts: Sequence[Mounted]) -> list[_Group]:
    """The mounts of each category, in the order in which categories first occur.

    A category alone has no name.
    """
    groups: dict[str, _Group] = {}
    for place, mount in enumerate(mounts):
        name = mount.category.strip() or _NO_CATEGORY
        _, places = groups.get(folded(name), ("", ()))
        groups[folded(name)] = (groups.get(folded(name), (name,))[0], (*places, place))
    if len(groups) == 1:
        return [("", places) for _, places in groups.values()]
    return list(groups.values())


def _in_units(board: Size, scale: float) -> tuple[int, int]:
    width, height = (max(1, round(s.inches * scale)) for s in (board.width, board.height))
    return width, height


@dataclass(frozen=True, slots=True)
class _Hanger:
    """Hangs mounts of these sizes at one scale."""

    sizes: tuple[tuple[int, int], ...]
    groups: Sequence[_Group]
    wall: Wall
    scale: float

    @property
    def may_fit(self) -> bool:
        """Whether the wall has the area for all mounts, each with its words and gaps.

        Most scales that are too large are ruled out by this, which is a hundred times as fast as
        hanging them.
        """
        gap, between, edge = map(self._room, (_BETWEEN, _ROWS, _EDGE))
        needed = sum((w + gap) * (h + self.wall.title + between) for w, h in self.sizes)
        wide = self.wall.most_width - 2 * edge + gap
        return needed <= wide * (self.wall.most_height - 2 * edge + between)

    def fits(self, found: Hang) -> bool:
        """Whether a hang is within the wall's limits."""
        return found.width <= self.wall.most_width and found.height <= self.wall.most_height

    def badness(self, found: Hang) -> float:
        """How far a hang is from the best shape, and how empty its rows are."""
        lengths = [row.mounts[-1].right - row.mounts[0].left for row in found.rows]
        empty = 1 - sum(lengths) / len(lengths) / max(lengths)
        return abs(math.log(found.width / found.height / self.wall.shape)) + empty

    def hangs(self) -> Iterator[Hang]:
        """Yield hangs with rows of several widths; some may be too large for the wall."""
        least = max(width for width, _ in self.sizes)
        most = max(least, self.wall.most_width - 2 * self._room(_EDGE))
        widths = {round(least * (most / least) ** (n / (_WIDTHS - 1))) for n in range(_WIDTHS)}
        for rows in dict.fromkeys(self._rows(width) for width in sorted(widths)):
            yield self._hung(rows)

    def _room(self, inches: float) -> int:
        return max(self.wall.least_gap, round(inches * self.scale))

    def _rows(self, width: int) -> tuple[_Row, ...]:
        """All mounts in rows of at most this width; a category that fits joins the last row."""
        rows: list[list[_Group]] = []
        used = 0
        for name, places in self.groups:
            joined = used + self._room(_APART) + self._length(places)
            if rows and joined <= width:
                rows[-1].append((name, places))
                used = joined
                continue
            for n, piece in enumerate(self._evenly(places, width)):
                rows.append([("" if n else name, piece)])
                used = self._length(piece)
        return tuple(map(tuple, rows))

    def _evenly(self, places: Sequence[int], width: int) -> tuple[tuple[int, ...], ...]:
        """Mounts in as few rows as this width allows, about equally long."""
        rows = self._wrapped(places, width)
        low, high = max(self.sizes[n][0] for n in places), width
        while low < high:
            middle = (low + high) // 2
            even = self._wrapped(places, middle)
            if len(even) > len(rows):
                low = middle + 1
            else:
                rows, high = even, middle
        return rows

    def _wrapped(self, places: Sequence[int], width: int) -> tuple[tuple[int, ...], ...]:
        """Mounts in rows that are filled one after the other."""
        rows: list[list[int]] = []
        gap, used = self._room(_BETWEEN), 0
        for n in places:
            needed = self.sizes[n][0] + gap
            if not rows or used + needed > width + gap:
                rows.append([])
                used = 0
            rows[-1].append(n)
            used += needed
        return tuple(map(tuple, rows))

    def _length(self, places: Sequence[int]) -> int:
        between = self._room(_BETWEEN) * (len(places) - 1)
        return sum(self.sizes[n][0] for n in places) + between

    def _row_length(self, row: _Row) -> int:
        return sum(self._length(places) for _, places in row) + self._room(_APART) * (len(row) - 1)

    def _hung(self, rows: Sequence[_Row]) -> Hang:
        """The wall of these rows."""
        edge, between = self._room(_EDGE), self._room(_ROWS)
        width = max(map(self._row_length, rows)) + 2 * edge
        found: list[HungRow] = []
        top, y = 0, edge
        for row in rows:
            below = self._row(row, width, top, y)
            found.append(replace(below, bottom=below.captions_top + self.wall.title + between // 2))
            top, y = found[-1].bottom, below.captions_top + self.wall.title + between
        height = y - between + edge
        found[-1] = replace(found[-1], bottom=height)
        return Hang(self.scale, width, height, tuple(found))

    def _row(self, row: _Row, wall: int, top: int, headings_top: int) -> HungRow:
        """A row in the middle of the wall, its mounts on one centre line."""
        has_heading = any(name for name, _ in row)
        y = headings_top + (self.wall.heading if has_heading else 0)
        high = max(self.sizes[n][1] for _, places in row for n in places)
        left = (wall - self._row_length(row)) // 2
        hung: list[HungMount] = []
        headings: list[Heading] = []
        for name, places in row:
            if name:
                headings.append(Heading(name, left, self._length(places)))
            for n in places:
                width, height = self.sizes[n]
                hung.append(HungMount(n, left, y + (high - height) // 2, width, height))
                left += width + self._room(_BETWEEN)
            left += self._room(_APART) - self._room(_BETWEEN)
        return HungRow(tuple(hung), tuple(headings), top, 0, headings_top, y + high)
