"""The prints that share a kind of mount: where each goes on its backing, and what is at risk."""

from collections.abc import Sequence

from proofs.findings import Severity
from proofs.lengths import Length
from proofs.pages.drawing import Block, across, stacked
from proofs.pages.flow import FlowPart
from proofs.pages.typography import ALARM, BODY, CAPTION, STRONG, Setter, rule
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import BenchEntry, MountKind

_MOST_RISKS = 3
_LEFTS = (0.0, 52.0, 258.0, 320.0, 384.0)
_HEADINGS = ("entry", "title", "from left", "from top", "image")
_ROW_GAP = 1.5


def print_rows(bench: BenchEntry, marks: Marks, setter: Setter) -> list[Block]:
    """Return one row for each picture: number, title, its place on the backing, and its image."""
    entry, rows = bench.plan.entry, []
    style, more = (BODY, "") if bench.is_measured else (ALARM, ", planned")
    rights = (*_LEFTS[1:], setter.width + 6)
    for n, picture in enumerate(bench.plan.layout.pictures, 1):
        place, image = picture.image.place, picture.image.size
        title = entry.title if n == 1 else f"the same, picture {n}"
        size = f"{_finely(image.width, marks)} × {_finely(image.height, marks)} {marks.unit}{more}"
        cells = (
            (entry.number, STRONG),
            (title, BODY),
            (f"{_finely(place.x, marks)} {marks.unit}", STRONG),
            (f"{_finely(place.y, marks)} {marks.unit}", STRONG),
            (size, style),
        )
        blocks = [
            setter.paragraph(*cell, right - left - 6, most=1)
            for cell, left, right in zip(cells, _LEFTS, rights, strict=True)
        ]
        rows.append(across(blocks, _LEFTS))
    return rows


def _finely(length: Length, marks: Marks) -> str:
    return marks.fine.number(marks.fine.nearest(length))


def _head(setter: Setter) -> Block:
    heads = [setter.paragraph(words, CAPTION, setter.column) for words in _HEADINGS]
    return stacked([rule(setter.width), across(heads, _LEFTS)])


def prints_block(rows: Sequence[Block], setter: Setter) -> Block:
    """Return the table of the prints of a kind."""
    return stacked([_head(setter), *rows], _ROW_GAP)


def on_next_page(count: int, setter: Setter) -> Block:
    """Return a note where that table is, if the page has no room for it."""
    words = f"The next page lists the {count} prints of this mount, and where each of them goes."
    return stacked([rule(setter.width), setter.paragraph(words, BODY, setter.width)], 5)


def print_parts(top: Block, rows: Sequence[Block], setter: Setter) -> list[FlowPart]:
    """Return the table of the prints of a kind on pages of its own, each headed ``top``."""
    head = stacked([top, _head(setter)], 9)
    return [FlowPart(head), *(FlowPart(row, _ROW_GAP, again=head) for row in rows)]


def risks(kind: MountKind, setter: Setter) -> list[Block]:
    """Return what is at risk even with this opening."""
    lines = [
        f"Entry {bench.plan.entry.number}, {finding.severity.word.replace('-', ' ')}:"
        f" {finding.message}"
        for bench in kind.entries
        for finding in bench.findings
        if finding.severity >= Severity.AT_RISK
    ]
    if len(lines) > _MOST_RISKS:
        lines[_MOST_RISKS:] = [f"and {len(lines) - _MOST_RISKS} more; see 'proofs arrived'"]
    return [setter.paragraph(words, ALARM, setter.width, most=2) for words in lines]
