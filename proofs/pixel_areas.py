"""Rectangles in whole pixels."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle in pixels, from the top left of the sheet."""

    left: int
    top: int
    width: int
    height: int

    @property
    def right(self) -> int:
        """The first column that is no longer inside."""
        return self.left + self.width

    @property
    def bottom(self) -> int:
        """The first row that is no longer inside."""
        return self.top + self.height

    def holds(self, other: "Area") -> bool:
        """Return whether another rectangle lies inside this one."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and other.right <= self.right
            and other.bottom <= self.bottom
        )

    def touches(self, other: "Area") -> bool:
        """Return whether the two have a pixel in common."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )
