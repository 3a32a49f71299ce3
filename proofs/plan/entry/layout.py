"""Where everything lies on the board, to the nanometre, as seen from the front, as hung.

All values of a mount are worked out here, once: the back and the face of every bevel are
there, and nothing else in the program computes a bevel again.
"""

from collections.abc import Sequence

from proofs.lengths import ZERO, Borders, Length, Place, Size, inches, total
from proofs.plan.entry.board import Cut, Layout, Opening, Picture
from proofs.records.arrangements import ROW, Rows
from proofs.records.mounts import BevelKind, Mount, WindowKind, WindowPlacing, WindowShape

_BOTTOM_WEIGHT = inches("1/2")  # common practice, no source: 1/4 to 1/2 in
_TRIM = inches("1/8")  # a print with its surround reaches so far beyond the board on each side
_INNER_TRIM = inches("1/8")  # an inner mat ends so far inside the first one on each side


def lay_out(mount: Mount, board: Size, *images: Size, rows: Rows | None = None) -> Layout:
    """Return the layout of one image, or of several, on a board of this size.

    ``rows`` says which of several images lie in which row; by default all in one. Nothing is
    refused here: an opening larger than its board gives borders below nothing, which the
    check then names.
    """
    lying = rows or ROW.rows(len(images))
    pictures = _in_one_window if mount.common and len(images) > 1 else _in_own_windows
    return on_board(board, pictures(mount, board, images, lying))


def on_board(board: Size, pictures: tuple[Picture, ...]) -> Layout:
    """Return pictures in their places on a board, with the borders outside all of them."""
    outer = [(p.cuts[0].back, p.cuts[0].face) if p.cuts else _bare(p) for p in pictures]
    return Layout(
        board=board,
        pictures=pictures,
        borders_back=_borders(board, [back for back, _ in outer]),
        borders_face=_borders(board, [face for _, face in outer]),
    )


def limiting_size(mount: Mount, image: Size) -> Size:
    """Return the size of the edge that limits the view of this image, or of the bare print."""
    if mount.window == WindowKind.REVEAL:
        height = image.height + mount.reveal + mount.reveal_bottom
        return Size(image.width + 2 * mount.reveal, height)
    if mount.window == WindowKind.FLOAT:
        return image.grown(mount.paper + mount.gap)
    size = image.grown(-mount.overlap)
    return Size(size.shortest, size.shortest) if mount.shape == WindowShape.ROUND else size


def outline_size(mount: Mount, image: Size) -> Size:
    """Return the size of the first mat's opening at its back, or of the bare print."""
    size = limiting_size(mount, image)
    if not mount.has_window:
        return size
    # From the limiting edge outwards: each mat's bevel, and what is seen of each inner mat.
    seen = total(mat.shows for mat in mount.inner)
    if mount.bevel == BevelKind.REVERSE:
        return size.grown(seen + mount.bevel_width)
    return size.grown(seen + total(mount.bevel_of(mat.thickness) for mat in mount.inner))


def bar_between(mount: Mount) -> Length:
    """Return how far two neighbours lie apart: at the back of the first mat, or on the board.

    The bar of the profile is what a ruler reads, at the face; at the back of an ordinary bevel
    it is twice the bevel wider.
    """
    if not mount.has_window or mount.common:
        return mount.bar
    sign = -1 if mount.bevel == BevelKind.REVERSE else 1
    return mount.bar + 2 * sign * mount.bevel_width


def inner_board(board: Size) -> Size:
    """Return the outer size of an inner mat: 1/4 in smaller, so that it shows at no edge.

    Common practice, no source.
    """
    return board.grown(-_INNER_TRIM)


def _in_own_windows(
    mount: Mount, board: Size, images: Sequence[Size], rows: Rows
) -> tuple[Picture, ...]:
    sizes = [outline_size(mount, image) for image in images]
    whole, places = _grid(sizes, rows, bar_between(mount))
    left_top = _opening_place(mount, board, whole)
    return tuple(
        _picture(mount, board, image, Opening(size, _moved(place, left_top)))
        for image, size, place in zip(images, sizes, places, strict=True)
    )


def _in_one_window(
    mount: Mount, board: Size, images: Sequence[Size], rows: Rows
) -> tuple[Picture, ...]:
    """All pictures in the window of one print, ``bar`` of its paper between them."""
    whole, places = _grid(images, rows, mount.bar)
    size = outline_size(mount, whole)
    one = _picture(mount, board, whole, Opening(size, _opening_place(mount, board, size)))
    lying = [
        Opening(image, _moved(place, one.image.place))
        for image, place in zip(images, places, strict=True)
    ]
    return tuple(
        Picture(image, one.cuts, image, ZERO, one.seen_paper, one.paper_needed) for image in lying
    )


def _grid(sizes: Sequence[Size], rows: Rows, bar: Length) -> tuple[Size, list[Place]]:
    """The size of all together, and the place of each in it: rows and columns on their middle."""
    widths = [total(sizes[n].width for n in row) + (len(row) - 1) * bar for row in rows]
    heights = [max(sizes[n].height for n in row) for row in rows]
    whole = Size(max(widths), total(heights) + (len(rows) - 1) * bar)
    places: dict[int, Place] = {}
    top = ZERO
    for row, width, height in zip(rows, widths, heights, strict=True):
        left = Length((whole.width - width).nm // 2)
        for n in row:
            places[n] = Place(left, top + Length((height - sizes[n].height).nm // 2))
            left += sizes[n].width + bar
        top += height + bar
    return whole, [places[n] for n in range(len(sizes))]


def _moved(place: Place, by: Place) -> Place:
    return Place(place.x + by.x, place.y + by.y)


def _picture(mount: Mount, board: Size, image: Size, outline: Opening) -> Picture:
    """One picture whose first mat is cut along ``outline`` at its back, or that ends there."""
    cuts = _cuts(mount, outline)
    limiting = cuts[-1].limiting if cuts else outline
    lying = Opening(image, _image_place(mount, image, limiting))
    nothing = Borders(ZERO, ZERO, ZERO, ZERO)
    if mount.window == WindowKind.OVERLAP:
        oval = mount.shape != WindowShape.RECTANGLE
        hidden = mount.overlap
        return Picture(lying, cuts, limiting, hidden, nothing, image, is_oval=oval)
    if mount.window == WindowKind.FLOAT:
        edge, margin = lying.grown(mount.paper), mount.paper
        seen = Borders(margin, margin, margin, margin)
        return Picture(lying, cuts, lying, ZERO, seen, edge.size, paper_edge=edge)
    if mount.window == WindowKind.SURROUND:
        return Picture(lying, (), lying, ZERO, nothing, board.grown(_TRIM))
    if mount.window == WindowKind.NONE:
        return Picture(lying, (), lying, ZERO, nothing, image)
    paper = Borders(mount.reveal, mount.reveal, mount.reveal_bottom, mount.reveal)
    return Picture(lying, cuts, lying, ZERO, paper, cuts[-1].back.size.grown(mount.hold))


def _cuts(mount: Mount, outline: Opening) -> tuple[Cut, ...]:
    if not mount.has_window:
        return ()
    sign = -1 if mount.bevel == BevelKind.REVERSE else 1
    cuts = [Cut(outline, outline.grown(sign * mount.bevel_width))]
    for mat in mount.inner:
        face = cuts[-1].limiting.grown(-mat.shows)
        cuts.append(Cut(face.grown(-sign * mount.bevel_of(mat.thickness)), face))
    return tuple(cuts)


def _image_place(mount: Mount, image: Size, limiting: Opening) -> Place:
    """Where an image lies behind its window: on the middle, but for a reveal that differs."""
    if mount.window == WindowKind.REVEAL:
        return Place(limiting.place.x + mount.reveal, limiting.place.y + mount.reveal)
    spare_width, spare_height = (
        limiting.size.width - image.width,
        limiting.size.height - image.height,
    )
    across, down = Length(spare_width.nm // 2), Length(spare_height.nm // 2)
    return Place(limiting.place.x + across, limiting.place.y + down)


def _opening_place(mount: Mount, board: Size, opening: Size) -> Place:
    spare_width, spare_height = board.width - opening.width, board.height - opening.height
    left = Length(spare_width.nm // 2)
    if mount.placing == WindowPlacing.BOTTOM_WEIGHTED:
        return Place(left, Length((spare_height - _BOTTOM_WEIGHT).nm // 2))
    if mount.placing == WindowPlacing.OPTICAL_CENTRE:
        # The corner-line construction of the teaching page mmresourcecenter.org/matting.html,
        # in algebra: T = (H - h)(W + w) / 4W.
        across = board.width.nm + opening.width.nm
        return Place(left, Length(spare_height.nm * across // (4 * board.width.nm)))
    return Place(left, Length(spare_height.nm // 2))


def _bare(picture: Picture) -> tuple[Opening, Opening]:
    """The edge of a print without a window, which is the same at the back and at the face."""
    edge = picture.paper_edge or picture.image
    return edge, edge


def _borders(board: Size, openings: Sequence[Opening]) -> Borders:
    """The board outside all of these openings."""
    return Borders(
        top=min(opening.place.y for opening in openings),
        right=board.width - max(opening.right for opening in openings),
        bottom=board.height - max(opening.bottom for opening in openings),
        left=min(opening.place.x for opening in openings),
    )
