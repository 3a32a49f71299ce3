"""The red pencil: how what is wrong is drawn over a mount, in an ink that shows on its board."""

from dataclasses import dataclass

from proofs.lengths import Length
from proofs.pages.drawing import Line, Mark, Text, frame, rectangle
from proofs.pages.proof_sheet.mount import Corners, corners
from proofs.pages.typography import ACCENT, SEMIBOLD, Setter, Style
from proofs.plan.entry.mockup import Colour, front_colour, is_dark, seen
from proofs.plan.entry.planning import Plan

SIZE = 5.6  # of its writing, in points
_LINE = 0.6
_ON_DARK: Colour = (228, 132, 108)  # the accent, light enough to be read on a black mat
_TINT: Colour = (238, 205, 196)
_DARK_TINT: Colour = (92, 54, 46)


@dataclass(frozen=True, slots=True)
class Pencil:
    """Draws over the mount of ``plan``, which is shown ``scale`` times smaller."""

    setter: Setter
    plan: Plan
    scale: int

    @property
    def ink(self) -> Colour:
        """The colour of its lines and words."""
        return _ON_DARK if is_dark(front_colour(self.plan)) else ACCENT

    @property
    def tint(self) -> Colour:
        """The colour of areas it marks."""
        return _DARK_TINT if is_dark(front_colour(self.plan)) else _TINT

    @property
    def board(self) -> tuple[float, float]:
        """Width and height of the board, as drawn."""
        size = self.plan.layout.board
        return self.drawn(size.width), self.drawn(size.height)

    @property
    def sights(self) -> tuple[Corners, ...]:
        """What is seen of each picture, as drawn."""
        layout = self.plan.layout
        return tuple(corners(seen(layout, n), self.scale) for n in range(len(layout.pictures)))

    @property
    def face(self) -> Corners:
        """All openings at the face together, or without one the prints, as drawn."""
        layout = self.plan.layout
        borders, board = layout.borders_face, layout.board
        right, bottom = board.width - borders.right, board.height - borders.bottom
        left, top = self.drawn(borders.left), self.drawn(borders.top)
        return left, top, self.drawn(right), self.drawn(bottom)

    def drawn(self, length: Length) -> float:
        """Return how long a length is on the page."""
        return length.points / self.scale

    def line(
        self, start: tuple[float, float], end: tuple[float, float], dash: tuple[float, ...] = ()
    ) -> Line:
        """Return a line."""
        return Line(start, end, _LINE, self.ink, dash)

    def outline(self, box: Corners) -> tuple[Mark, ...]:
        """Return the outline of a box."""
        left, top, right, bottom = box
        return frame(left, top, right - left, bottom - top, line=_LINE * 1.5, colour=self.ink)

    def area(self, box: Corners) -> tuple[Mark, ...]:
        """Return a tinted area; none where the box has no area."""
        left, top, right, bottom = box
        if right <= left or bottom <= top:
            return ()
        return (rectangle(left, top, right - left, bottom - top, self.tint),)

    def fitted(self, words: str, room: float) -> tuple[str, float]:
        """Return words and their width; without centimetres, which the text holds, if too wide."""
        style = Style(SEMIBOLD, SIZE)
        if self.setter.wide(words, style) > room:
            words = words.partition(" (")[0]
        return words, self.setter.wide(words, style)

    def words(self, words: str, place: tuple[float, float], angle: int = 0) -> Text:
        """Return words written at a place."""
        return Text(*place, words, SEMIBOLD, SIZE, self.ink, angle)
