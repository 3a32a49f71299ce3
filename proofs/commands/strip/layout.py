"""The plan of a run of test strips: the size of the sheets, and the place of each step."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.commands.strip.worker import StripOptions
from proofs.errors import UsageError
from proofs.lengths import NM_PER_INCH, Length, Size
from proofs.outside.fonts import load_fonts
from proofs.pages.drawing import Block
from proofs.pages.strip.sheet import head_block
from proofs.pages.typography import Setter
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.sheets.strip_packing import StripEntry, StripSheet, best_packed
from proofs.plan.sheets.strip_sheet import (
    StripFoot,
    StripFrame,
    foot_of,
    sheet_of,
    strip_frame,
    type_width,
)
from proofs.records.job import Job
from proofs.records.labs import Lab


@dataclass(frozen=True, slots=True)
class StripPlan:
    """What all sheets share, and what goes on each; ``size`` is that of every sheet."""

    size: Size
    frame: StripFrame
    foot: StripFoot
    heads: tuple[Block, ...]
    sheets: tuple[StripSheet, ...]

    def name(self, number: int, lab: Lab) -> str:
        """Return the name of a sheet's file, counted from 1."""
        return f"strips/strip-{number}{lab.suffix}"


def plan_strips(options: StripOptions, job: Job, outcomes: Sequence[Outcome]) -> StripPlan:
    """Return the place of each step on the sheets.

    Raises ``UsageError`` if the lab does not sell the sheet, or if it is too small.
    """
    lab, fonts = job.lab, load_fonts(options.font)
    try:
        size = sheet_of(lab, options.sheet)
        width = type_width(lab, size)
        foot, setter = foot_of(width), Setter(fonts.width, width.points)
        tallest = head_block(setter, job, 1, 1)
        frame = strip_frame(lab, size, head=_length(tallest), foot=foot.height)
    except ValueError as error:
        raise UsageError(f"--sheet: {error}") from None
    entries = [
        StripEntry(o.entry.number, tuple(v.step for v in o.plan.variants), part.pixels, n)
        for o in outcomes
        if o.plan
        for n, part in enumerate(o.plan.parts)
    ]
    frame, sheets = best_packed(frame, entries, edge_to_edge=options.edge_to_edge)
    heads = tuple(head_block(setter, job, n + 1, len(sheets)) for n in range(len(sheets)))
    return StripPlan(size, frame, foot, heads, sheets)


def _length(block: Block) -> Length:
    """The height of a block, rounded up to a nanometre."""
    return Length(int(block.height * NM_PER_INCH / 72) + 1)
