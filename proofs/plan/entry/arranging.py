"""The sizes of several images on one board: each row shares a height, and all rows a width.

A row, a column, a grid and any other order are all rows of pictures here. One size for all of
them sets the size of the group; a size for each sets the pictures one by one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from proofs.lengths import NM_PER_MM, ZERO, Length, Size, total
from proofs.plan.entry.board import Layout, Opening
from proofs.plan.entry.in_openings import given_opening, image_for, room_for
from proofs.plan.entry.layout import bar_between, lay_out, outline_size
from proofs.plan.entry.sizing import (
    ImageSize,
    PrintShape,
    Side,
    SizeBounds,
    image_size,
    keeps_border,
    largest_that,
    on_sheet,
    wished_sides,
    with_side,
)
from proofs.records.arrangements import Arrangement, Rows
from proofs.records.rules import BorderRule
from proofs.records.size_and_crop import SizeKind, SizeWish

_ALONE = (SizeKind.OPENING, SizeKind.PRINT)  # each picture by itself, also if written once
_ALIKE = Fraction(1, 1000)  # shapes that differ by less share a column of a grid
_HAIR = Length(NM_PER_MM // 10_000)  # the difference that rounding may leave between equal sides
_ANY = Size(Length(1000 * NM_PER_MM), Length(1000 * NM_PER_MM))


def group_aspect(shapes: Sequence[PrintShape], rows: Rows) -> Fraction:
    """Return width over height of all pictures together, without the space between them.

    >>> square = PrintShape(Fraction(1))
    >>> group_aspect([square, square, square], ((0, 1), (2,)))
    Fraction(2, 3)
    """
    heights = (1 / _sum(shapes[n].aspect for n in row) for row in rows)
    return 1 / _sum(heights)


def image_sizes(
    wishes: Sequence[SizeWish],
    shapes: Sequence[PrintShape],
    bounds: SizeBounds,
    rows: Rows,
) -> tuple[ImageSize, ...]:
    """Return the images that the cell ``size`` asks for: one wish for all, or one for each.

    Each print to the edge has a sheet of its own. Raises ``ValueError`` if no images can have that
    size.
    """
    is_common, count = bounds.mount.common and len(shapes) > 1, len(shapes)
    kinds = {wish.kind for wish in wishes}
    group = _Group(bounds, tuple(shape.aspect for shape in shapes), rows)
    if is_common and SizeKind.OPENING in kinds:
        return _in_common_window(wishes, shapes, group)
    if is_common and SizeKind.SHEET in kinds:
        raise ValueError(
            "size: all pictures of this mount are on one print; write a size for the images"
        )
    is_each = count == 1 or len(wishes) > 1 or wishes[0].kind in _ALONE
    wishes = [on_sheet(wish, bounds) for wish in wishes]
    if is_each:
        each = wishes if len(wishes) > 1 else wishes * count
        if len(shapes) > 1 and any(wish.kind == SizeKind.LARGEST for wish in each):
            raise ValueError(
                "size: 'largest' is for all pictures of a board together; write it once,"
                " or a size for each"
            )
        return tuple(_alone(wish, shape, bounds) for wish, shape in zip(each, shapes, strict=True))
    sizes = group.largest() if wishes[0].kind == SizeKind.LARGEST else group.limited(wishes[0])
    return tuple(
        ImageSize(size, shape.aspect, "both" if shape.is_cropped else group.decides(n))
        for n, (size, shape) in enumerate(zip(sizes, shapes, strict=True))
    )


def _alone(wish: SizeWish, shape: PrintShape, bounds: SizeBounds) -> ImageSize:
    """The image of one picture that has a size of its own."""
    given = given_opening(wish, shape, bounds.mount)
    if given is None:
        return image_size(wish, shape.aspect, bounds, cropped=shape.is_cropped)
    return image_for(given, shape, bounds.mount)


def _in_common_window(
    wishes: Sequence[SizeWish], shapes: Sequence[PrintShape], group: "_Group"
) -> tuple[ImageSize, ...]:
    """The images of pictures that share a given opening: the largest that leave its reveal."""
    mount, whole = group.bounds.mount, PrintShape(group_aspect(shapes, group.rows))
    given = given_opening(wishes[0], whole, mount)
    if len(wishes) > 1 or given is None:
        raise ValueError(
            f"size: the pictures of the mount {mount.name!r} share one window; write one opening"
            " for all of them"
        )
    return tuple(
        ImageSize(size, shape.aspect, "both" if shape.is_cropped else group.decides(n), given)
        for n, (size, shape) in enumerate(
            zip(group.within(room_for(given, mount)), shapes, strict=True)
        )
    )


def refuse_ragged(arrangement: Arrangement, shapes: Sequence[PrintShape], rows: Rows) -> None:
    """Raise ``ValueError`` for a grid if its pictures cannot share both heights and widths."""
    if not arrangement.is_grid:
        return
    first = rows[0]
    for row in rows[1:]:
        ratios = [shapes[m].aspect / shapes[n].aspect for m, n in zip(row, first, strict=True)]
        if max(ratios) - min(ratios) > _ALIKE * min(ratios):
            order = " / ".join(" ".join(str(n + 1) for n in row) for row in rows)
            raise ValueError(
                f"arrangement: pictures of different shapes do not line up in a {arrangement};"
                f" crop them to one shape, or write '{order}', which lines up only the ends of rows"
            )


@dataclass(frozen=True, slots=True)
class _Group:
    """Pictures that share heights and widths, before their size is known."""

    bounds: SizeBounds
    aspects: tuple[Fraction, ...]
    rows: Rows

    def decides(self, n: int) -> Side:
        """The side that a picture shares with its neighbours, which is exact."""
        row = next(row for row in self.rows if n in row)
        return "height" if len(row) > 1 else "width"

    def laid(self, images: Sequence[Size]) -> Layout:
        return lay_out(self.bounds.mount, self.bounds.board, *images, rows=self.rows)

    def wide(self, width: Length) -> tuple[Size, ...] | None:
        """The images if all rows of windows have this width; None if there is no room for them."""
        sizes: dict[int, Size] = {}
        for row in self.rows:
            room = width - self._between(len(row))
            if room <= ZERO:
                return None
            height = room * (1 / _sum(self.aspects[n] for n in row))
            sizes |= {n: with_side(height, self.aspects[n], "height") for n in row}
        return tuple(sizes[n] for n in range(len(self.aspects)))

    def pinned(self, n: int, image: Size) -> tuple[Size, ...] | None:
        """The images if one of them has exactly this size."""
        row = next(row for row in self.rows if n in row)
        same = {
            m: image
            if self.aspects[m] == self.aspects[n]
            else with_side(image.height, self.aspects[m], "height")
            for m in row
        }
        width = total(size.width for size in same.values()) + self._between(len(row))
        others = self.wide(width)
        if others is None:
            return None
        return tuple(same.get(m, size) for m, size in enumerate(others))

    def _between(self, count: int) -> Length:
        """By how much a row of windows is wider than its images."""
        mount = self.bounds.mount
        if mount.common:
            return (count - 1) * mount.bar
        beyond = outline_size(mount, _ANY).width - _ANY.width
        return count * beyond + (count - 1) * bar_between(mount)

    def largest(self) -> tuple[Size, ...]:
        """The largest images that keep the least border of the mount and of the rules."""
        found: list[tuple[Size, ...]] = []
        for rule in self.bounds.borders or (BorderRule(least=ZERO),):
            try:
                width = largest_that(partial(self._keeps, rule))
            except ValueError:
                continue
            images = self.wide(Length(width))
            if images and min(p.sight.size.shortest for p in self.laid(images).pictures) > ZERO:
                found.append(images)
        if not found:
            raise ValueError("the board leaves no room for these pictures inside its least borders")
        return max(found, key=lambda images: images[0].width)

    def within(self, room: Size) -> tuple[Size, ...]:
        """The largest images that fit into this room together, with the space between them."""

        def fits(width_nm: int) -> bool:
            images = self.wide(Length(width_nm))
            if images is None:
                return True
            together = Opening.around(picture.image for picture in self.laid(images).pictures)
            return room.holds(together.size)

        images = self.wide(Length(largest_that(fits)))
        if images is None:
            raise ValueError("the opening leaves no room for these pictures and their bars")
        return images

    def _keeps(self, rule: BorderRule, width_nm: int) -> bool:
        images = self.wide(Length(width_nm))
        return images is None or keeps_border(self.bounds, rule, self.laid(images))

    def limited(self, wish: SizeWish) -> tuple[Size, ...]:
        """The images within the wish, at least one of which meets it exactly."""
        limits = [self._limit(wish, aspect) for aspect in self.aspects]
        smallest = wish.kind == SizeKind.SHORT
        for n, (limit, aspect) in enumerate(zip(limits, self.aspects, strict=True)):
            for decides, side in limit.items():
                images = self.pinned(n, with_side(side, aspect, decides))
                if images and all(
                    _suits(image, most, smallest)
                    for image, most in zip(images, limits, strict=True)
                ):
                    return tuple(
                        _snapped(image, most) for image, most in zip(images, limits, strict=True)
                    )
        raise ValueError(f"size: {wish} leaves no room for the pictures of this board")

    def _limit(self, wish: SizeWish, aspect: Fraction) -> dict[Side, Length]:
        """The sides of an image that the wish limits, with their lengths."""
        hidden = 2 * self.bounds.mount.overlap if wish.kind == SizeKind.VISIBLE else ZERO
        return {side: limit + hidden for side, limit in wished_sides(wish, aspect).items()}


def _suits(image: Size, limit: dict[Side, Length], smallest: bool) -> bool:
    """Whether an image is within its limit, or above it if that is the smallest allowed."""
    sides = [(getattr(image, name), side) for name, side in limit.items()]
    if smallest:
        return all(found >= side - _HAIR for found, side in sides)
    return all(found <= side + _HAIR for found, side in sides)


def _snapped(image: Size, limit: dict[Side, Length]) -> Size:
    """The image with each side that differs from its limit only by rounding set to it."""
    width = limit.get("width", image.width)
    height = limit.get("height", image.height)
    near_width = abs(width.nm - image.width.nm) <= _HAIR.nm
    near_height = abs(height.nm - image.height.nm) <= _HAIR.nm
    return Size(width if near_width else image.width, height if near_height else image.height)


def _sum(values: Iterable[Fraction]) -> Fraction:
    return sum(values, Fraction(0))
