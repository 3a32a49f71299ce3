"""The proof sheet: every entry with every step on its mount, to scale, page by page."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from proofs.lengths import Size, millimetres
from proofs.pages.drawing import Block, Mark, Page, Text
from proofs.pages.proof_sheet.curves import curve_blocks
from proofs.pages.proof_sheet.entry import EntryBlocks, entry_blocks
from proofs.pages.proof_sheet.parts import (
    IN_TROUBLE,
    closing_blocks,
    heading,
    masthead,
    trouble_blocks,
)
from proofs.pages.typography import CAPTION, Measure, Setter, rule
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job
from proofs.records.page_sizes import PAGE_SIZES

PAPERS = PAGE_SIZES
ON_DENSITY = (
    "Neither a screen nor this page can decide density: compare prints under the judging light."
)
ON_RULES = "The rules of the exhibition in hand always win over this profile."

_MARGIN = millimetres(15).points
_HEAD = 36.0  # of the running head's baseline, from the top of the page
_TOP, _FIRST_TOP = 54.0, 40.0
_BOTTOM = 54.0
_BETWEEN = 20.0
_CLOSING_GAP = 5.0


def proof_sheet(
    job: Job, outcomes: Sequence[Outcome], *, paper: str, version: str, measure: Measure
) -> tuple[Page, ...]:
    """Return the pages of the proof sheet.

    ``paper`` is ``a4`` or ``letter``. ``measure`` tells how wide a text is, from the text, its
    weight and its size in points.
    """
    size = PAPERS[paper]
    setter = Setter(measure, size.width.points - 2 * _MARGIN)
    flow = _Flow(size)
    flow.put((masthead(job, outcomes, setter),), 0)
    troubled = [o for o in outcomes if o.plan is None or o.status in IN_TROUBLE]
    if troubled:
        flow.put((heading("To mend first", setter),), _BETWEEN, keep=120)
    for number, outcome in enumerate(troubled):
        gap = _BETWEEN if number else _CLOSING_GAP
        flow.put_together(trouble_blocks(outcome, setter), gap)
    for outcome in outcomes:
        if outcome.plan is not None and outcome.status not in IN_TROUBLE:
            flow.put_together(entry_blocks(job, outcome, outcome.plan, setter), _BETWEEN)
    flow.put(curve_blocks(outcomes, setter), _BETWEEN)
    flow.put_together(closing_blocks(job, version, setter), _BETWEEN)
    name = job.rules.title if job.rules else "no rules were checked"
    return tuple(
        _page(size, marks, (number, len(flow.pages)), name, setter)
        for number, marks in enumerate(flow.pages, 1)
    )


@dataclass(slots=True)
class _Flow:
    """Blocks set down the pages, one after the other; used up within one call."""

    size: Size
    pages: list[list[Mark]] = field(default_factory=lambda: [[]])
    y: float = _FIRST_TOP

    @property
    def bottom(self) -> float:
        return self.size.height.points - _BOTTOM

    def put(self, blocks: Iterable[Block], gap: float, *, keep: float = 0) -> None:
        """Set blocks, each on a new page if it does not fit; ``keep`` is room needed below."""
        for block in blocks:
            above = 0 if self._is_at_top else gap
            if self.y + above + block.height + keep > self.bottom and not self._is_at_top:
                self._turn()
                above = 0
            self.pages[-1] += block.at(_MARGIN, self.y + above)
            self.y += above + block.height

    def put_together(self, entry: EntryBlocks, gap: float) -> None:
        """Set an entry on one page if any page can hold it, else part by part."""
        whole = entry.whole
        if self.y + gap + whole.height > self.bottom and not self._is_at_top:
            self._turn()
        if self.y + whole.height <= self.bottom:
            self.put((whole,), gap)
            return
        first, *rest = entry.parts
        self.put((first,), gap)
        self.put((*rest, *entry.lines), entry.gap)

    @property
    def _is_at_top(self) -> bool:
        return not self.pages[-1]

    def _turn(self) -> None:
        self.pages.append([])
        self.y = _TOP


def _page(
    size: Size, marks: Sequence[Mark], number: tuple[int, int], rules: str, setter: Setter
) -> Page:
    """A page with its running head and foot."""
    width, height = size.width.points, size.height.points
    page, pages = number
    foot = [
        _small(ON_DENSITY, _MARGIN, height - 34),
        _small(ON_RULES, _MARGIN, height - 25),
        setter.placed(f"{page} of {pages}", CAPTION, width - _MARGIN, height - 25),
    ]
    head: list[Mark] = []
    if page > 1:
        words = setter.paragraph(f"Proof sheet · {rules}", CAPTION, setter.width, most=1)
        head = [*words.at(_MARGIN, _HEAD - CAPTION.size)]
    foot_rule = rule(setter.width).at(_MARGIN, height - 44)
    return Page(width, height, (*head, *marks, *foot_rule, *foot))


def _small(text: str, x: float, y: float) -> Text:
    return Text(x, y, text, CAPTION.weight, CAPTION.size, CAPTION.colour)
