"""A plan whose windows are cut otherwise, or whose prints came in other sizes.

Everything that follows from it is worked out anew: what is seen, hidden, left beside the image,
and the borders. The mats above the innermost keep showing what they show of the one below.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from proofs.lengths import ZERO, Borders, Length, Place, Size
from proofs.plan.entry.board import Cut, Opening, Picture
from proofs.plan.entry.layout import on_board
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import Mount, WindowKind

Window = tuple[Cut, ...]

HALF = Fraction(1, 2)


def cut_windows(
    plan: Plan, windows: Sequence[Window], images: Sequence[Size] | None = None
) -> Plan:
    """Return the plan with these cuts, one tuple a window, in the windows' order.

    Images, the planned ones or ones of these sizes, stay in the middle behind their windows, or
    as far off it as they were.
    """
    layout = plan.layout
    sizes = images or [picture.image.size for picture in layout.pictures]
    cuts = dict(zip(layout.windows, windows, strict=True))
    lying = tuple(
        _lying(picture, cuts[picture.cuts], size)
        for picture, size in zip(layout.pictures, sizes, strict=True)
    )
    seen = tuple(_seen(plan.mount, picture, _sharing(picture, lying)) for picture in lying)
    return replace(plan, layout=on_board(layout.board, seen))


def cut_to(plan: Plan, backs: Sequence[Opening], images: Sequence[Size] | None = None) -> Plan:
    """Return the plan with these openings at the back of the innermost mat, one a window."""
    windows = [_followed(w, back) for w, back in zip(plan.layout.windows, backs, strict=True)]
    return cut_windows(plan, windows, images)


def with_opening(plan: Plan, number: int, back: Opening) -> Plan:
    """Return the plan with the window of this number, counted from 0, cut to another opening."""
    backs = innermost(plan)
    return cut_to(plan, [back if n == number else old for n, old in enumerate(backs)])


def innermost(plan: Plan) -> tuple[Opening, ...]:
    """Return the openings at the back of the mat that lies on the prints, one a window."""
    return tuple(window[-1].back for window in plan.layout.windows)


def has_windows(plan: Plan) -> bool:
    """Return whether there is anything to cut into a mat."""
    return bool(plan.layout.windows)


def bevelled(cut: Cut, back: Opening) -> Cut:
    """Return the same cut along another line at the back, its bevel as wide as before."""
    return Cut(back, back.grown((cut.face.size.width - cut.back.size.width) * HALF))


def between(inner: Opening, outer: Opening) -> Borders:
    """Return how far one edge line lies inside another; below nothing where it lies outside."""
    return Borders(
        top=inner.place.y - outer.place.y,
        right=outer.right - inner.right,
        bottom=outer.bottom - inner.bottom,
        left=inner.place.x - outer.place.x,
    )


def _followed(window: Window, back: Opening) -> Window:
    """A window whose innermost opening is another, the other mats as far outside it as before."""
    old = window[-1].back
    cuts = []
    for cut in window:
        by = between(old, cut.back)
        place = Place(back.place.x - by.left, back.place.y - by.top)
        width, height = back.size.width + by.left + by.right, back.size.height + by.top + by.bottom
        cuts.append(bevelled(cut, Opening(Size(width, height), place)))
    return tuple(cuts)


def _lying(picture: Picture, cuts: Window, size: Size) -> Picture:
    """A picture behind other cuts and in another size; what is seen of it is still the old."""
    old, new = picture.cuts[-1].limiting, cuts[-1].limiting
    image = picture.image
    x = new.place.x + _middle(image.place.x - old.place.x, image.size.width, size.width)
    y = new.place.y + _middle(image.place.y - old.place.y, image.size.height, size.height)
    x += (new.size.width - old.size.width) * HALF
    y += (new.size.height - old.size.height) * HALF
    lying = Opening(size, Place(x, y))
    edge = _edge(picture, lying) if picture.paper_edge else None
    return replace(picture, image=lying, cuts=cuts, paper_edge=edge)


def _middle(start: Length, before: Length, after: Length) -> Length:
    """Where a thing of another length begins so that its middle stays."""
    return start + (before - after) * HALF


def _edge(picture: Picture, image: Opening) -> Opening:
    """The edge of a print that is seen, with as much paper round the image as before."""
    assert picture.paper_edge is not None
    by = between(picture.image, picture.paper_edge)
    width, height = image.size.width + by.left + by.right, image.size.height + by.top + by.bottom
    return Opening(Size(width, height), Place(image.place.x - by.left, image.place.y - by.top))


def _sharing(picture: Picture, lying: Sequence[Picture]) -> Opening:
    """The image, or all images that lie in its window, as one."""
    return _union([other.image for other in lying if other.cuts == picture.cuts])


def _seen(mount: Mount, picture: Picture, images: Opening) -> Picture:
    """The picture with what is seen and hidden of it, where ``images`` fill its window."""
    limiting = picture.cuts[-1].limiting
    sight = _both(picture.image, limiting)
    nothing = Borders(ZERO, ZERO, ZERO, ZERO)
    if mount.window == WindowKind.OVERLAP:
        # What the mat hides on the side where it hides least; below nothing, paper shows there.
        lies = between(picture.image, limiting)
        hidden = -max(lies.top, lies.right, lies.bottom, lies.left)
        return replace(picture, sight=sight, hidden=hidden, seen_paper=nothing)
    if picture.paper_edge:
        paper = between(picture.image, picture.paper_edge)
        return replace(picture, sight=sight, hidden=ZERO, seen_paper=paper)
    paper = between(images, limiting)
    return replace(picture, sight=sight, hidden=max(-paper.least, ZERO), seen_paper=paper)


def _both(one: Opening, other: Opening) -> Opening:
    """What lies inside both of two edge lines."""
    x, y = max(one.place.x, other.place.x), max(one.place.y, other.place.y)
    right, bottom = min(one.right, other.right), min(one.bottom, other.bottom)
    return Opening(Size(max(right - x, ZERO), max(bottom - y, ZERO)), Place(x, y))


def _union(openings: Sequence[Opening]) -> Opening:
    """The rectangle round all of these edge lines."""
    x, y = min(o.place.x for o in openings), min(o.place.y for o in openings)
    right, bottom = max(o.right for o in openings), max(o.bottom for o in openings)
    return Opening(Size(right - x, bottom - y), Place(x, y))
