"""The top of an entry: its name, the visible size beside its limits, and the verdict."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proofs.lengths import Size, Unit
from proofs.pages.drawing import Anchor, Block, across, in_rows, stacked
from proofs.pages.proof_sheet.gauge_bar import gauge_block, severity_of
from proofs.pages.proof_sheet.verdict import verdict_block
from proofs.pages.typography import (
    ASIDE,
    CAPTION,
    FIGURE,
    FIGURE_STRONG,
    GUTTER,
    MEASURED,
    MEASURED_TOO,
    NAME,
    NAME_STRONG,
    TITLE,
    Setter,
    Style,
    Words,
    baseline,
)
from proofs.plan.checks.gauges import gauges
from proofs.plan.checks.on_ruler import read_size
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.rules import VisibleRule

_NUMBER_GAP = 10.0
_EACH = "each"
_LEVEL = 2.0
_MOST_OF_TITLE = 5  # lines
_FEW = 2  # different sizes that have room in large type
_MOST_OF_VERDICT = 5  # lines; report.json holds all of it


def anchor_of(place: int) -> str:
    """Return the name of the anchor of an entry, by its place in the run."""
    return f"entry-{place}"


def measured_sights(outcome: Outcome) -> tuple[Size, ...]:
    """Return the visible sizes measured in an entry's finished files; empty without a file."""
    files = next((step.print_files for step in outcome.steps if step.print_files), ())
    return tuple(file.measured_sight for file in files)


def unit_of(job: Job) -> Unit:
    """Return the unit that rules are written in; inches without rules."""
    return job.rules.unit if job.rules else Unit.IN


@dataclass(frozen=True, slots=True)
class SizeRead:
    """A visible size as a ruler reads it, in the unit of the rules and in the other.

    ``pictures`` names those that have it: blank if there is only one, ``each`` if all are alike.
    """

    pictures: str
    first: str
    second: str

    def named(self, size: str) -> str:
        """Return a size with the pictures that have it."""
        if not self.pictures:
            return size
        return f"each {size}" if self.pictures == _EACH else f"{self.pictures}: {size}"


def sizes_read(job: Job, outcome: Outcome, plan: Plan) -> list[SizeRead]:
    """Return the visible sizes of an entry, each of them once."""
    rule = job.rules.visible if job.rules else VisibleRule()
    first = unit_of(job)
    second = Unit.MM if first == Unit.IN else Unit.IN
    sizes = measured_sights(outcome) or [p.sight.size for p in plan.layout.pictures]
    groups: dict[tuple[str, str], list[int]] = {}
    for n, size in enumerate(sizes, 1):
        read = read_size(size, rule, first), read_size(size, rule, second)
        groups.setdefault(read, []).append(n)
    if len(groups) == 1:
        return [SizeRead(_EACH if len(sizes) > 1 else "", *read) for read in groups]
    return [SizeRead(", ".join(map(str, found)), *read) for read, found in groups.items()]


def name_block(entry: Entry, setter: Setter, place: int | None = None) -> Block:
    """Return number, title and category; with a ``place`` in the run it is where links lead."""
    style = (
        NAME_STRONG if setter.wide(entry.number, NAME_STRONG) <= setter.column else FIGURE_STRONG
    )
    number = setter.paragraph(entry.number, style, setter.column, most=3)
    left = min(setter.wide(entry.number, style), setter.column) + _NUMBER_GAP
    width = setter.width - left
    title = _fitting(entry.title, width, setter)
    level = 0.0 if title == NAME else max(0.0, (NAME.size - title.size) * 1.0)
    lines = [setter.paragraph(entry.title, title, width, most=_MOST_OF_TITLE).lowered(level)]
    block = across([number, _with_category(entry, title, lines, width, setter)], (0, left))
    if place is None:
        return block
    words = " ".join(f"{entry.number} {entry.title}".split())
    return Block(block.height, (*block.marks, Anchor(0, 0, anchor_of(place), words)))


def _with_category(
    entry: Entry, style: Style, lines: list[Block], width: float, setter: Setter
) -> Block:
    """The title with its category: at the right of the line if both fit, else below it."""
    wide = setter.wide(entry.category, ASIDE)
    if setter.wide(entry.title, style) + _NUMBER_GAP + wide <= width:
        at_right = setter.ending(entry.category, ASIDE, width, baseline(style))
        return Block(lines[0].height, (*lines[0].marks, at_right))
    return stacked([*lines, setter.paragraph(entry.category, ASIDE, width, most=2)], 1)


def _fitting(title: str, width: float, setter: Setter) -> Style:
    """The largest style in which a title has few lines."""
    for style, most in ((NAME, 1), (TITLE, 2)):
        if len(setter.lines(title, style, width)) <= most:
            return style
    return FIGURE


def head_block(
    job: Job,
    outcome: Outcome,
    plan: Plan,
    setter: Setter,
    *,
    place: int | None = None,
    is_narrow: bool = False,
) -> Block:
    """Return the top of an entry, in the order of weight.

    If it ``is_narrow``, the bars are below the sizes, not beside them.
    """
    name = name_block(outcome.entry, setter, place)
    # Two columns of this setter are as wide as all four of the narrow one.
    wide = replace(setter, width=2 * setter.width + GUTTER) if is_narrow else setter
    parts = [_sizes(job, outcome, plan, wide), _gauges(job, outcome, plan, wide)]
    body = stacked(parts, 9) if is_narrow else across(parts, (0, 2 * setter.pitch))
    verdict = verdict_block(outcome, setter, most=_MOST_OF_VERDICT)
    return stacked([stacked([name, body], 9), verdict], 6)


def _sizes(job: Job, outcome: Outcome, plan: Plan, setter: Setter) -> Block:
    """The visible sizes in both units, that of the rules first and larger."""
    measured = measured_sights(outcome)
    caption = "Visible size, measured in the print file" if measured else "Visible size, as planned"
    lines: list[Words] = [(caption, CAPTION)]
    read = sizes_read(job, outcome, plan)
    if len(read) == 1:
        lines += [(read[0].named(read[0].first), MEASURED), (read[0].second, MEASURED_TOO)]
    elif len(read) <= _FEW:
        for one in read:
            lines += [(one.named(one.first), MEASURED_TOO), (one.named(one.second), MEASURED_TOO)]
    else:
        lines += [(f"{one.named(one.first)}  ({one.second})", FIGURE) for one in read]
    return setter.stack(lines, setter.span(2), most=2)


def _gauges(job: Job, outcome: Outcome, plan: Plan, setter: Setter) -> Block:
    """A bar for each measure that the rules limit, two in a row."""
    found = gauges(job, plan, measured_sights(outcome))
    if not found:
        return Block(0)
    width = setter.span(2) if len(found) == 1 else setter.column
    blocks: Sequence[Block] = [
        gauge_block(gauge, severity_of(gauge, outcome), unit_of(job), setter, width)
        for gauge in found
    ]
    return stacked(in_rows(blocks, 2, width + GUTTER), 4).lowered(_LEVEL)
