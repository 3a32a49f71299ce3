"""Full-size templates: a board with its openings, spread over several pages."""

from collections.abc import Iterator, Sequence

from proofs import __version__
from proofs.pages.drawing import Page
from proofs.pages.flow import PageLayout
from proofs.pages.stamp import STAMP
from proofs.pages.templates.frame import TemplateNotes, foot, page_frames, rules_along
from proofs.pages.templates.tile import tile_block
from proofs.pages.typography import Setter
from proofs.plan.cutting.templates import Template
from proofs.plan.cutting.tiling import tiled

_HOW = "Print at 100 % and check both rules. For checking only: do not cut from it."
_JOIN = (
    "Seen from the front: to check a back, turn the joined pages over. To join pages, lay crosses"
    " with the same figures (mm from the board's top left) on each other."
)


def template_pages(templates: Sequence[Template], layout: PageLayout) -> tuple[Page, ...]:
    """Return the pages of all templates.

    The pages of a template are all upright or all lengthwise, whichever takes fewer.
    """
    count = len(templates)
    return tuple(
        page
        for number, template in enumerate(templates, 1)
        for page in _pages(template, f"Template {number} of {count}", layout)
    )


def _pages(template: Template, name: str, layout: PageLayout) -> Iterator[Page]:
    frames = page_frames(layout.paper_size)
    fitting = [(tiled(template.layout.board, page.room), page) for page in frames]
    tiling, sheet = min(fitting, key=lambda pair: len(pair[0].tiles))
    setter = Setter(layout.measure, sheet.room.width.points)
    size, nought = sheet.size, sheet.nought.points
    for number, tile in enumerate(tiling.tiles, 1):
        heading = f"{name}, page {number} of {len(tiling.tiles)} · {_entries(template)}"
        notes = TemplateNotes(
            heading=heading,
            lines=_lines(template),
            left_out=layout.left_out,
            stamp="" if template.measured else STAMP,
            kinds=frozenset(edge.kind for edge in template.lines),
        )
        marks = (
            *rules_along(sheet, setter),
            *tile_block(template, tiling, tile, setter).at(nought, nought),
            *foot(sheet, notes, tiling, tile, setter),
        )
        yield Page(size.width.points, size.height.points, marks)


def _entries(template: Template) -> str:
    count, listed = len(template.entries), ", ".join(template.entries)
    return f"entry {listed}" if count == 1 else f"{count} entries: {listed}"


def _lines(template: Template) -> tuple[str, ...]:
    return f"Board {template.layout.board}. {_HOW}", f"{_JOIN} proofs {__version__}"
