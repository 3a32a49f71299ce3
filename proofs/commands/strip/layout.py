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
from proofs.plan.entry.planning import papers_of
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
from proofs.run.text_report import numbered


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
    papers = papers_of(o.plan for o in outcomes if o.plan)
    try:
        size = sheet_of(lab, options.sheet)
        width = type_width(lab, size)
        foot, setter = foot_of(width), Setter(fonts.width, width.points)
        heads = [head_block(setter, paper, 1, 1) for paper in (papers or [job.paper.title])]
        tallest = max(heads, key=lambda head: head.height)
        frame = strip_frame(lab, size, head=_length(tallest), foot=foot.height)
    except ValueError as error:
        raise UsageError(f"--sheet: {error}") from None
    entries = [
        StripEntry(
            o.entry.number,
            tuple(v.step for v in o.plan.variants),
            part.pixels,
            picture=n,
            paper=o.plan.paper_words,
        )
        for o in outcomes
        if o.plan
        for n, part in enumerate(o.plan.parts)
    ]
    frame, sheets = best_packed(frame, entries, edge_to_edge=options.edge_to_edge)
    made = tuple(
        head_block(setter, sheet.paper, n, len(sheets)) for n, sheet in enumerate(sheets, 1)
    )
    return StripPlan(size, frame, foot, made, sheets)


def paper_lines(plan: StripPlan, job: Job) -> list[str]:
    """Return which sheets are for which paper; nothing if all are for the paper of the run."""
    papers = dict.fromkeys(sheet.paper for sheet in plan.sheets)
    if not papers.keys() - {job.paper.title}:
        return []
    numbers = {
        paper: [str(n) for n, sheet in enumerate(plan.sheets, 1) if sheet.paper == paper]
        for paper in papers
    }
    return [f"{numbered(of, what='sheet')} for {paper}" for paper, of in numbers.items()]


def _length(block: Block) -> Length:
    """The height of a block, rounded up to a nanometre."""
    return Length(int(block.height * NM_PER_INCH / 72) + 1)
