"""A plan with other openings, or with prints of other sizes.

Everything that depends on them is worked out again: what is visible and hidden, the paper round
the image, and the borders. The upper mats show as much of the mat below as before.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from proofs.lengths import NO_BORDERS, ZERO, Borders, Size
from proofs.plan.entry.board import Cut, Opening, Picture
from proofs.plan.entry.layout import behind, on_board
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import Mount, WindowKind

Window = tuple[Cut, ...]

_HALF = Fraction(1, 2)


def with_windows(
    plan: Plan, windows: Sequence[Window], images: Sequence[Size] | None = None
) -> Plan:
    """Return the plan with these cuts, one tuple for each window, in the windows' order.

    Images keep their sizes unless others are given, as measured. They stay centred behind their
    windows, or as far off centre as they were; behind a given opening they show the part that was
    asked for.
    """
    layout = plan.layout
    sizes = images or [picture.image.size for picture in layout.pictures]
    cuts = dict(zip(layout.windows, windows, strict=True))
    moved = tuple(
        _moved(plan, n, cuts[layout.pictures[n].cuts], size) for n, size in enumerate(sizes)
    )
    if images:  # what was measured has been trimmed
        moved = tuple(replace(picture, untrimmed=ZERO) for picture in moved)
    seen = tuple(_seen(plan.mount, picture, moved) for picture in moved)
    return replace(plan, layout=on_board(layout.board, seen))


def with_openings(
    plan: Plan, backs: Sequence[Opening], images: Sequence[Size] | None = None
) -> Plan:
    """Return the plan with these openings at the back of the bottom mat, one for each window."""
    windows = [_followed(w, back) for w, back in zip(plan.layout.windows, backs, strict=True)]
    return with_windows(plan, windows, images)


def opened(plan: Plan, size: Size) -> Plan:
    """Return a plan of one window whose innermost opening has another size on the same middle.

    The mats above are already cut.
    """
    ((*upper, lowest),) = plan.layout.windows
    return with_windows(plan, [(*upper, lowest.moved_to(lowest.back.centred(size)))])


def innermost(plan: Plan) -> tuple[Opening, ...]:
    """Return the openings at the back of the mat that lies on the prints, one for each window."""
    return tuple(window[-1].back for window in plan.layout.windows)


def _followed(window: Window, back: Opening) -> Window:
    """A window with another innermost opening, the upper mats as far outside it as before."""
    old = window[-1].back
    return tuple(cut.moved_to(back.bordered(old.borders_in(cut.back))) for cut in window)


def given_windows(plan: Plan) -> tuple[bool, ...]:
    """Return for each window whether its opening is given: then it is never moved."""
    pairs = zip(plan.parts, plan.layout.pictures, strict=True)
    given = {picture.cuts for part, picture in pairs if part.image.opening is not None}
    return tuple(window in given for window in plan.layout.windows)


def _moved(plan: Plan, n: int, cuts: Window, size: Size) -> Picture:
    """A picture of another size behind other cuts; what is visible of it is not yet updated."""
    picture, given = plan.layout.pictures[n], plan.parts[n].image.opening
    image, old, new = picture.image, picture.cuts[-1].limiting, cuts[-1].limiting
    if given is not None and not plan.layout.has_common_window:
        return replace(picture, image=behind(plan.mount, size, new, given), cuts=cuts)
    across = (image.size.width - size.width) * _HALF + (new.size.width - old.size.width) * _HALF
    down = (image.size.height - size.height) * _HALF + (new.size.height - old.size.height) * _HALF
    lying = Opening(size, image.place).counted_from(old).shifted(new.left + across, new.top + down)
    edge = picture.paper_edge
    edge = lying.bordered(image.borders_in(edge)) if edge else None
    return replace(picture, image=lying, cuts=cuts, paper_edge=edge)


def _seen(mount: Mount, picture: Picture, pictures: Sequence[Picture]) -> Picture:
    """The picture with what is visible and hidden of it; others may share its window."""
    limiting = picture.cuts[-1].limiting
    sight = picture.image.shared(limiting)
    if mount.window == WindowKind.OVERLAP:
        hidden = limiting.borders_in(picture.image)
        return replace(picture, sight=sight, hidden=hidden, seen_paper=NO_BORDERS)
    if picture.paper_edge:
        paper = picture.image.borders_in(picture.paper_edge)
        return replace(picture, sight=sight, hidden=NO_BORDERS, seen_paper=paper)
    together = Opening.around(other.image for other in pictures if other.cuts == picture.cuts)
    paper = together.borders_in(limiting)
    sides = (paper.top, paper.right, paper.bottom, paper.left)
    hidden = Borders(*(max(-side, ZERO) for side in sides))
    return replace(picture, sight=sight, hidden=hidden, seen_paper=paper)
