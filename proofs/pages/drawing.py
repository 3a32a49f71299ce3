"""The marks on a page, as values: texts, lines, shapes and pictures.

All places and sizes are in points of 1/72 in, from the top left of the page (or of the block
they belong to), y running down. A text's place is on its baseline.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from proofs.plan.entry.mockup import Box, Colour

Point = tuple[float, float]
Corners = tuple[float, float, float, float]
"""Left, top, right and bottom of a rectangle."""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; ``angle`` turns it anticlockwise round its place, in degrees."""

    x: float
    y: float
    text: str
    weight: str
    size: float
    colour: Colour
    angle: int = 0

    def moved(self, right: float, down: float) -> "Text":
        """Return the same text elsewhere."""
        x, y = self.x + right, self.y + down  # by hand: pages move marks by the thousand
        return Text(x, y, self.text, self.weight, self.size, self.colour, self.angle)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line; ``dash`` holds the lengths of a dash and of a gap, or nothing."""

    start: Point
    end: Point
    width: float
    colour: Colour
    dash: tuple[float, ...] = ()

    def moved(self, right: float, down: float) -> "Line":
        """Return the same line elsewhere."""
        (x, y), (to_x, to_y) = self.start, self.end
        start, end = (x + right, y + down), (to_x + right, to_y + down)
        return Line(start, end, self.width, self.colour, self.dash)


@dataclass(frozen=True, slots=True)
class Shape:
    """A filled polygon."""

    points: tuple[Point, ...]
    fill: Colour

    def moved(self, right: float, down: float) -> "Shape":
        """Return the same shape elsewhere."""
        return Shape(tuple((x + right, y + down) for x, y in self.points), self.fill)


@dataclass(frozen=True, slots=True)
class Placed:
    """A picture: the part ``crop``, in pixels, of the mock-up ``name``, filling this place."""

    name: str
    x: float
    y: float
    width: float
    height: float
    crop: Box

    def moved(self, right: float, down: float) -> "Placed":
        """Return the same picture elsewhere."""
        return replace(self, x=self.x + right, y=self.y + down)


@dataclass(frozen=True, slots=True)
class Link:
    """A place that leads to the anchor ``target`` of the same document."""

    x: float
    y: float
    width: float
    height: float
    target: str

    def moved(self, right: float, down: float) -> "Link":
        """Return the same link elsewhere."""
        return replace(self, x=self.x + right, y=self.y + down)


@dataclass(frozen=True, slots=True)
class Anchor:
    """A place that links lead to, by its ``name``; ``title`` is its bookmark."""

    x: float
    y: float
    name: str
    title: str

    def moved(self, right: float, down: float) -> "Anchor":
        """Return the same anchor elsewhere."""
        return replace(self, x=self.x + right, y=self.y + down)


Mark: TypeAlias = Text | Line | Shape | Placed | Link | Anchor


@dataclass(frozen=True, slots=True)
class Block:
    """Marks that belong together, and how much height they take."""

    height: float
    marks: tuple[Mark, ...] = ()

    def at(self, right: float, down: float) -> tuple[Mark, ...]:
        """Return the marks with the block's top left at this place."""
        return tuple(mark.moved(right, down) for mark in self.marks)

    def indented(self, right: float) -> "Block":
        """Return the block with all its marks farther to the right."""
        return Block(self.height, self.at(right, 0))

    def lowered(self, down: float) -> "Block":
        """Return the block with room above it."""
        return Block(self.height + down, self.at(0, down))


@dataclass(frozen=True, slots=True)
class Page:
    """One page of paper."""

    width: float
    height: float
    marks: tuple[Mark, ...]


def enlarged(mark: Mark, times: float) -> Mark:
    """Return a mark so many times as large and as far from the top left, with its type."""
    if isinstance(mark, Text):
        return replace(mark, x=mark.x * times, y=mark.y * times, size=mark.size * times)
    if isinstance(mark, Line):
        (x, y), (to_x, to_y) = mark.start, mark.end
        dash = tuple(length * times for length in mark.dash)
        start, end = (x * times, y * times), (to_x * times, to_y * times)
        return Line(start, end, mark.width * times, mark.colour, dash)
    if isinstance(mark, Shape):
        return Shape(tuple((x * times, y * times) for x, y in mark.points), mark.fill)
    if isinstance(mark, Anchor):
        return replace(mark, x=mark.x * times, y=mark.y * times)
    wide, high = mark.width * times, mark.height * times
    return replace(mark, x=mark.x * times, y=mark.y * times, width=wide, height=high)


def stacked(blocks: Iterable[Block], gap: float = 0) -> Block:
    """Return the blocks one below the other, ``gap`` apart."""
    marks: list[Mark] = []
    height = 0.0
    for number, block in enumerate(blocks):
        height += gap if number else 0
        marks += block.at(0, height)
        height += block.height
    return Block(height, tuple(marks))


def across(blocks: Sequence[Block], lefts: Iterable[float]) -> Block:
    """Return the blocks side by side, each with its left edge at its own place."""
    marks = [mark for block, left in zip(blocks, lefts, strict=False) for mark in block.at(left, 0)]
    return Block(max((block.height for block in blocks), default=0), tuple(marks))


def side_by_side(blocks: Sequence[Block], pitch: float) -> Block:
    """Return the blocks side by side, their left edges ``pitch`` apart."""
    return across(blocks, (n * pitch for n in range(len(blocks))))


def in_rows(blocks: Sequence[Block], count: int, pitch: float) -> list[Block]:
    """Return the blocks in rows of this many, their left edges ``pitch`` apart."""
    return [side_by_side(blocks[n : n + count], pitch) for n in range(0, len(blocks), count)]


def turned(block: Block) -> tuple[Mark, ...]:
    """Return the marks of a block turned a quarter clockwise: its foot becomes the left edge.

    Raises ``ValueError`` for what does not turn, such as a picture.
    """
    return tuple(_turned(mark, block.height) for mark in block.marks)


def _turned(mark: Mark, height: float) -> Mark:
    if isinstance(mark, Text):
        return replace(mark, x=height - mark.y, y=mark.x, angle=mark.angle - 90)
    if isinstance(mark, Line):
        (x, y), (to_x, to_y) = mark.start, mark.end
        return replace(mark, start=(height - y, x), end=(height - to_y, to_x))
    if isinstance(mark, Shape):
        return replace(mark, points=tuple((height - y, x) for x, y in mark.points))
    raise ValueError(f"{mark} cannot be turned")


def rectangle(left: float, top: float, width: float, height: float, fill: Colour) -> Shape:
    """Return a filled rectangle."""
    right, bottom = left + width, top + height
    return Shape(((left, top), (right, top), (right, bottom), (left, bottom)), fill)


def filled(corners: Corners, fill: Colour) -> Shape:
    """Return the rectangle with these corners, filled."""
    left, top, right, bottom = corners
    return rectangle(left, top, right - left, bottom - top, fill)


def oval(corners: Corners, count: int) -> tuple[Point, ...]:
    """Return this many points along the oval that fills a rectangle, from its right clockwise."""
    left, top, right, bottom = corners
    across, down = (right - left) / 2, (bottom - top) / 2
    turns = (2 * math.pi * n / count for n in range(count))
    return tuple(
        (left + across * (1 + math.cos(turn)), top + down * (1 + math.sin(turn))) for turn in turns
    )


def sides(points: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    """Yield the two ends of each side of a polygon."""
    return zip(points, (*points[1:], points[0]), strict=True)


def frame(
    left: float, top: float, width: float, height: float, *, line: float, colour: Colour
) -> tuple[Shape, ...]:
    """Return the outline of a rectangle, ``line`` wide, drawn inside it.

    It is made of filled strips, so that its outer edge measures exactly what it represents.
    """
    return (
        rectangle(left, top, width, line, colour),
        rectangle(left, top + height - line, width, line, colour),
        rectangle(left, top + line, line, height - 2 * line, colour),
        rectangle(left + width - line, top + line, line, height - 2 * line, colour),
    )
