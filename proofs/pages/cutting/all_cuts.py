"""All cuts of a job in one table, in the order that needs the fewest settings of blade and stop."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from proofs.lengths import Length
from proofs.pages.drawing import Block, across, stacked
from proofs.pages.flow import FlowPart
from proofs.pages.headings import opening_block
from proofs.pages.table import tick_box
from proofs.pages.typography import (
    ALARM,
    ASIDE,
    BODY,
    CAPTION,
    DIMENSION,
    STRONG,
    TITLE,
    Setter,
    baseline,
    rule,
)
from proofs.pages.wording import board_thickness, counted, mat_name
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.mount_kinds import MountKind
from proofs.plan.cutting.settings import Setting, SettingUse, settings
from proofs.records.job import Job

_NUMBER_WIDE, _OTHER_WIDE, _SCALE_WIDE, _BOX = 100.0, 48.0, 84.0, 18.0
_BETWEEN = 6.0
_HOW = (
    "Set the stop once for each number, and make every cut listed next to it before you move it."
    " Each cut is measured from the edge that is named, seen from the back."
)
_HOW_DRAWN = (
    "Pencil each line at this distance from the edge that is named, seen from the back, on every"
    " mat that is listed next to it. Then cut along a straightedge."
)
_TOO_FAR = "beyond the cutter's reach: draw it, and cut by straightedge"


def all_cuts_parts(job: Job, kinds: Sequence[MountKind], setter: Setter) -> list[FlowPart]:
    """Return the table of all cuts; nothing if nothing is cut."""
    found = settings(kinds)
    if not found:
        return []
    mats = {kind.number: len(kind.mats) for kind in kinds}
    return [FlowPart(block, _BETWEEN) for block in _blocks(job, found, mats, setter)]


def _blocks(
    job: Job, found: Sequence[Setting], mats: Mapping[int, int], setter: Setter
) -> Iterator[Block]:
    """The head, then a row for each setting, below the blade that they share."""
    cuts = sum(use.cuts for setting in found for use in setting.uses)
    how = _HOW if job.cutter.has_stop else _HOW_DRAWN
    lines = ((counted(cuts, "cut"), STRONG), (job.cutter.title, ASIDE))
    yield opening_block("All cuts", lines, [(how, BODY)], setter)
    for (bevel, thickness), group in groupby(found, key=lambda s: (s.bevel, s.thickness)):
        first, *rest = (_row(job, setting, mats, setter) for setting in group)
        yield stacked([_blade(bevel, thickness, setter), first], _BETWEEN)
        yield from rest


def _blade(bevel: str, thickness: Length, setter: Setter) -> Block:
    words = f"Mat {board_thickness(thickness)}, {bevel} bevel: set the blade once"
    return stacked([rule(setter.width), setter.paragraph(words, TITLE, setter.width, most=2)], 7)


def _row(job: Job, setting: Setting, mats: Mapping[int, int], setter: Setter) -> Block:
    """The number, the setting of a scale that is off, and the cuts."""
    marks, offset = marks_of(job), job.cutter.scale_offset
    number = setter.paragraph(marks.with_unit(setting.at), DIMENSION, _NUMBER_WIDE, most=1)
    words = marks.in_other_unit(setting.at)
    other = setter.paragraph(words, CAPTION, _OTHER_WIDE, most=1)
    other = other.lowered(baseline(DIMENSION) - baseline(CAPTION))
    cells, lefts = [number, other], [0.0, _NUMBER_WIDE, _NUMBER_WIDE + _OTHER_WIDE]
    if offset:
        caption = setter.paragraph(_caption(job), CAPTION, _SCALE_WIDE)
        scale = setter.paragraph(marks.with_unit(setting.at + offset), TITLE, _SCALE_WIDE, most=1)
        cells.append(stacked([caption, scale]).lowered(2))
        lefts.append(lefts[-1] + _SCALE_WIDE)
    lines = [_use(use, mats[use.kind], setter, lefts[-1]) for use in setting.uses]
    if job.cutter.reach is not None and setting.at > job.cutter.reach:
        lines.append(setter.paragraph(_TOO_FAR, ALARM, setter.width - lefts[-1], most=2))
    uses = stacked(lines, 3)
    return stacked([rule(setter.width), across([*cells, uses.lowered(7)], lefts)], 2)


def _caption(job: Job) -> str:
    return "scale" if job.cutter.has_stop else "line at"


def _use(use: SettingUse, mats: int, setter: Setter, left: float) -> Block:
    """A box to tick, where to cut, and how many cuts that is."""
    which = f", {mat_name(use.mat, mats)}" if mats > 1 else ""
    where = f"mount {use.kind}{which}: {', '.join(use.edges)}"
    text = setter.paragraph(where, BODY, setter.width - left - _BOX - 60, most=2)
    cuts = setter.ending(counted(use.cuts, "cut"), ASIDE, setter.width - left, baseline(BODY))
    box = tick_box()
    return Block(max(text.height, box.height), (*box.at(0, 1), *text.at(_BOX, 0), cuts))
