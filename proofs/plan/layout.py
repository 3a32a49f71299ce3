"""Where everything lies on the board, to the nanometre, as seen from the front, as hung.

All values of a mount are worked out here, once: the back and the face of the bevel are both
there, and nothing else in the program computes a bevel again.
"""

from dataclasses import dataclass

from proofs.lengths import ZERO, Borders, Length, Place, Size, inches
from proofs.records.mounts import Mount

_BOTTOM_WEIGHT = inches("1/2")  # common practice, no source: 1/4 to 1/2 in


@dataclass(frozen=True, slots=True)
class Opening:
    """One edge line of a window: its size, and its top left on the board."""

    size: Size
    place: Place

    def grown(self, by: Length) -> "Opening":
        """Return the line ``by`` farther out on all four sides."""
        return Opening(self.size.grown(by), Place(self.place.x - by, self.place.y - by))


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture on the board: the whole image, the window over it, and what is seen.

    ``back`` and ``face`` are the opening at the back and at the face of the mat; without a
    window both are None. ``hidden`` is how far the mat covers the image on each side, and
    ``seen_paper`` how much paper shows between the image and the opening.
    """

    image: Opening
    back: Opening | None
    face: Opening | None
    sight: Opening
    hidden: Length
    seen_paper: Borders

    @property
    def limiting(self) -> Opening | None:
        """The edge of the opening that limits the view; None without a window."""
        if self.back is None or self.face is None:
            return None
        return min(self.back, self.face, key=lambda edge: edge.size.width)

    @property
    def is_cut_off(self) -> bool:
        """Whether an edge of the window limits what is seen of the image."""
        return self.hidden > ZERO


@dataclass(frozen=True, slots=True)
class Layout:
    """The board with all that lies on it; ``sheet`` is None where no stock sheet is large enough.

    Borders and openings make up the board exactly, at the back (what the cutter is set to)
    and at the face (what a ruler on the table reads).
    """

    board: Size
    pictures: tuple[Picture, ...]
    borders_back: Borders
    borders_face: Borders
    paper_needed: Size
    sheet: Size | None = None


def lay_out(mount: Mount, board: Size, image: Size) -> Layout:
    """Return the layout of one image on a board of this size.

    Nothing is refused here: an opening larger than its board gives borders below nothing,
    which the check then names.
    """
    limiting = limiting_size(mount, image)
    width = mount.bevel_width
    back_size = limiting.grown(width) if mount.bevel == "reverse" else limiting
    back = Opening(back_size, _opening_place(mount, board, back_size))
    face = back.grown(-width if mount.bevel == "reverse" else width)
    picture = _picture(mount, image, back, face)
    return Layout(
        board=board,
        pictures=(picture,),
        borders_back=_borders(board, back),
        borders_face=_borders(board, face),
        paper_needed=_paper_needed(mount, picture),
    )


def limiting_size(mount: Mount, image: Size) -> Size:
    """Return the size of the opening's limiting edge that suits this image."""
    if mount.window == "reveal":
        height = image.height + mount.reveal + mount.reveal_bottom
        return Size(image.width + 2 * mount.reveal, height)
    return image.grown(-mount.overlap)


def _picture(mount: Mount, image: Size, back: Opening, face: Opening) -> Picture:
    nothing = Borders(ZERO, ZERO, ZERO, ZERO)
    if not mount.has_window:
        return Picture(back, None, None, back, ZERO, nothing)
    limiting = face if mount.bevel == "reverse" else back
    x, y = limiting.place.x, limiting.place.y
    if mount.window == "overlap":
        lying = Opening(image, Place(x - mount.overlap, y - mount.overlap))
        return Picture(lying, back, face, limiting, mount.overlap, nothing)
    lying = Opening(image, Place(x + mount.reveal, y + mount.reveal))
    paper = Borders(mount.reveal, mount.reveal, mount.reveal_bottom, mount.reveal)
    return Picture(lying, back, face, lying, ZERO, paper)


def _opening_place(mount: Mount, board: Size, opening: Size) -> Place:
    spare_width, spare_height = board.width - opening.width, board.height - opening.height
    left = Length(spare_width.nm // 2)
    if mount.placing == "bottom-weighted":
        return Place(left, Length((spare_height - _BOTTOM_WEIGHT).nm // 2))
    if mount.placing == "optical-centre":
        # The corner-line construction of the teaching page mmresourcecenter.org/matting.html,
        # in algebra: T = (H - h)(W + w) / 4W.
        across = board.width.nm + opening.width.nm
        return Place(left, Length(spare_height.nm * across // (4 * board.width.nm)))
    return Place(left, Length(spare_height.nm // 2))


def _borders(board: Size, opening: Opening) -> Borders:
    place, size = opening.place, opening.size
    right = board.width - size.width - place.x
    bottom = board.height - size.height - place.y
    return Borders(top=place.y, right=right, bottom=bottom, left=place.x)


def _paper_needed(mount: Mount, picture: Picture) -> Size:
    """The image alone, or where paper is seen, enough of it to lie behind the mat as well."""
    if mount.window == "reveal" and picture.back is not None:
        return picture.back.size.grown(mount.hold)
    return picture.image.size
