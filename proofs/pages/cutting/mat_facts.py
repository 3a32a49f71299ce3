"""The words around the drawing of a mat: board, settings, sums, and limits on its openings."""

from collections.abc import Iterable
from fractions import Fraction

from proofs.lengths import ZERO, Length, Size, area_text
from proofs.pages.cutting.prints_table import is_placed_by_paper
from proofs.pages.facts import Fact
from proofs.pages.typography import ALARM, SETTING
from proofs.pages.wording import board_thickness
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import MatSheet, MountKind, beyond_reach, overrun
from proofs.plan.cutting.opening_limits import OpeningLimits
from proofs.records.job import Job
from proofs.records.mounts import BevelKind, Mount, WindowShape

_BLADE = {
    "ordinary": "ordinary, 45°: the blade tip slants under the border, away from the opening",
    "reverse": "reverse, 45°: the blade tip slants under the opening, away from the border",
    "straight": "straight: the blade is upright",
}


def is_oval(kind: MountKind) -> bool:
    """Return whether the windows are oval or round."""
    return kind.mount.shape != WindowShape.RECTANGLE


def other_unit(mat: MatSheet, marks: Marks) -> str:
    """Return each number of a mat in the other unit, once."""
    numbers = sorted({line.at for line in mat.lines})
    return " · ".join(f"{marks.with_unit(at)} = {marks.in_other_unit(at)}" for at in numbers)


def bench_fact(caption: str, text: str) -> Fact:
    """Return a fact that is read while the cutter is set."""
    return Fact(caption, ((text, SETTING),))


def mat_facts(job: Job, kind: MountKind, mat: MatSheet) -> list[Fact]:
    """Return the facts of a mat: board, colours, bevel, scale and overcut, or axes of an oval."""
    mount, marks, is_below = kind.mount, marks_of(job), mat.place > 0
    board = marks.size(mat.board)
    made_of = f"{mat.colour}, {mat.core_colour} core, {board_thickness(mat.thickness)}"
    facts = [
        bench_fact("Board", f"{board}, smaller than the top mat" if is_below else board),
        bench_fact("Mat", made_of),
        bench_fact("Bevel", _BLADE[mount.bevel]),
    ]
    if is_oval(kind):
        facts.append(bench_fact("Oval", _oval_words(mat, marks)))
    else:
        words = _scale_words if job.cutter.has_stop else _line_words
        caption = "Scale" if job.cutter.has_stop else "Lines"
        facts.append(bench_fact(caption, words(job.cutter.scale_offset, marks)))
        facts += _reach_facts(job, mat, marks)
        facts.append(bench_fact("Overcut", _corner_words(overrun(job, mount, mat))))
    if not is_below:
        facts.append(place_fact(mount))
    return facts


def place_fact(mount: Mount) -> Fact:
    """Return the fact by what a print is placed on its backing."""
    by = " to the edge of the trimmed paper" if is_placed_by_paper(mount) else ""
    return bench_fact("Print on the backing", f"seen from the front; distances{by} below")


def _oval_words(mat: MatSheet, marks: Marks) -> str:
    """The axes of an oval and its middle, as an oval cutter is set."""
    back = mat.backs[0]
    across = mat.board.width - back.place.x - back.size.width * Fraction(1, 2)
    down = back.place.y + back.size.height * Fraction(1, 2)
    fine = marks.fine
    left, top = (fine.with_unit(fine.nearest(length)) for length in (across, down))
    return f"{marks.size(back.size)} at the back; centre {left} from the left, {top} from the top"


def _scale_words(offset: Length, marks: Marks) -> str:
    if not offset:
        return f"set each number as given, in {'inches' if marks.unit == 'in' else 'mm'}"
    way = "more" if offset > ZERO else "less"
    return f"set {marks.with_unit(max(offset, -offset))} {way} than each number"


def _line_words(offset: Length, marks: Marks) -> str:
    """How lines are drawn for a cutter without a stop."""
    if not offset:
        unit = "inches" if marks.unit == "in" else "mm"
        return f"pencil each line at its number from the edge, in {unit}"
    way = "more" if offset > ZERO else "less"
    return f"pencil each line {marks.with_unit(max(offset, -offset))} {way} than its number"


def _reach_facts(job: Job, mat: MatSheet, marks: Marks) -> list[Fact]:
    """Which borders the cutter cannot be set to."""
    lines, reach = beyond_reach(job, mat), job.cutter.reach
    if not lines or reach is None:
        return []
    at = ", ".join(f"{line.edge} {marks.with_unit(line.at)}" for line in lines)
    which = "every line" if len(lines) == len(mat.lines) else at  # a list of all would fill a page
    words = (
        f"the cutter reaches only {marks.with_unit(reach)}: draw {which}, and cut by straightedge"
    )
    return [Fact("Beyond the reach", ((words, ALARM),))]


def _corner_words(past: Length) -> str:
    if not past:
        return "cut exactly from line to line, without overcut"
    return f"start and end each cut {past} past the corner line"


def sums(mat: MatSheet, marks: Marks) -> list[str]:
    """Return border, opening and border across the width and the height of every window."""
    found: dict[str, None] = {}
    for back in mat.backs:
        left = mat.board.width - back.right
        across = (left, back.size.width, back.place.x)
        down = (back.place.y, back.size.height, mat.board.height - back.bottom)
        for parts, whole in ((across, mat.board.width), (down, mat.board.height)):
            found[f"{' + '.join(map(marks.number, parts))} = {marks.with_unit(whole)}"] = None
    return list(found)


def opening_limits(kind: MountKind, mat: MatSheet, marks: Marks) -> list[str]:
    """Return what each opening may measure, which depends on the mat that touches the prints."""
    found: dict[str, None] = {}
    is_lowest, limits = mat.place == len(kind.mats) - 1, kind.limits
    for window, cut in zip(limits.windows, mat.cuts, strict=True):
        found |= dict.fromkeys(opening_words(cut.back.size, window if is_lowest else None, marks))
        if kind.mount.bevel != BevelKind.STRAIGHT:
            fine = marks.fine
            face = Size(fine.nearest(cut.face.size.width), fine.nearest(cut.face.size.height))
            found[f"check at the face: about {fine.size(face)}"] = None
    if not is_lowest:
        upper, lower = (kind.entries[0].plan.layout.windows[0][mat.place + n] for n in (0, 1))
        shown = marks.fine.nearest(lower.face.borders_in(upper.limiting).least)
        found[f"shows about {marks.fine.with_unit(shown)} of the mat below, all round"] = None
        return list(found)
    together = _range(
        ("for the rule", "for the rule"), limits.sides_least, limits.sides_most, marks
    )
    if together:
        found[f"the longest sides of all openings together: {together}"] = None
    return list(found)


def opening_words(size: Size, limits: OpeningLimits | None, marks: Marks) -> list[str]:
    """Return what one opening measures at the back, and what it may measure."""
    if limits is None or (len(limits.least) == 1 and len(limits.most) == 1):
        words = [_side_words(name, size, limits, marks) for name in ("width", "height")]
        return words + _area_words(limits)
    measures = f"{marks.size(size)} at the back"
    if not limits.least:
        return [f"{measures}: no opening meets everything; see the findings below"]
    return [measures, _least_words(limits, marks), _most_words(limits, marks), *_area_words(limits)]


def _side_words(name: str, size: Size, limits: OpeningLimits | None, marks: Marks) -> str:
    words = f"{name} {marks.with_unit(getattr(size, name))} at the back"
    if limits is None:
        return words
    least, most = getattr(limits.least[0], name), getattr(limits.most[0], name)
    n = ("width", "height").index(name)
    free = getattr(limits.board, name)
    whys = (limits.least_why[n], limits.most_why[n])
    found = _range(whys, least or None, most if most < free else None, marks)
    return f"{words}: {found}" if found else words


def _range(whys: tuple[str, str], least: Length | None, most: Length | None, marks: Marks) -> str:
    words = []
    if least is not None:
        words.append(f"at least {marks.with_unit(least)} {whys[0]}".rstrip())
    if most is not None:
        words.append(f"at most {marks.with_unit(most)} {whys[1]}".rstrip())
    return ", ".join(words)


def _least_words(limits: OpeningLimits, marks: Marks) -> str:
    """The least sizes; two that are each other turned are said of one side and the other."""
    why = limits.least_why[0] or limits.least_why[1]
    if [size.turned for size in limits.least] == list(reversed(limits.least)):
        longer, other = limits.least[0].longest, limits.least[0].shortest
        words = f"one side at least {marks.with_unit(longer)} {why}"
        return f"{words}, the other at least {marks.with_unit(other)}" if other else words
    return f"at least {_sizes_words(limits.least, marks)} (width × height) {why}"


def _most_words(limits: OpeningLimits, marks: Marks) -> str:
    why = limits.most_why[0] or limits.most_why[1]
    return f"at most {_sizes_words(limits.most, marks)} (width × height) {why}"


def _sizes_words(sizes: Iterable[Size], marks: Marks) -> str:
    return " or ".join(map(marks.size, sizes))


def _area_words(limits: OpeningLimits | None) -> list[str]:
    if limits is None or limits.least_square_nm is None:
        return []
    return [f"width × height at least {area_text(limits.least_square_nm)} for the rule"]
