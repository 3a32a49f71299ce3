"""The board with all that lies on it, as values: openings, cuts, pictures, borders.

All of it is seen from the front, as hung. ``layout.py`` works the values out.
"""

import math
from dataclasses import dataclass

from proofs.lengths import ZERO, Borders, Length, Place, Size


@dataclass(frozen=True, slots=True)
class Opening:
    """A rectangle on a board, such as an edge line of a window: its size, and its top left."""

    size: Size
    place: Place

    @property
    def right(self) -> Length:
        """How far its right edge lies from the board's left."""
        return self.place.x + self.size.width

    @property
    def bottom(self) -> Length:
        """How far its lower edge lies from the board's top."""
        return self.place.y + self.size.height

    def grown(self, by: Length) -> "Opening":
        """Return the line ``by`` farther out on all four sides."""
        return Opening(self.size.grown(by), Place(self.place.x - by, self.place.y - by))


@dataclass(frozen=True, slots=True)
class Cut:
    """The cut edge of one mat: its line at the back of the mat, and at the face."""

    back: Opening
    face: Opening

    @property
    def limiting(self) -> Opening:
        """The line that limits the view."""
        return min(self.back, self.face, key=lambda edge: edge.size.width)


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture on the board: the whole image, the window over it, and what is seen.

    ``cuts`` holds the window's cut in each mat, the first mat's first; without a window it is
    empty. ``hidden`` is how far the mat covers the image on each side, ``seen_paper`` how much
    paper shows round the image. ``paper_edge`` is the edge of the print where that is seen, else
    None; ``paper_needed`` is the least paper that carries the image and all paper seen.
    """

    image: Opening
    cuts: tuple[Cut, ...]
    sight: Opening
    hidden: Length
    seen_paper: Borders
    paper_needed: Size
    paper_edge: Opening | None = None
    is_oval: bool = False

    @property
    def back(self) -> Opening | None:
        """The opening at the back of the mat that lies on the print; None without a window."""
        return self.cuts[-1].back if self.cuts else None

    @property
    def face(self) -> Opening | None:
        """The opening at the face of the first mat; None without a window."""
        return self.cuts[0].face if self.cuts else None

    @property
    def limiting(self) -> Opening | None:
        """The edge of the opening that limits the view; None without a window."""
        return self.cuts[-1].limiting if self.cuts else None

    @property
    def is_cut_off(self) -> bool:
        """Whether an edge of the window limits what is seen of the image."""
        return self.hidden > ZERO

    @property
    def print_seen(self) -> Opening:
        """What is seen of the print, paper included."""
        if self.paper_edge is not None:
            return self.paper_edge
        has_paper = self.seen_paper.least > ZERO
        return self.limiting if has_paper and self.limiting is not None else self.sight

    @property
    def sight_square_nm(self) -> int:
        """The visible area in square nanometres, that of an oval where the window is one."""
        area = self.sight.size.square_nm
        return round(area * math.pi / 4) if self.is_oval else area


@dataclass(frozen=True, slots=True)
class Layout:
    """The board with all pictures that lie on it.

    Borders and openings make up the board exactly, at the back (what the cutter is set to)
    and at the face (what a ruler on the table reads). With several pictures the borders are
    those outside all of them.
    """

    board: Size
    pictures: tuple[Picture, ...]
    borders_back: Borders
    borders_face: Borders

    @property
    def windows(self) -> tuple[tuple[Cut, ...], ...]:
        """The cuts of every window, one that pictures share once; none without a mat."""
        return tuple(dict.fromkeys(p.cuts for p in self.pictures if p.cuts))

    @property
    def has_common_window(self) -> bool:
        """Whether several pictures lie in one window, and so on one print."""
        return bool(self.windows) and len(self.windows) < len(self.pictures)
