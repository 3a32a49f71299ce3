"""The words around the drawing of a mat: board, settings, sums, and limits on its openings."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import Length, Size, area_text
from proofs.pages.cutting.prints_table import is_placed_by_paper
from proofs.pages.wording import board_thickness
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import MatSheet, MountKind
from proofs.plan.cutting.opening_limits import OpeningLimits
from proofs.records.mounts import BevelKind, Mount, WindowShape


@dataclass(frozen=True, slots=True)
class Limit:
    """A least or most size in words, and its reason, blank for none."""

    size: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class OpeningSides:
    """Width and height of an opening at the back, and what each of them may measure."""

    sizes: tuple[str, str]
    least: tuple[Limit | None, Limit | None] = (None, None)
    most: tuple[Limit | None, Limit | None] = (None, None)


def is_oval(kind: MountKind) -> bool:
    """Return whether the windows are oval or round."""
    return kind.mount.shape != WindowShape.RECTANGLE


def other_unit(mat: MatSheet, marks: Marks) -> str:
    """Return each number of a mat in the other unit, once."""
    numbers = sorted({line.at for line in mat.lines})
    return " · ".join(f"{marks.with_unit(at)} = {marks.in_other_unit(at)}" for at in numbers)


def made_of(mat: MatSheet, marks: Marks) -> str:
    """Return the size of a mat's board, its colours, and how thick it is."""
    board = marks.size(mat.board)
    size = f"{board}, smaller than the top mat" if mat.place else board
    thick = board_thickness(mat.thickness)
    return f"Board {size}; {mat.colour}, {mat.core_colour} core, {thick}"


def place_words(mount: Mount) -> str:
    """Return by what a print is placed on its backing."""
    by = " to the edge of the trimmed paper" if is_placed_by_paper(mount) else ""
    return f"Print on the backing, seen from the front; distances{by} below"


def oval_words(mat: MatSheet, marks: Marks) -> tuple[str, str]:
    """Return the axes of an oval, and its middle, as an oval cutter is set."""
    back = mat.backs[0]
    across = mat.board.width - back.place.x - back.size.width * Fraction(1, 2)
    down = back.place.y + back.size.height * Fraction(1, 2)
    fine = marks.fine
    left, top = (fine.with_unit(fine.nearest(length)) for length in (across, down))
    axes = f"{marks.size(back.size)} at the back"
    return axes, f"centre {left} from the left, {top} from the top"


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


def opening_sides(kind: MountKind, mat: MatSheet, marks: Marks) -> list[OpeningSides]:
    """Return the openings whose limits are those of width and height, each kind of them once."""
    found = zip(mat.cuts, _limits_of(kind, mat), strict=True)
    sides = [_sides(cut.back.size, limits, marks) for cut, limits in found if _is_simple(limits)]
    return list(dict.fromkeys(sides))


def opening_sentences(kind: MountKind, mat: MatSheet, marks: Marks) -> list[str]:
    """Return the limits that are on both sides of an opening, or on all openings together."""
    found: dict[str, None] = {}
    for cut, limits in zip(mat.cuts, _limits_of(kind, mat), strict=True):
        found |= dict.fromkeys(_opening_words(cut.back.size, limits, marks))
    if mat.place < len(kind.mats) - 1:
        return list(found)
    limits_all = kind.limits
    together = _range(
        ("for the rule", "for the rule"), limits_all.sides_least, limits_all.sides_most, marks
    )
    if together:
        found[f"the longest sides of all openings together: {together}"] = None
    return list(found)


def opening_checks(kind: MountKind, mat: MatSheet, marks: Marks) -> list[str]:
    """Return what each opening measures at the face, and what shows of the mat below."""
    fine, found = marks.fine, dict[str, None]()
    for cut in mat.cuts if kind.mount.bevel != BevelKind.STRAIGHT else ():
        face = Size(fine.nearest(cut.face.size.width), fine.nearest(cut.face.size.height))
        found[f"check at the face: about {fine.size(face)}"] = None
    if mat.place < len(kind.mats) - 1:
        upper, lower = (kind.entries[0].plan.layout.windows[0][mat.place + n] for n in (0, 1))
        shown = fine.nearest(lower.face.borders_in(upper.limiting).least)
        found[f"shows about {fine.with_unit(shown)} of the mat below, all round"] = None
    return list(found)


def _limits_of(kind: MountKind, mat: MatSheet) -> list[OpeningLimits | None]:
    """The limits of each opening: those of the mat that touches the prints, none of others."""
    is_lowest = mat.place == len(kind.mats) - 1
    return [limits if is_lowest else None for limits in kind.limits.windows]


def _is_simple(limits: OpeningLimits | None) -> bool:
    return limits is None or (len(limits.least) == 1 and len(limits.most) == 1)


def _opening_words(size: Size, limits: OpeningLimits | None, marks: Marks) -> list[str]:
    """What one opening may measure, as far as that is not a matter of one side."""
    if limits is None or _is_simple(limits):
        return _area_words(limits)
    measures = f"{marks.size(size)} at the back"
    if not limits.least:
        return [f"{measures}: no opening meets everything; see the findings below"]
    return [measures, _least_words(limits, marks), _most_words(limits, marks), *_area_words(limits)]


def _sides(size: Size, limits: OpeningLimits | None, marks: Marks) -> OpeningSides:
    sizes = marks.with_unit(size.width), marks.with_unit(size.height)
    if limits is None:
        return OpeningSides(sizes)
    (least,), (most,), board = limits.least, limits.most, limits.board
    leasts = (least.width, least.height)
    mosts = (
        most.width if most.width < board.width else None,
        most.height if most.height < board.height else None,
    )
    return OpeningSides(
        sizes,
        _limits(leasts, limits.least_why, marks),
        _limits(mosts, limits.most_why, marks),
    )


def _limits(
    lengths: tuple[Length | None, Length | None], whys: tuple[str, str], marks: Marks
) -> tuple[Limit | None, Limit | None]:
    """The limits on width and height, None for a side that has none."""
    width, height = (
        Limit(marks.with_unit(length), why) if length else None
        for length, why in zip(lengths, whys, strict=True)
    )
    return width, height


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
