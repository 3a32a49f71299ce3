"""Sizes that are large enough, or small enough, for something that judges both sides together.

If a size is large enough, so is every larger one. The smallest of them form a staircase, from wide
and low to narrow and high: whatever contains one of them is large enough. The largest sizes that
are small enough form another. So a few sizes describe all, and those between need no trial.
"""

from collections.abc import Callable, Iterable, Sequence

from proofs.lengths import Length, Size

Suits = Callable[[Size], bool]


def least_sizes(suits: Suits, widths: Sequence[Length], heights: Sequence[Length]) -> list[Size]:
    """Return the smallest sizes that suit, the widest first, of these widths and heights.

    Both run upwards. Every size that contains one that suits must suit too.

    >>> one, two, three = Length(1), Length(2), Length(3)
    >>> sides = (one, two, three)
    >>> found = least_sizes(lambda size: size.longest >= two, sides, sides)
    >>> [(size.width.nm, size.height.nm) for size in found]
    [(2, 1), (1, 2)]
    """
    found: list[Size] = []
    right, low = len(widths) - 1, 0
    while (up := _least_height(suits, widths[: right + 1], heights, low)) is not None:
        left = _least_width(suits, widths[: right + 1], heights[up])
        assert left is not None, "the widest suits"
        found.append(Size(widths[left], heights[up]))
        right, low = left - 1, up + 1
    return found


def most_sizes(suits: Suits, widths: Sequence[Length], heights: Sequence[Length]) -> list[Size]:
    """Return the largest sizes that suit, the narrowest first, of these widths and heights.

    Both run upwards. Every size inside one that suits must suit too.

    >>> one, two, three = Length(1), Length(2), Length(3)
    >>> sides = (one, two, three)
    >>> found = most_sizes(lambda size: size.shortest < two, sides, sides)
    >>> [(size.width.nm, size.height.nm) for size in found]
    [(1, 3), (3, 1)]
    """

    def mirrored(size: Size) -> bool:
        return suits(Size(-size.width, -size.height))

    backwards = [[-side for side in reversed(sides)] for sides in (widths, heights)]
    return [Size(-s.width, -s.height) for s in least_sizes(mirrored, *backwards)]


def sides_inside(
    most: Sequence[Size], widths: Sequence[Length], heights: Sequence[Length]
) -> tuple[list[Length], list[Length]]:
    """Return the widths and heights that fit in any of the most sizes."""
    widest = max((size.width for size in most), default=None)
    highest = max((size.height for size in most), default=None)
    return (
        [width for width in widths if widest and width <= widest],
        [height for height in heights if highest and height <= highest],
    )


def smallest_of(sizes: Iterable[Size]) -> tuple[Size, ...]:
    """Return the sizes that contain no other, each once."""
    unique = list(dict.fromkeys(sizes))
    return tuple(one for one in unique if not any(one.holds(o) for o in unique if o != one))


def largest_of(sizes: Iterable[Size]) -> tuple[Size, ...]:
    """Return the sizes that are contained in no other, each once."""
    unique = list(dict.fromkeys(sizes))
    return tuple(one for one in unique if not any(o.holds(one) for o in unique if o != one))


def nearest_between(wanted: Size, least: Iterable[Size], most: Sequence[Size]) -> Size | None:
    """Return the size nearest to ``wanted`` that contains a least size and fits in a most size.

    None if there is none. For a square it is a square, if there is one.
    """
    pairs = [(low, high) for low in least for high in most if high.holds(low)]
    if wanted.width == wanted.height:
        squares = [
            (Size(low.longest, low.longest), Size(high.shortest, high.shortest))
            for low, high in pairs
            if low.longest <= high.shortest
        ]
        pairs = squares or pairs
    found = (wanted.united(low).shared(high) for low, high in pairs)
    return min(found, key=wanted.apart_nm, default=None)


def _least_height(
    suits: Suits, widths: Sequence[Length], heights: Sequence[Length], low: int
) -> int | None:
    """The first height from ``low`` that suits the widest of these widths."""
    if not widths:
        return None
    return _first(lambda n: suits(Size(widths[-1], heights[n])), low, len(heights) - 1)


def _least_width(suits: Suits, widths: Sequence[Length], height: Length) -> int | None:
    return _first(lambda n: suits(Size(widths[n], height)), 0, len(widths) - 1)


def _first(suits: Callable[[int], bool], low: int, high: int) -> int | None:
    """The first number from ``low`` to ``high`` that suits, if all above it do; None if none does.

    The search begins with small steps, because the next corner is seldom far.
    """
    if low > high or not suits(high):
        return None
    below, step = low - 1, 1
    while below + step < high and not suits(below + step):
        below, step = below + step, 2 * step
    above = min(below + step, high)
    while above - below > 1:
        middle = (above + below) // 2
        below, above = (below, middle) if suits(middle) else (middle, above)
    return above
