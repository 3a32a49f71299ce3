"""What an opening may measure, set large: its width and height, and the limits on each."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.pages.cutting.mat_facts import Limit, OpeningSides
from proofs.pages.drawing import Block, across, stacked
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    FIGURE_STRONG,
    LIMIT,
    STRONG,
    Setter,
    Style,
    baseline,
    rule,
)

_NAME_SHARE = 0.28  # of the width
_HEADS = ("The opening may measure", "width", "height")


@dataclass(frozen=True, slots=True)
class _Columns:
    """The columns of the table, and the style of its figures."""

    setter: Setter
    width: float
    figures: Style

    @property
    def lefts(self) -> tuple[float, float, float]:
        """The left edges of names, widths and heights."""
        name = self.width * _NAME_SHARE
        return 0.0, name, (self.width + name) / 2

    def head(self) -> Block:
        """Return the head of the table."""
        _, first, second = self.lefts
        wide = (first - 6, second - first, self.width - second)
        cells = [
            self.setter.paragraph(words, CAPTION, width)
            for words, width in zip(_HEADS, wide, strict=True)
        ]
        level = max(cell.height for cell in cells)
        return across([Block(level, c.at(0, level - c.height)) for c in cells], self.lefts)

    def row(self, name: str, sizes: Sequence[Limit | None]) -> Block:
        """Return one row below a thin line; a reason that both sides share is below its name."""
        whys = {size.why for size in sizes if size and size.why}
        shared = whys.pop() if len(whys) == 1 else ""
        names = [(name, STRONG), *([(shared, BODY)] if shared else [])]
        drop = baseline(self.figures) - baseline(STRONG)
        words = self.setter.stack(names, self.lefts[1] - 6).lowered(drop)
        cells = [words, *(self._cell(size, is_reasoned=not shared) for size in sizes)]
        return stacked([rule(self.width), across(cells, self.lefts)], 1)

    def _cell(self, limit: Limit | None, *, is_reasoned: bool) -> Block:
        width = self.width - self.lefts[2]
        if limit is None:
            drop = baseline(self.figures) - baseline(ASIDE)
            return self.setter.paragraph("–", ASIDE, width).lowered(drop)
        figure = self.setter.paragraph(limit.size, self.figures, width)
        if not (limit.why and is_reasoned):
            return figure
        return stacked([figure, self.setter.paragraph(limit.why, BODY, width - 6)])


def limits_table(openings: Sequence[OpeningSides], setter: Setter, width: float) -> Block:
    """Return the sizes of openings with their limits, in a column of this width.

    The figures of one opening are large; of several that differ they are smaller.
    """
    columns = _Columns(setter, width, LIMIT if len(openings) == 1 else FIGURE_STRONG)
    rows = [columns.head()]
    for sides in openings:
        rows.append(columns.row("cut, at the back", [Limit(size) for size in sides.sizes]))
        for name, limits in (("at least", sides.least), ("at most", sides.most)):
            rows += [columns.row(name, limits)] if any(limits) else []
    return stacked(rows, 2)
