"""What a mat with a given opening hides of a picture beyond its overlap, for each side."""

from fractions import Fraction

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Borders, Edge, Length, Size, Unit, millimetres, shown
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import WindowKind

_MUCH = Fraction(3, 100)  # of the picture: more is worth a look; common practice, no source
_EDGES = (Edge.TOP, Edge.BOTTOM, Edge.LEFT, Edge.RIGHT)
_LEAST = millimetres("0.05")  # less is rounding, and would be written as 0.0 mm


def hidden_beyond(plan: Plan, n: int) -> Borders:
    """Return what the mat hides of picture ``n``, counted from 0, beyond the mount's overlap."""
    hidden, overlap = plan.layout.pictures[n].hidden, plan.mount.overlap
    return Borders(*(max(getattr(hidden, edge) - overlap, ZERO) for edge in Edge))


def hides_more(plan: Plan, n: int) -> bool:
    """Return whether a given opening hides anything of picture ``n`` beyond the overlap."""
    if plan.parts[n].image.opening is None:
        return False
    return bool(hidden_words(hidden_beyond(plan, n), plan.layout.pictures[n].image.size))


def hidden_findings(plan: Plan) -> tuple[Finding, ...]:
    """Return a finding for each picture whose opening is given, if a mat overlaps it.

    It is a note if more than 3 % of the picture is hidden beyond the overlap.
    """
    if plan.mount.window != WindowKind.OVERLAP:
        return ()
    return tuple(
        _hidden(plan, n) for n, part in enumerate(plan.parts) if part.image.opening is not None
    )


def hidden_words(beyond: Borders, image: Size) -> str:
    """Return what is hidden on each side in mm and as a share; blank if nothing is.

    >>> from proofs.lengths import NO_BORDERS, inches
    >>> from dataclasses import replace
    >>> hidden_words(replace(NO_BORDERS, left=inches(1)), Size(inches(20), inches(10)))
    '25.4 mm (5.0 %) at the left'
    """
    found = [(edge, getattr(beyond, edge)) for edge in _EDGES if getattr(beyond, edge) >= _LEAST]
    return " and ".join(
        f"{shown(width, Unit.MM)} ({float(100 * _share(edge, width, image)):.1f} %) at the {edge}"
        for edge, width in found
    )


def _hidden(plan: Plan, n: int) -> Finding:
    image, beyond = plan.layout.pictures[n].image.size, hidden_beyond(plan, n)
    share = sum(_share(edge, getattr(beyond, edge), image) for edge in Edge)
    which = "the picture" if len(plan.parts) == 1 else f"picture {n + 1}"
    words = hidden_words(beyond, image)
    message = f"the mat hides nothing of {which} beyond its overlap"
    if words:
        message = f"beyond its overlap the mat hides {words} of {which}"
    percent, most = round(float(share * 100), 1), float(_MUCH * 100)
    if share <= _MUCH:
        return Finding("hidden-beyond", Severity.MET, message, percent, most, "%")
    remedy = "another opening, or another crop"
    if (beyond.top and beyond.bottom) or (beyond.left and beyond.right):
        places = "'left' or 'right'" if beyond.left else "'top' or 'bottom'"
        remedy += f"; {places} in the crop cell chooses the side that stays"
    return Finding("hidden-beyond", Severity.NOTE, message, percent, most, "%", remedy)


def _share(edge: Edge, width: Length, image: Size) -> Fraction:
    """The share of an image that lies in a strip along one of its edges."""
    side = image.height if edge in (Edge.TOP, Edge.BOTTOM) else image.width
    return Fraction(width.nm, side.nm)
