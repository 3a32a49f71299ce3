"""The entries that share a kind of mount: where each print lies, and what is at risk."""

from collections.abc import Sequence

from proofs.findings import Severity
from proofs.lengths import Length, Size
from proofs.pages.drawing import Block, stacked
from proofs.pages.flow import BOTTOM, TOP
from proofs.pages.typography import ALARM, BODY, CAPTION, STRONG, Setter, rule
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import Bench, MountKind

_GAP = 9.0
_MOST_RISKS = 3
_COLUMNS = (0.0, 52.0, 258.0, 320.0, 384.0)
_HEADINGS = ("entry", "title", "from left", "from top", "image")


def entry_rows(bench: Bench, marks: Marks, setter: Setter) -> list[Block]:
    """Return a row a picture: number and title, where it lies on the backing, and its image."""
    entry, rows = bench.plan.entry, []
    style, more = (BODY, "") if bench.is_measured else (ALARM, ", planned")
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
        ends = (*_COLUMNS[1:], setter.width + 6)
        rows.append(
            _row(
                [
                    setter.paragraph(words, style, end - start - 6, most=1)
                    for (words, style), start, end in zip(cells, _COLUMNS, ends, strict=True)
                ]
            )
        )
    return rows


def _finely(length: Length, marks: Marks) -> str:
    return marks.fine.number(marks.fine.nearest(length))


def _row(cells: Sequence[Block]) -> Block:
    marks = [m for c, x in zip(cells, _COLUMNS, strict=True) for m in c.at(x, 0)]
    return Block(max(cell.height for cell in cells) + 1.5, tuple(marks))


def entries(rows: Sequence[Block], setter: Setter) -> Block:
    """Return the table of the entries of a kind, under its headings."""
    heads = _row([setter.paragraph(words, CAPTION, setter.column) for words in _HEADINGS])
    return stacked([rule(setter.width), heads, *rows])


def elsewhere(count: int, setter: Setter) -> Block:
    """Return where that table is, if the page has no room for it."""
    words = f"The {count} prints of this mount, and where each lies, stand on the next page."
    return stacked([rule(setter.width), setter.paragraph(words, BODY, setter.width)], 5)


def listed(top: Block, rows: Sequence[Block], size: Size, setter: Setter) -> list[Block]:
    """Return pages headed ``top`` that list the entries of a kind, as many as each holds."""
    room = size.height.points - TOP - BOTTOM - top.height - 40
    a_page = int(room // rows[0].height)
    return [
        stacked([top, entries(rows[start : start + a_page], setter)], _GAP)
        for start in range(0, len(rows), a_page)
    ]


def risks(kind: MountKind, setter: Setter) -> list[Block]:
    """Return what is at risk even with the opening to cut, for those who go on all the same."""
    said = [
        f"Entry {bench.plan.entry.number}, {finding.severity.word.replace('-', ' ')}:"
        f" {finding.message}"
        for bench in kind.benches
        for finding in bench.findings
        if finding.severity >= Severity.AT_RISK
    ]
    if len(said) > _MOST_RISKS:
        said[_MOST_RISKS:] = [f"and {len(said) - _MOST_RISKS} more; see 'proofs arrived'"]
    return [setter.paragraph(words, ALARM, setter.width, most=2) for words in said]
