"""The board and everything on it, as values: openings, cuts, pictures and borders.

Everything is seen from the front, as hung. ``layout.py`` works the values out.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import ZERO, Borders, Length, Place, Size
from proofs.records.size_and_crop import CropPlace

_HALF = Fraction(1, 2)
_TOP_LEFT = Place(ZERO, ZERO)


@dataclass(frozen=True, slots=True)
class Opening:
    """A rectangle on a board, such as the edge of a window or an image: its size and its top left.

    Without a place it is the board itself, or a part of it from the top left.
    """

    size: Size
    place: Place = _TOP_LEFT

    @classmethod
    def around(cls, openings: Iterable["Opening"]) -> "Opening":
        """Return the smallest rectangle that holds all of these."""
        held = list(openings)
        left, top = min(o.left for o in held), min(o.top for o in held)
        right, bottom = max(o.right for o in held), max(o.bottom for o in held)
        return cls(Size(right - left, bottom - top), Place(left, top))

    @property
    def left(self) -> Length:
        """The distance of its left edge from the board's left."""
        return self.place.x

    @property
    def top(self) -> Length:
        """The distance of its upper edge from the board's top."""
        return self.place.y

    @property
    def right(self) -> Length:
        """The distance of its right edge from the board's left."""
        return self.place.x + self.size.width

    @property
    def bottom(self) -> Length:
        """The distance of its lower edge from the board's top."""
        return self.place.y + self.size.height

    def grown(self, by: Length) -> "Opening":
        """Return the rectangle ``by`` larger on all four sides."""
        return Opening(self.size.grown(by), Place(self.left - by, self.top - by))

    def bordered(self, borders: Borders) -> "Opening":
        """Return the rectangle that leaves these borders round this one."""
        width = self.size.width + borders.left + borders.right
        height = self.size.height + borders.top + borders.bottom
        return Opening(Size(width, height), Place(self.left - borders.left, self.top - borders.top))

    def inside(self, borders: Borders) -> "Opening":
        """Return the rectangle that lies inside this one, with these borders round it."""
        width = self.size.width - borders.left - borders.right
        height = self.size.height - borders.top - borders.bottom
        return Opening(Size(width, height), Place(self.left + borders.left, self.top + borders.top))

    def borders_in(self, outer: "Opening") -> Borders:
        """Return the borders from an outer rectangle to this one; negative where it is outside."""
        return Borders(
            top=self.top - outer.top,
            right=outer.right - self.right,
            bottom=outer.bottom - self.bottom,
            left=self.left - outer.left,
        )

    def shifted(self, across: Length, down: Length) -> "Opening":
        """Return the same rectangle farther right and farther down."""
        return Opening(self.size, Place(self.left + across, self.top + down))

    def counted_from(self, other: "Opening") -> "Opening":
        """Return the same rectangle with its place counted from the top left of another."""
        return self.shifted(-other.left, -other.top)

    def centred(self, size: Size) -> "Opening":
        """Return a rectangle of this size with the same centre."""
        across, down = self.size.width - size.width, self.size.height - size.height
        return Opening(size, Place(self.left + across // 2, self.top + down // 2))

    def shared(self, other: "Opening") -> "Opening":
        """Return the part inside both; it has no width or no height if they do not overlap."""
        left, top = max(self.left, other.left), max(self.top, other.top)
        right, bottom = min(self.right, other.right), min(self.bottom, other.bottom)
        return Opening(Size(max(right - left, ZERO), max(bottom - top, ZERO)), Place(left, top))

    def holds(self, place: Place, reach: Length) -> bool:
        """Return whether everything within ``reach`` of a place is inside."""
        inner = self.grown(-reach)
        return inner.left <= place.x <= inner.right and inner.top <= place.y <= inner.bottom

    def within(self, board: Size) -> "Opening":
        """Return the part that lies on the board."""
        return self.shared(Opening(board))

    def mirrored(self, board: Size) -> "Opening":
        """Return the same rectangle when the board is seen from behind."""
        return Opening(self.size, Place(board.width - self.right, self.top))


@dataclass(frozen=True, slots=True)
class GivenOpening:
    """The opening of a top mat that exists, as it hangs, and the part of the picture to show in it.

    ``size`` is the edge that limits the view through that mat: the back of an ordinary bevel, the
    face of a reverse one.
    """

    size: Size
    shows: CropPlace = CropPlace.CENTRE


@dataclass(frozen=True, slots=True)
class Cut:
    """The cut edge of one mat: its line at the back of the mat, and the one at the face."""

    back: Opening
    face: Opening

    @property
    def limiting(self) -> Opening:
        """The line that limits the view."""
        return min(self.back, self.face, key=lambda edge: edge.size.width)

    def moved_to(self, back: Opening) -> "Cut":
        """Return the same cut along another line at the back, its bevel as wide as before."""
        return Cut(back, back.grown((self.face.size.width - self.back.size.width) * _HALF))


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture on the board: the whole image, the window over it, and what is visible.

    ``cuts`` holds the window's cut in each mat, that of the top mat first; without a window it is
    empty. ``hidden`` is how much of the image the mat covers on each side, below zero where paper
    shows instead; ``seen_paper`` is how much paper is visible round the image. ``paper_edge`` is
    the edge of the print if it is visible, otherwise None; ``paper_needed`` is the least paper for
    the image and all visible paper. A print to the edge reaches up to ``untrimmed`` beyond its
    image if the lab trims less than it may.
    """

    image: Opening
    cuts: tuple[Cut, ...]
    sight: Opening
    hidden: Borders
    seen_paper: Borders
    paper_needed: Size
    paper_edge: Opening | None = None
    is_oval: bool = False
    untrimmed: Length = ZERO

    @property
    def back(self) -> Opening | None:
        """The opening at the back of the mat that lies on the print; None without a window."""
        return self.cuts[-1].back if self.cuts else None

    @property
    def face(self) -> Opening | None:
        """The opening at the face of the top mat; None without a window."""
        return self.cuts[0].face if self.cuts else None

    @property
    def limiting(self) -> Opening | None:
        """The edge of the opening that limits the view; None without a window."""
        return self.cuts[-1].limiting if self.cuts else None

    @property
    def is_cut_off(self) -> bool:
        """Whether an edge of the window limits what is visible of the image."""
        hidden = self.hidden
        most = max(hidden.top, hidden.right, hidden.bottom, hidden.left)
        return hidden.least >= ZERO and most > ZERO

    @property
    def outline(self) -> Opening:
        """The edge of the print if it is visible, otherwise that of the image."""
        return self.paper_edge or self.image

    @property
    def print_seen(self) -> Opening:
        """What is visible of the print, paper included."""
        if self.paper_edge is not None:
            return self.paper_edge
        has_paper = self.seen_paper.least > ZERO
        return self.limiting if has_paper and self.limiting is not None else self.sight


@dataclass(frozen=True, slots=True)
class Layout:
    """The board with all of its pictures.

    Borders and openings add up to the board exactly, at the back (where the cutter is set) and
    at the face (where a ruler measures). With several pictures the borders are those outside all
    of them.
    """

    board: Size
    pictures: tuple[Picture, ...]
    borders_back: Borders
    borders_face: Borders

    @property
    def windows(self) -> tuple[tuple[Cut, ...], ...]:
        """The cuts of each window, a shared window once; none without a mat."""
        return tuple(dict.fromkeys(p.cuts for p in self.pictures if p.cuts))

    @property
    def has_common_window(self) -> bool:
        """Whether several pictures share one window, and so one print."""
        return bool(self.windows) and len(self.windows) < len(self.pictures)
