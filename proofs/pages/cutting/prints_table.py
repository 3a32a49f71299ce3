"""The prints that share a kind of mount: where each goes on its backing, and what is at risk."""

from collections.abc import Sequence

from proofs.findings import Severity
from proofs.lengths import NO_BORDERS, Length, Unit, millimetres
from proofs.pages.drawing import Block, across, stacked
from proofs.pages.flow import FlowPart
from proofs.pages.typography import (
    ALARM,
    BODY,
    CAPTION,
    FIGURE_STRONG,
    STRONG,
    TITLE,
    Setter,
    Style,
    baseline,
    rule,
)
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import BenchEntry, MountKind
from proofs.plan.entry.trims import Trim, picture_trims
from proofs.records.mounts import Mount, WindowKind

PRINTS = "Prints on their backings"
_MOST_RISKS = 3
_LEFTS = (0.0, 40.0, 206.0, 284.0, 362.0)
_HEADINGS = ("entry", "title", "from left", "from top", "image")
_PAPER_HEADINGS = ("entry", "title", "paper from left", "paper from top", "image")
_ROW_GAP = 1.5
_TENTH = millimetres("0.1")


def print_rows(bench: BenchEntry, marks: Marks, setter: Setter) -> list[Block]:
    """Return one row for each picture: number, title, its place on the backing, and its image.

    The place is that of the image, or of the trimmed paper where its edge is seen.
    """
    entry, rows = bench.plan.entry, []
    style, more = (BODY, "") if bench.is_measured else (ALARM, ", planned")
    rights = (*_LEFTS[1:], setter.width + 6)
    cuts = picture_trims(bench.plan)
    by_paper = is_placed_by_paper(bench.plan.mount)
    for n, (picture, trim) in enumerate(zip(bench.plan.layout.pictures, cuts, strict=True), 1):
        image = picture.image.size
        place = trim.edge.place if trim and by_paper else picture.image.place
        title = entry.title if n == 1 else f"the same, picture {n}"
        size = f"{_finely(image.width, marks)} × {_finely(image.height, marks)} {marks.unit}{more}"
        cells = (
            (entry.number, STRONG),
            (title, BODY),
            (f"{_finely(place.x, marks)} {marks.unit}", FIGURE_STRONG),
            (f"{_finely(place.y, marks)} {marks.unit}", FIGURE_STRONG),
        )
        blocks = [
            setter.paragraph(*cell, right - left - 6, most=1).lowered(_level(cell[1]))
            for cell, left, right in zip(cells, _LEFTS, rights, strict=False)
        ]
        lines = [(size, style), *([(_trim_words(trim, marks), BODY)] if trim else [])]
        words = setter.stack(lines, rights[-1] - _LEFTS[-1] - 6, most=3)
        blocks.append(words.lowered(_level(BODY)))
        rows.append(across(blocks, _LEFTS))
    return rows


def _level(style: Style) -> float:
    """What brings words down to the baseline of the figures in their row."""
    return baseline(FIGURE_STRONG) - baseline(style)


def is_placed_by_paper(mount: Mount) -> bool:
    """Return whether a print is placed by the edge of its paper, because that edge is seen."""
    return mount.window in (WindowKind.FLOAT, WindowKind.NONE)


def _trim_words(trim: Trim, marks: Marks) -> str:
    """The size of the paper, and how far its edge lies outside the image: they add up."""
    size, margins = trim.edge.size, trim.margins
    to = "trimmed to" if trim.is_done else "trim to"
    words = f"{to} {_added(size.width, marks)} × {_added(size.height, marks)} {marks.unit}"
    across, down = _added(margins.left, marks), _added(margins.top, marks)
    if margins == NO_BORDERS:
        return f"{words}, along the image"
    if across == down:
        return f"{words}, {across} {marks.unit} outside the image"
    return f"{words}, {across} left of and {down} {marks.unit} above the image"


def _added(length: Length, marks: Marks) -> str:
    """A length that is added to others: half a millimetre off in each would not add up."""
    if marks.unit == Unit.IN:
        return _finely(length, marks)
    tenths = Marks(_TENTH, Unit.MM)
    return tenths.number(tenths.nearest(length))


def _finely(length: Length, marks: Marks) -> str:
    return marks.fine.number(marks.fine.nearest(length))


def _head(kind: MountKind, setter: Setter) -> Block:
    headings = _PAPER_HEADINGS if is_placed_by_paper(kind.mount) else _HEADINGS
    heads = [setter.paragraph(words, CAPTION, setter.column) for words in headings]
    return stacked([rule(setter.width), across(heads, _LEFTS)])


def prints_block(kind: MountKind, rows: Sequence[Block], setter: Setter) -> Block:
    """Return the table of the prints of a kind."""
    return stacked([_head(kind, setter), *rows], _ROW_GAP)


def on_later_page(count: int, setter: Setter) -> Block:
    """Return a note where that table is, if the page has no room for it."""
    words = f"“{PRINTS}”, behind this guide, lists the {count} prints of this mount."
    return stacked([rule(setter.width), setter.paragraph(words, BODY, setter.width)], 5)


def print_parts(kind: MountKind, rows: Sequence[Block], setter: Setter) -> list[FlowPart]:
    """Return the table of the prints of a kind, which may run on from page to page."""
    name = setter.paragraph(f"Mount {kind.number}: {kind.mount.title}", TITLE, setter.width)
    head = _head(kind, setter)
    first, *others = rows
    return [
        FlowPart(stacked([name, head, first], _ROW_GAP), 18),
        *(FlowPart(row, _ROW_GAP, again=head) for row in others),
    ]


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
