"""Where everything is on the board, to the nanometre, as seen from the front, as hung.

All values of a mount are worked out here, once, with the back and the face of each bevel. No
other module works out a bevel.
"""

from collections.abc import Sequence

from proofs.lengths import NO_BORDERS, ZERO, Borders, Length, Place, Size, inches, total
from proofs.plan.entry.board import Cut, GivenOpening, Layout, Opening, Picture
from proofs.records.arrangements import IN_A_ROW, Rows
from proofs.records.mounts import (
    GIVES_OPENINGS,
    BevelKind,
    Mount,
    WindowKind,
    WindowPlacing,
    WindowShape,
)
from proofs.records.size_and_crop import CropPlace

_BOTTOM_WEIGHT = inches("1/2")  # common practice, no source: 1/4 to 1/2 in
_TRIM = inches("1/8")  # how far a print with its surround reaches beyond the board on each side
_INNER_TRIM = inches("1/8")  # from the edge of the top mat to that of one below; common practice

Openings = Sequence[GivenOpening | None]
_Framed = tuple[Size, GivenOpening | None]  # an image, and the opening that is given for it


def lay_out(
    mount: Mount,
    board: Size,
    *images: Size,
    rows: Rows | None = None,
    openings: Openings = (),
) -> Layout:
    """Return the layout of one image, or of several, on a board of this size.

    ``rows`` states which of several images lie in which row; by default all lie in one.
    ``openings`` holds the opening of each image that has a given one, None for the others; the
    pictures of a common window all have the same. Nothing is refused here: an opening larger than
    its board gives negative borders, which the check reports.
    """
    lying = rows or IN_A_ROW.rows(len(images))
    pictures = _in_one_window if mount.common and len(images) > 1 else _in_own_windows
    given = tuple(openings) or (None,) * len(images)
    return on_board(board, pictures(mount, board, [*zip(images, given, strict=True)], lying))


def on_board(board: Size, pictures: tuple[Picture, ...]) -> Layout:
    """Return the layout of pictures in their places, with the borders outside all of them."""
    whole = Opening(board)
    backs = [p.cuts[0].back if p.cuts else p.outline for p in pictures]
    faces = [p.face or p.outline for p in pictures]
    return Layout(
        board=board,
        pictures=pictures,
        borders_back=Opening.around(backs).borders_in(whole),
        borders_face=Opening.around(faces).borders_in(whole),
    )


def limiting_size(mount: Mount, image: Size, given: GivenOpening | None = None) -> Size:
    """Return the size of the edge that limits the view of an image, or of the bare print.

    A given opening decides it, whatever the image.
    """
    if given is not None:
        return given.size.grown(-_inside_top(mount))
    if mount.window == WindowKind.REVEAL:
        height = image.height + mount.reveal + mount.reveal_bottom
        return Size(image.width + 2 * mount.reveal, height)
    if mount.window == WindowKind.FLOAT:
        return image.grown(mount.paper + mount.gap)
    size = image.grown(-mount.overlap)
    return Size(size.shortest, size.shortest) if mount.shape == WindowShape.ROUND else size


def outline_size(mount: Mount, image: Size, given: GivenOpening | None = None) -> Size:
    """Return the size of the top mat's opening at its back, or of the bare print."""
    size = limiting_size(mount, image, given)
    if not mount.has_window:
        return size
    top = size.grown(_inside_top(mount))
    return top.grown(mount.bevel_width) if mount.bevel == BevelKind.REVERSE else top


def paper_round(mount: Mount) -> Borders:
    """Return the paper that the mount shows on each side of an image behind a window.

    It is below zero where the mat hides its overlap of the image instead.
    """
    side, below = (mount.reveal, mount.reveal_bottom)
    if mount.window == WindowKind.OVERLAP:
        side = below = -mount.overlap
    return Borders(side, side, below, side)


def behind(
    mount: Mount, image: Size, limiting: Opening, given: GivenOpening | None = None
) -> Opening:
    """Return an image where it lies behind the edge that limits its view, or on the board.

    It lies in the middle, unless the paper below it differs from the rest. Of an image that is
    larger than a given opening needs, the mat hides the part opposite to the one to show.
    """
    if mount.window not in GIVES_OPENINGS:
        return limiting.centred(image)
    room = limiting.inside(paper_round(mount))
    lying, shows = room.centred(image), given.shows if given else CropPlace.CENTRE
    across = {
        CropPlace.LEFT: max(room.left - lying.left, ZERO),
        CropPlace.RIGHT: min(room.right - lying.right, ZERO),
    }
    down = {
        CropPlace.TOP: max(room.top - lying.top, ZERO),
        CropPlace.BOTTOM: min(room.bottom - lying.bottom, ZERO),
    }
    return lying.shifted(across.get(shows, ZERO), down.get(shows, ZERO))


def bar_between(mount: Mount) -> Length:
    """Return the distance between two neighbours: at the back of the top mat, or on the board.

    The profile states the bar at the face, where a ruler measures; at the back of an ordinary
    bevel the bar is wider by twice the bevel.
    """
    if not mount.has_window or mount.common:
        return mount.bar
    sign = -1 if mount.bevel == BevelKind.REVERSE else 1
    return mount.bar + 2 * sign * mount.bevel_width


def mat_board(board: Size, number: int) -> Opening:
    """Return a mat's own board: its outer size, and where it lies on the board of the mount.

    The top mat, number 0, is as large as the mount's board; those below it are smaller, so that
    they show at no edge.
    """
    return Opening(board).grown(-_INNER_TRIM if number else ZERO)


def _inside_top(mount: Mount) -> Length:
    """How far the edge that limits the view lies inside that of the top mat, on each side.

    That is each inner mat's bevel, and what shows of each.
    """
    seen = total(mat.shows for mat in mount.inner)
    if mount.bevel == BevelKind.REVERSE:
        return seen
    return seen + total(mount.bevel_of(mat.thickness) for mat in mount.inner)


def _in_own_windows(
    mount: Mount, board: Size, images: Sequence[_Framed], rows: Rows
) -> tuple[Picture, ...]:
    sizes = [outline_size(mount, *framed) for framed in images]
    whole, places = _grid(sizes, rows, bar_between(mount))
    group = _on_board(mount, board, whole)
    return tuple(
        _picture(mount, board, framed, Opening(size, place).shifted(group.left, group.top))
        for framed, size, place in zip(images, sizes, places, strict=True)
    )


def _in_one_window(
    mount: Mount, board: Size, images: Sequence[_Framed], rows: Rows
) -> tuple[Picture, ...]:
    """All pictures in one window on one print, with ``bar`` of its paper between them."""
    whole, places = _grid([image for image, _ in images], rows, mount.bar)
    framed = whole, images[0][1]
    one = _picture(mount, board, framed, _on_board(mount, board, outline_size(mount, *framed)))
    lying = [
        Opening(image, place).shifted(one.image.left, one.image.top)
        for (image, _), place in zip(images, places, strict=True)
    ]
    return tuple(
        Picture(image, one.cuts, image, NO_BORDERS, one.seen_paper, one.paper_needed)
        for image in lying
    )


def _grid(sizes: Sequence[Size], rows: Rows, bar: Length) -> tuple[Size, list[Place]]:
    """The size of all together, and the place of each in it; rows are centred one below another."""
    widths = [total(sizes[n].width for n in row) + (len(row) - 1) * bar for row in rows]
    heights = [max(sizes[n].height for n in row) for row in rows]
    whole = Size(max(widths), total(heights) + (len(rows) - 1) * bar)
    places: dict[int, Place] = {}
    top = ZERO
    for row, width, height in zip(rows, widths, heights, strict=True):
        left = (whole.width - width) // 2
        for n in row:
            places[n] = Place(left, top + (height - sizes[n].height) // 2)
            left += sizes[n].width + bar
        top += height + bar
    return whole, [places[n] for n in range(len(sizes))]


def _picture(mount: Mount, board: Size, framed: _Framed, outline: Opening) -> Picture:
    """A picture; ``outline`` is the top mat's opening at its back, or the edge of the print."""
    cuts, (image, given) = _cuts(mount, outline), framed
    limiting = cuts[-1].limiting if cuts else outline
    lying = behind(mount, image, limiting, given)
    if mount.window == WindowKind.OVERLAP:
        oval = mount.shape != WindowShape.RECTANGLE
        hidden = limiting.borders_in(lying)
        return Picture(lying, cuts, limiting, hidden, NO_BORDERS, image, is_oval=oval)
    if mount.window == WindowKind.FLOAT:
        edge, margin = lying.grown(mount.paper), mount.paper
        seen = Borders(margin, margin, margin, margin)
        return Picture(lying, cuts, lying, NO_BORDERS, seen, edge.size, paper_edge=edge)
    if mount.window == WindowKind.SURROUND:
        return Picture(lying, (), lying, NO_BORDERS, NO_BORDERS, board.grown(_TRIM))
    if mount.window == WindowKind.NONE:
        return Picture(lying, (), lying, NO_BORDERS, NO_BORDERS, image)
    paper, sheet = lying.borders_in(limiting), _sheet_behind(lying, cuts[-1].back, mount.hold)
    return Picture(lying, cuts, lying, NO_BORDERS, paper, sheet)


def _sheet_behind(image: Opening, back: Opening, hold: Length) -> Size:
    """The sheet that reaches so far behind the mat on all sides, with the image in its middle."""
    paper = image.borders_in(back)
    across = max(paper.left, paper.right) + hold
    down = max(paper.top, paper.bottom) + hold
    return Size(image.size.width + 2 * across, image.size.height + 2 * down)


def _cuts(mount: Mount, outline: Opening) -> tuple[Cut, ...]:
    if not mount.has_window:
        return ()
    sign = -1 if mount.bevel == BevelKind.REVERSE else 1
    cuts = [Cut(outline, outline.grown(sign * mount.bevel_width))]
    for mat in mount.inner:
        face = cuts[-1].limiting.grown(-mat.shows)
        cuts.append(Cut(face.grown(-sign * mount.bevel_of(mat.thickness)), face))
    return tuple(cuts)


def _on_board(mount: Mount, board: Size, opening: Size) -> Opening:
    """An opening, or a group of them, where the mount places it on its board."""
    centred, spare = Opening(board).centred(opening), board.height - opening.height
    if mount.placing == WindowPlacing.BOTTOM_WEIGHTED:
        return Opening(opening, Place(centred.left, (spare - _BOTTOM_WEIGHT) // 2))
    if mount.placing == WindowPlacing.OPTICAL_CENTRE:
        # The corner-line construction of the teaching page mmresourcecenter.org/matting.html,
        # in algebra: T = (H - h)(W + w) / 4W.
        across = board.width.nm + opening.width.nm
        top = Length(spare.nm * across // (4 * board.width.nm))
        return Opening(opening, Place(centred.left, top))
    return centred
