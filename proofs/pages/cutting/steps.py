"""The steps of cutting a mat, in their order, with blanks for what is measured on the way."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO, Length
from proofs.pages.cutting.mat_facts import is_oval, oval_words
from proofs.pages.drawing import Block, across, stacked
from proofs.pages.table import named_blanks
from proofs.pages.typography import ALARM, BODY, NUMBER, STRONG, Setter, Words
from proofs.plan.cutting.cut_lines import CUTTING_ORDER
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import MatSheet, MountKind, beyond_reach, overrun
from proofs.records.job import Job

_INDENT = 16.0
_APART, _BLANKS_APART = 7.0, 5.0
_DROP = NUMBER.leading - STRONG.leading  # brings a title down to the line of its large number
_LEAST_LINE = 26.0  # to write a number on
_BLADE = {
    "ordinary": "Ordinary bevel, 45°: the blade tip slants under the border, away from the opening",
    "reverse": "Reverse bevel, 45°: the blade tip slants under the opening, away from the border",
    "straight": "Straight bevel: the blade is upright",
}
_CHECK = (
    "Before you use the mat, measure its borders and its opening at the back. The opening must keep"
    " the limits below."
)
_CHECK_READY = (
    "This mat is cut already, and its opening is given: nothing is cut. Measure its borders and its"
    " opening at the back before you use it. The opening must keep the limits below."
)
_CHECKED = (("left", "right"), ("top", "bottom"), ("opening", "×"))


@dataclass(frozen=True, slots=True)
class _Step:
    """One step: its title, what to do, and the names of its blanks, row by row."""

    title: str
    lines: Sequence[Words]
    blanks: Sequence[Sequence[str]] = ()


def steps_block(job: Job, kind: MountKind, mat: MatSheet, setter: Setter, width: float) -> Block:
    """Return the numbered steps in a column of this width."""
    if kind.is_ready_cut:
        steps = iter([_Step("Check", [(_CHECK_READY, BODY)], _CHECKED)])
    elif is_oval(kind):
        steps = _oval_steps(kind, mat, marks_of(job))
    else:
        steps = _steps(job, kind, mat)
    return stacked([_set(n, step, setter, width) for n, step in enumerate(steps, 1)], _APART)


def _steps(job: Job, kind: MountKind, mat: MatSheet) -> Iterator[_Step]:
    marks, cutter = marks_of(job), job.cutter
    pencil = _line_words(ZERO if cutter.has_stop else cutter.scale_offset, marks)
    yield _Step("Pencil the lines", [(f"{pencil}, on the back.", BODY)])
    set_to = (
        _scale_words(cutter.scale_offset, marks) if cutter.has_stop else "Use your straightedge"
    )
    bevel = f"{_BLADE[kind.mount.bevel]}. {_corner_words(overrun(job, kind.mount, mat))}."
    how = f"On a piece of the same board. {set_to}. {bevel}"
    first = "scale set" if cutter.has_stop else "line at"
    yield _Step("Test cut on a scrap", [(how, BODY)], [[first, "border"], ["overcut"]])
    *others, last = (edge.value for edge in CUTTING_ORDER)
    order = f"First {others[0]} and {others[1]}, then {others[2]} and {last}."
    yield _Step("Cut", [(order, BODY), *_reach_words(job, mat, marks)])
    yield _Step("Check", [(_CHECK, BODY)], _CHECKED)


def _oval_steps(kind: MountKind, mat: MatSheet, marks: Marks) -> Iterator[_Step]:
    """The steps for an oval, which is cut by its axes and its middle."""
    axes, centre = oval_words(mat, marks)
    pencil = f"Draw both axes on the back, through the {centre}."
    yield _Step("Pencil the lines", [(pencil, BODY)])
    how = f"On a piece of the same board. {_BLADE[kind.mount.bevel]}."
    yield _Step("Test cut on a scrap", [(how, BODY)], [["scale set", "width"]])
    yield _Step("Cut", [(f"Set the cutter to an oval of {axes}.", STRONG)])
    yield _Step("Check", [(_CHECK, BODY)], _CHECKED)


def _set(number: int, step: _Step, setter: Setter, width: float) -> Block:
    wide = width - _INDENT
    words = setter.stack([(step.title, STRONG), *step.lines], wide)
    rows = [row for names in step.blanks for row in _fitting(names, setter, wide)]
    blanks = [named_blanks(names, setter, wide) for names in rows]
    body = stacked([words, *blanks], _BLANKS_APART).lowered(_DROP)
    return across([setter.paragraph(str(number), NUMBER, _INDENT), body], (0, _INDENT))


def _fitting(names: Sequence[str], setter: Setter, width: float) -> Iterator[Sequence[str]]:
    """The names of blanks in one row if there is room to write, else one below the other."""
    widest = max(setter.wide(name, BODY) for name in names)
    if widest + _LEAST_LINE <= width / len(names) - 10:
        yield names
    else:
        yield from ([name] for name in names)


def _scale_words(offset: Length, marks: Marks) -> str:
    if not offset:
        return f"Set each number as given, in {_unit_word(marks)}"
    way = "more" if offset > ZERO else "less"
    return f"Set {marks.with_unit(max(offset, -offset))} {way} than each number"


def _line_words(offset: Length, marks: Marks) -> str:
    """How lines are drawn, with the error of a scale that they are drawn by."""
    if not offset:
        return f"Pencil each line at its number from the edge, in {_unit_word(marks)}"
    way = "more" if offset > ZERO else "less"
    return f"Pencil each line {marks.with_unit(max(offset, -offset))} {way} than its number"


def _unit_word(marks: Marks) -> str:
    return "inches" if marks.unit == "in" else "mm"


def _reach_words(job: Job, mat: MatSheet, marks: Marks) -> list[Words]:
    """Which borders the cutter cannot be set to."""
    lines, reach = beyond_reach(job, mat), job.cutter.reach
    if not lines or reach is None:
        return []
    at = ", ".join(f"{line.edge} {marks.with_unit(line.at)}" for line in lines)
    which = "every line" if len(lines) == len(mat.lines) else at  # a list of all would fill a page
    words = (
        f"The cutter reaches only {marks.with_unit(reach)}: draw {which}, and cut by straightedge."
    )
    return [(words, ALARM)]


def _corner_words(past: Length) -> str:
    if not past:
        return "Cut exactly from line to line, without overcut"
    return f"Start and end each cut {past} past the corner line"
