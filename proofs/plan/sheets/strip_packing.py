"""The place of each step on the sheets: first fit, each entry in one block, on few sheets."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from proofs.lengths import PixelSize, inches
from proofs.pixel_areas import Area, pixels
from proofs.plan.sheets.strip_sheet import StripFrame, step_size

WHOLE_LONG, WHOLE_LEAST = inches(4), inches(2)
"""The longer side of a small whole picture: at most, and at least (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class StripEntry:
    """One picture of an entry to pack: the letters of its steps, and the size of its print.

    ``picture`` counts the pictures of the entry from 0. ``paper`` names the paper of its print.
    """

    number: str
    steps: tuple[str, ...]
    print_size: PixelSize
    picture: int = 0
    paper: str = ""


@dataclass(frozen=True, slots=True)
class StripPiece:
    """One step of a picture on a sheet: a crop at print size, or the whole picture, small."""

    entry: str
    step: str
    area: Area
    is_whole: bool = False
    picture: int = 0


@dataclass(frozen=True, slots=True)
class StripSheet:
    """The pieces on one sheet, with the steps of each entry in order, all on one ``paper``."""

    pieces: tuple[StripPiece, ...]
    paper: str = ""

    @property
    def entries(self) -> tuple[str, ...]:
        """The numbers of the entries on the sheet, in their order."""
        return tuple(dict.fromkeys(piece.entry for piece in self.pieces))

    @property
    def pictures(self) -> tuple[tuple[str, int], ...]:
        """The entry and picture, counted from 0, of everything on the sheet, in their order."""
        return tuple(dict.fromkeys((piece.entry, piece.picture) for piece in self.pieces))


@dataclass(slots=True)
class _Grid:
    """The cells of a sheet being filled; it lives within one call."""

    frame: StripFrame
    paper: str
    taken: set[tuple[int, int]] = field(default_factory=set)
    pieces: list[StripPiece] = field(default_factory=list)

    def room(self, columns: int, rows: int) -> tuple[int, int] | None:
        """The first free block of cells, row by row."""
        for top in range(self.frame.rows - rows + 1):
            for left in range(self.frame.columns - columns + 1):
                if self.taken.isdisjoint(_cells(left, top, columns, rows)):
                    return left, top
        return None

    def rows_used(self) -> int:
        return max((row for _, row in self.taken), default=-1) + 1


def best_packed(
    frame: StripFrame, entries: Sequence[StripEntry], *, edge_to_edge: bool = False
) -> tuple[StripFrame, tuple[StripSheet, ...]]:
    """Return the frame and the sheets of the packing on the fewest sheets with the widest steps.

    The frame has the columns of that packing. The steps of an entry are side by side as far as
    the sheet is wide enough.
    """
    longest = max((len(entry.steps) for entry in entries), default=1)
    least = min(longest, frame.columns)
    frames = [frame.with_columns(columns) for columns in range(least, frame.columns + 1)]
    tried = [(f, packed_strips(f, entries, edge_to_edge=edge_to_edge)) for f in frames]
    return min(tried, key=lambda found: len(found[1]))  # the first of equals: the widest


def packed_strips(
    frame: StripFrame, entries: Sequence[StripEntry], *, edge_to_edge: bool = False
) -> tuple[StripSheet, ...]:
    """Return the sheets, in order.

    Each entry goes on the first sheet of its paper with room for all of its steps together; an
    entry with more steps than a sheet holds continues on the next. The sheets of a paper follow
    one another. With ``edge_to_edge`` the steps of an entry touch. If a sheet has room left, it
    shows its entries as small whole pictures too.
    """
    papers = list(dict.fromkeys(entry.paper for entry in entries))
    grids: list[_Grid] = []
    for part in _parts(frame, sorted(entries, key=lambda entry: papers.index(entry.paper))):
        columns, rows = _block(len(part.steps), frame.columns)
        fitting = (g for g in grids if g.paper == part.paper and g.room(columns, rows))
        grid = next(fitting, None)
        if grid is None:
            grid = _Grid(frame, part.paper)
            grids.append(grid)
        place = grid.room(columns, rows)
        if place is None:
            raise ValueError("a new sheet has no room for a block that was split to fit it")
        grid.taken |= _cells(*place, columns, rows)
        grid.pieces += _pieces(frame, part, place, columns, touching=edge_to_edge)
    return tuple(StripSheet((*grid.pieces, *_wholes(grid, entries)), grid.paper) for grid in grids)


def _cells(left: int, top: int, columns: int, rows: int) -> set[tuple[int, int]]:
    return {(left + x, top + y) for x in range(columns) for y in range(rows)}


def _parts(frame: StripFrame, entries: Sequence[StripEntry]) -> Iterator[StripEntry]:
    """The entries, each split if it has more steps than a sheet holds."""
    most = frame.columns * frame.rows
    for entry in entries:
        for start in range(0, len(entry.steps), most):
            yield replace(entry, steps=entry.steps[start : start + most])


def _block(steps: int, columns: int) -> tuple[int, int]:
    """Columns and rows for this many steps: as few rows as possible, of about the same length."""
    rows = math.ceil(steps / columns)
    return math.ceil(steps / rows), rows


def _pieces(
    frame: StripFrame, entry: StripEntry, place: tuple[int, int], columns: int, *, touching: bool
) -> Iterator[StripPiece]:
    size, (first, top) = step_size(entry.print_size, frame), place
    for number, step in enumerate(entry.steps):
        row, column = divmod(number, columns)
        x, y = frame.cell(first + column, top + row)
        if touching:
            x = frame.cell(first, top)[0] + column * size.width
        yield StripPiece(entry.number, step, Area.of(size, x, y), picture=entry.picture)


def _wholes(grid: _Grid, entries: Sequence[StripEntry]) -> Iterator[StripPiece]:
    """Small whole pictures below the steps, entry by entry, as long as there is room."""
    frame, held = grid.frame, {(entry.number, entry.picture): entry for entry in entries}
    top = frame.cell(0, grid.rows_used())[1]
    pieces = [(piece.entry, piece.picture) for piece in grid.pieces]
    for picture in dict.fromkeys(pieces):
        entry, here = held[picture], pieces.count(picture)
        found = _arranged(frame, entry, top) if here == len(entry.steps) else ()
        yield from found
        if found:
            top = found[-1].area.bottom + frame.label_room + frame.gap


def _arranged(frame: StripFrame, entry: StripEntry, top: int) -> tuple[StripPiece, ...]:
    """The whole pictures of an entry in rows that make them largest; none if they are too small."""
    count, room = len(entry.steps), frame.body.bottom - top
    best, across = None, 1
    for columns in range(1, count + 1):
        rows = math.ceil(count / columns)
        width = (frame.body.width + frame.gap) // columns - frame.gap
        height = (room + frame.gap) // rows - frame.gap - frame.label_room
        size = _within(entry.print_size, width, height, pixels(WHOLE_LONG, frame.ppi))
        if size and (best is None or size.width >= best.width):  # of equals the lowest
            best, across = size, columns
    if best is None or max(best.width, best.height) < pixels(WHOLE_LEAST, frame.ppi):
        return ()
    areas = [_whole_area(frame, best, top, divmod(n, across)) for n in range(count)]
    return tuple(
        StripPiece(entry.number, step, area, is_whole=True, picture=entry.picture)
        for step, area in zip(entry.steps, areas, strict=True)
    )


def _whole_area(frame: StripFrame, size: PixelSize, top: int, cell: tuple[int, int]) -> Area:
    row, column = cell
    x = frame.body.left + column * (size.width + frame.gap)
    y = top + row * (size.height + frame.label_room + frame.gap)
    return Area.of(size, x, y)


def _within(own: PixelSize, width: int, height: int, longest: int) -> PixelSize | None:
    """The size of a whole picture inside a box; None if the box is empty.

    It is None, too, if the picture would be as large as the print, because that is no help.
    """
    if width < 1 or height < 1:
        return None
    scale = min(width / own.width, height / own.height, longest / max(own.width, own.height))
    if scale >= 1:
        return None
    return PixelSize(max(1, int(own.width * scale)), max(1, int(own.height * scale)))
