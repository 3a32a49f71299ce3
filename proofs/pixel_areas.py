"""Rectangles in whole pixels, and lengths on paper as whole pixels."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import NM_PER_INCH, Length, PixelSize, Size, half_up


def pixels(length: Length, ppi: int) -> int:
    """Return a length in pixels, half up.

    >>> from proofs.lengths import inches
    >>> pixels(inches(4), 300)
    1200
    """
    return half_up(Fraction(length.nm * ppi, NM_PER_INCH))


def pixels_at_least(length: Length, ppi: int) -> int:
    """Return the fewest pixels that are no shorter than a length.

    >>> from proofs.lengths import inches
    >>> pixels_at_least(inches("1/4"), 301)
    76
    """
    return -pixels_at_most(-length, ppi)


def pixels_at_most(length: Length, ppi: int) -> int:
    """Return the most pixels that are no longer than a length.

    >>> from proofs.lengths import inches
    >>> pixels_at_most(inches("1/4"), 301), pixels_at_most(inches("-1/4"), 301)
    (75, -76)
    """
    return length.nm * ppi // NM_PER_INCH


def size_in_pixels(size: Size, ppi: int) -> PixelSize:
    """Return a size on paper in pixels, each side half up and at least 1."""
    return PixelSize(max(1, pixels(size.width, ppi)), max(1, pixels(size.height, ppi)))


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle in pixels, from the top left of the sheet or of the picture."""

    left: int
    top: int
    width: int
    height: int

    @classmethod
    def of(cls, size: PixelSize, left: int = 0, top: int = 0) -> "Area":
        """Return the area of this size; by default it starts at the top left."""
        return cls(left, top, size.width, size.height)

    @classmethod
    def between(cls, left: int, top: int, right: int, bottom: int) -> "Area":
        """Return the area between four edges; ``right`` and ``bottom`` are just outside."""
        return cls(left, top, right - left, bottom - top)

    @classmethod
    def around(cls, areas: Iterable["Area"]) -> "Area":
        """Return the smallest area that holds all of these."""
        held = list(areas)
        return cls.between(
            min(area.left for area in held),
            min(area.top for area in held),
            max(area.right for area in held),
            max(area.bottom for area in held),
        )

    @property
    def right(self) -> int:
        """The first column to the right of it."""
        return self.left + self.width

    @property
    def bottom(self) -> int:
        """The first row below it."""
        return self.top + self.height

    @property
    def size(self) -> PixelSize:
        """Its width and height. Raises ``ValueError`` if it has no area."""
        return PixelSize(self.width, self.height)

    def grown(self, by: int) -> "Area":
        """Return the area with ``by`` pixels added on all four sides; a negative number shrinks it.

        Its width and height do not fall below 0.
        """
        width, height = max(0, self.width + 2 * by), max(0, self.height + 2 * by)
        return Area(self.left - by, self.top - by, width, height)

    def centred(self, size: PixelSize) -> "Area":
        """Return an area of this size with the same centre; an odd pixel goes right and below."""
        left = self.left + (self.width - size.width) // 2
        return Area.of(size, left, self.top + (self.height - size.height) // 2)

    def shared(self, other: "Area") -> "Area":
        """Return what two areas share; it has no width or no height if they share nothing."""
        left, top = max(self.left, other.left), max(self.top, other.top)
        right, bottom = min(self.right, other.right), min(self.bottom, other.bottom)
        return Area.between(left, top, max(left, right), max(top, bottom))

    def holds(self, other: "Area") -> bool:
        """Return whether another area lies inside this one."""
        return self.shared(other) == other

    def touches(self, other: "Area") -> bool:
        """Return whether the two have a pixel in common."""
        both = self.shared(other)
        return bool(both.width and both.height)
