"""Full-size templates: a board with its openings, spread over several pages."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs import __version__
from proofs.lengths import Place, Size, millimetres
from proofs.pages.drawing import Mark, Page
from proofs.pages.flow import PageLayout
from proofs.pages.stamp import STAMP
from proofs.pages.templates.figures import corner_figures
from proofs.pages.templates.frame import (
    CORNERS_FOOT,
    WHOLE_FOOT,
    PageFrame,
    TemplateNotes,
    foot,
    page_frames,
    rules_along,
)
from proofs.pages.templates.tile import part_block
from proofs.pages.typography import Setter
from proofs.plan.cutting.corners import CornerPart, corner_parts, edges_shown
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.templates import Template
from proofs.plan.cutting.tiling import tiled
from proofs.plan.entry.board import Opening

_HOW = "Print at 100 %, check both rules. For checking only: do not cut from it."
_JOIN = (
    "Seen from the front. Join pages at crosses with the same figures (mm from the board's top"
    " left)."
)
_LAY = (
    "Seen from the front: to check a back, turn the page over. Lay each part on its corner of the"
    " board. Crosses of neighbours are in line, and as far apart as their figures differ (mm from"
    " the board's top left)."
)
_BETWEEN_PARTS = millimetres(4)


@dataclass(frozen=True, slots=True)
class _Shown:
    """A part of a board on a page: its place in the room, and the figures of its corners."""

    area: Opening
    marks: Sequence[Place]
    at: Place
    figures: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True)
class _Sheets:
    """The pages of a template: the page that all of them have, and the parts on each."""

    frame: PageFrame
    pages: Sequence[Sequence[_Shown]]
    how: str


def template_pages(
    templates: Sequence[Template], marks: Marks, layout: PageLayout, *, is_whole: bool = False
) -> tuple[Page, ...]:
    """Return the pages of all templates, with figures on these marks.

    Each shows the corners of its openings, or the whole board if ``is_whole``, if that takes no
    more pages, or if the figures of its corners find no room. The pages of a template are all
    upright or all lengthwise, whichever takes fewer.
    """
    count = len(templates)
    return tuple(
        page
        for number, template in enumerate(templates, 1)
        for page in _pages(
            template, marks, f"Template {number} of {count}", layout, is_whole=is_whole
        )
    )


def _pages(
    template: Template, marks: Marks, name: str, layout: PageLayout, *, is_whole: bool
) -> Iterator[Page]:
    sheets = _whole(template, layout)
    if not is_whole:
        corners = _by_corners(template, marks, layout)
        sheets = corners if corners and len(corners.pages) < len(sheets.pages) else sheets
    setter = Setter(layout.measure, sheets.frame.room.width.points)
    size = sheets.frame.size
    for number, shown in enumerate(sheets.pages, 1):
        notes = TemplateNotes(
            heading=f"{name}, page {number} of {len(sheets.pages)} · {_entries(template)}",
            board=template.layout.board,
            lines=_lines(template, sheets.how, marks),
            left_out=layout.left_out,
            stamp="" if template.measured else STAMP,
            kinds=frozenset(edge.kind for edge in template.lines),
        )
        drawn = (
            *rules_along(sheets.frame, setter),
            *(mark for part in shown for mark in _part(template, part, sheets.frame, setter)),
            *foot(sheets.frame, notes, [part.area for part in shown], setter),
        )
        yield Page(size.width.points, size.height.points, drawn)


def _part(template: Template, part: _Shown, page: PageFrame, setter: Setter) -> tuple[Mark, ...]:
    """One part of a board in its place on the page."""
    left, top = (page.nought + part.at.x).points, (page.nought + part.at.y).points
    drawn = part_block(template, part.area, part.marks, setter).at(left, top)
    return (*drawn, *(mark.moved(left, top) for mark in part.figures))


def _whole(template: Template, layout: PageLayout) -> _Sheets:
    """All of a board, in as few pages as it takes."""
    frames = page_frames(layout.paper_size, WHOLE_FOOT)
    fitting = [(tiled(template.layout.board, page.room), page) for page in frames]
    tiling, page = min(fitting, key=lambda pair: len(pair[0].tiles))
    nought = Opening(page.room).place
    pages = [[_Shown(tile.area, tiling.marks, nought)] for tile in tiling.tiles]
    return _Sheets(page, pages, _JOIN)


def _by_corners(template: Template, marks: Marks, layout: PageLayout) -> _Sheets | None:
    """The corners of all openings, two on a page, with as many edges of the board as can be.

    None if the figures of any have no room.
    """
    found = [
        (_halves(template, page), page) for page in page_frames(layout.paper_size, CORNERS_FOOT)
    ]
    board = template.layout.board
    parts, page = min(
        found, key=lambda one: (-(-len(one[0]) // 2), -sum(edges_shown(p, board) for p in one[0]))
    )
    setter = Setter(layout.measure, page.room.width.points)
    places = (Opening(page.room).place, _second(page))
    shown = []
    for n, part in enumerate(parts):
        figures = corner_figures(template, part, marks, setter)
        if figures is None:
            return None
        shown.append(_Shown(part.area, part.marks, places[n % 2], figures))
    return _Sheets(page, [shown[n : n + 2] for n in range(0, len(shown), 2)], _LAY)


def _halves(template: Template, page: PageFrame) -> tuple[CornerPart, ...]:
    return corner_parts(template.layout, _half(page))


def _half(page: PageFrame) -> Size:
    """Half of the room of a page: one above the other if it is upright, else side by side."""
    width, height = page.room.width, page.room.height
    if page.size.is_portrait:
        return Size(width, (height - _BETWEEN_PARTS) // 2)
    return Size((width - _BETWEEN_PARTS) // 2, height)


def _second(page: PageFrame) -> Place:
    """Where the second half begins."""
    origin, half = Opening(page.room).place, _half(page)
    if page.size.is_portrait:
        return Place(origin.x, half.height + _BETWEEN_PARTS)
    return Place(half.width + _BETWEEN_PARTS, origin.y)


def _entries(template: Template) -> str:
    count, listed = len(template.entries), ", ".join(template.entries)
    return f"entry {listed}" if count == 1 else f"{count} entries: {listed}"


def _lines(template: Template, how: str, marks: Marks) -> tuple[str, ...]:
    board = marks.size(template.layout.board)
    return (f"Board {board}. {_HOW} {how} proofs {__version__}",)
