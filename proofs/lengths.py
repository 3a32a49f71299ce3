"""Lengths on paper, exact in inches and in millimetres alike.

A ``Length`` is a whole number of nanometres. Both 1/64 in (396 875 nm) and 0.001 mm are whole
numbers of nanometres, so a board of exactly the size allowed is never refused because of the
unit it was written in. In floating point, 25.4 * 12 is not 304.8.
"""

import enum
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

NM_PER_INCH = 25_400_000  # exact since the yard and pound agreement of 1959
NM_PER_MM = 1_000_000

_SMALL_NM = 10 * NM_PER_MM  # people give lengths below a centimetre in millimetres
_TENTH = Fraction(1, 10)  # below this, two decimals of an inch are too coarse
_FINEST_FRACTION = 16  # sixteenths are the finest marks on the rulers used on mats


class Unit(enum.StrEnum):
    """A unit that lengths are written in, by its symbol."""

    IN = "in"
    CM = "cm"
    MM = "mm"


class Edge(enum.StrEnum):
    """An edge of a rectangle, clockwise from the top."""

    TOP = "top"
    RIGHT = "right"
    BOTTOM = "bottom"
    LEFT = "left"


def half_up(value: Fraction) -> int:
    """Return the whole number nearest to ``value``; halves go up.

    >>> half_up(Fraction(5, 2)), half_up(Fraction(-5, 2))
    (3, -2)
    """
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """A length on paper, as a whole number of nanometres; it may be negative."""

    nm: int

    def __add__(self, other: "Length") -> "Length":
        return Length(self.nm + other.nm)

    def __sub__(self, other: "Length") -> "Length":
        return Length(self.nm - other.nm)

    def __neg__(self) -> "Length":
        return Length(-self.nm)

    def __mul__(self, factor: int | Fraction) -> "Length":
        """Return the length multiplied by ``factor``, to the nearest nanometre."""
        if isinstance(factor, int):  # most are; a fraction costs ten times as long
            return Length(self.nm * factor)
        twice = 2 * factor.denominator
        return Length((2 * self.nm * factor.numerator + factor.denominator) // twice)

    __rmul__ = __mul__

    def __floordiv__(self, parts: int) -> "Length":
        """Return one of equal parts of the length, rounded down to a nanometre."""
        return Length(self.nm // parts)

    def __bool__(self) -> bool:
        return self.nm != 0

    @property
    def mm(self) -> float:
        """The length in millimetres."""
        return self.nm / NM_PER_MM

    @property
    def inches(self) -> float:
        """The length in inches."""
        return self.nm / NM_PER_INCH

    @property
    def points(self) -> float:
        """The length in points of 1/72 in, the unit of a PDF page (ISO 32000, from memory)."""
        return self.nm * 72 / NM_PER_INCH

    def __str__(self) -> str:
        if abs(self.nm) < _SMALL_NM:
            return f"{in_inches(self)} in ({shown(self, Unit.MM)})"
        return f"{in_inches(self)} in ({in_centimetres(self)} cm)"


ZERO = Length(0)


def inches(value: int | str | Fraction) -> Length:
    """Return a length given in inches.

    >>> inches("1/64").nm
    396875
    """
    return Length(half_up(Fraction(value) * NM_PER_INCH))


def millimetres(value: int | str | Fraction) -> Length:
    """Return a length given in millimetres.

    >>> millimetres("25.4") == inches(1)
    True
    """
    return Length(half_up(Fraction(value) * NM_PER_MM))


def total(lengths: Iterable[Length]) -> Length:
    """Return the sum of the lengths."""
    return sum(lengths, ZERO)


@dataclass(frozen=True, slots=True)
class Size:
    """Width and height on paper, width first."""

    width: Length
    height: Length

    @property
    def longest(self) -> Length:
        """The longer side."""
        return max(self.width, self.height)

    @property
    def shortest(self) -> Length:
        """The shorter side."""
        return min(self.width, self.height)

    @property
    def turned(self) -> "Size":
        """The size with width and height swapped."""
        return Size(self.height, self.width)

    @property
    def is_portrait(self) -> bool:
        """Whether the height is greater than the width."""
        return self.height > self.width

    @property
    def square_nm(self) -> int:
        """The area in square nanometres, exact."""
        return self.width.nm * self.height.nm

    def grown(self, by: Length) -> "Size":
        """Return the size with ``by`` added on all four sides; a negative length shrinks it."""
        return Size(self.width + 2 * by, self.height + 2 * by)

    def extended(self, by: "Size", *, times: int = 1) -> "Size":
        """Return the size with each side longer by that of another, or shorter by it for -1."""
        return Size(self.width + times * by.width, self.height + times * by.height)

    def holds(self, other: "Size") -> bool:
        """Return whether ``other`` fits inside without turning."""
        return other.width <= self.width and other.height <= self.height

    def shared(self, other: "Size") -> "Size":
        """Return the largest size that fits inside both without turning."""
        return Size(min(self.width, other.width), min(self.height, other.height))

    def united(self, other: "Size") -> "Size":
        """Return the smallest size that holds both without turning."""
        return Size(max(self.width, other.width), max(self.height, other.height))

    def apart_nm(self, other: "Size") -> int:
        """Return by how much the widths and the heights differ, together, in nanometres."""
        return abs(self.width.nm - other.width.nm) + abs(self.height.nm - other.height.nm)

    def __str__(self) -> str:
        return (
            f"{in_inches(self.width)} × {in_inches(self.height)} in"
            f" ({in_centimetres(self.width)} × {in_centimetres(self.height)} cm)"
        )


@dataclass(frozen=True, slots=True)
class Place:
    """The position of a thing's top left corner on whatever it lies on; y runs down."""

    x: Length
    y: Length


@dataclass(frozen=True, slots=True)
class Borders:
    """The four borders around an opening, clockwise from the top."""

    top: Length
    right: Length
    bottom: Length
    left: Length

    @property
    def least(self) -> Length:
        """The narrowest of the four."""
        return min(self.top, self.right, self.bottom, self.left)


NO_BORDERS = Borders(ZERO, ZERO, ZERO, ZERO)


@dataclass(frozen=True, slots=True)
class PixelSize:
    """Width and height in pixels; a type of its own, so pixels and paper cannot be mixed up."""

    width: int
    height: int

    def __post_init__(self) -> None:
        if self.width < 1 or self.height < 1:
            raise ValueError(f"a picture of {self.width} x {self.height} pixels has no area")

    @property
    def turned(self) -> "PixelSize":
        """The size with width and height swapped."""
        return PixelSize(self.height, self.width)

    @property
    def aspect(self) -> Fraction:
        """Width divided by height."""
        return Fraction(self.width, self.height)

    def __str__(self) -> str:
        return f"{self.width} × {self.height} px"


def in_inches(length: Length) -> str:
    """Return the inches without the unit: a fraction if rulers have it, else decimals.

    >>> in_inches(inches("10.125")), in_inches(millimetres(250)), in_inches(inches(10))
    ('10 1/8', '9.84', '10')
    """
    value = Fraction(length.nm, NM_PER_INCH)
    digits = 2 if abs(value) >= _TENTH else 3
    return inch_fraction(length, _FINEST_FRACTION) or _decimals(value, digits)


def inch_fraction(length: Length, finest: int) -> str:
    """Return the inches as a fraction of at most 1/``finest``, blank if that is not exact.

    >>> inch_fraction(inches("10.03125"), 64), inch_fraction(inches("10.03125"), 16)
    ('10 1/32', '')
    """
    value = Fraction(length.nm, NM_PER_INCH)
    if finest % value.denominator:
        return ""
    whole, part = divmod(abs(value), 1)
    return ("-" if value < 0 else "") + (" ".join(str(n) for n in (whole, part) if n) or "0")


def in_centimetres(length: Length) -> str:
    """Return the centimetres without the unit, to a tenth of a millimetre.

    >>> in_centimetres(inches(10)), in_centimetres(millimetres("1.4"))
    ('25.4', '0.14')
    """
    return _decimals(Fraction(length.nm, 10 * NM_PER_MM))


def shown(length: Length, unit: Unit) -> str:
    """Return the length in one unit, in a form that ``read_length`` understands.

    >>> shown(inches("10.125"), Unit.IN), shown(millimetres(105), Unit.MM)
    ('10 1/8 in', '105 mm')
    """
    if unit == Unit.IN:
        return f"{in_inches(length)} in"
    if unit == Unit.CM:
        return f"{in_centimetres(length)} cm"
    return f"{_decimals(Fraction(length.nm, NM_PER_MM))} mm"


def area_text(square_nm: int) -> str:
    """Return an area in square inches and square centimetres.

    >>> area_text(80 * NM_PER_INCH**2)
    '80 sq in (516.13 sq cm)'
    """
    square_inches = _decimals(Fraction(square_nm, NM_PER_INCH**2))
    return f"{square_inches} sq in ({_decimals(Fraction(square_nm, 10**14))} sq cm)"


def distinct_texts(one: Length, other: Length) -> tuple[str, str]:
    """Return two lengths in both units, with enough digits to show that they differ.

    >>> distinct_texts(inches("9.9999"), inches(10))
    ('9.9999 in (25.399746 cm)', '10 in (25.4 cm)')
    """
    texts = str(one), str(other)
    if one == other or _both_parts_differ(*texts):
        return texts
    return _in_full(one), _in_full(other)


def _both_parts_differ(one: str, other: str) -> bool:
    return all(a != b for a, b in zip(one.split(" in ("), other.split(" in ("), strict=True))


def _in_full(length: Length) -> str:
    text = inch_fraction(length, _FINEST_FRACTION) or _decimals(Fraction(length.nm, NM_PER_INCH), 8)
    return f"{text} in ({_decimals(Fraction(length.nm, 10 * NM_PER_MM), 7)} cm)"


def _decimals(value: Fraction, digits: int = 2) -> str:
    scaled = half_up(abs(value) * 10**digits)
    whole, part = divmod(scaled, 10**digits)
    text = f"{whole}.{part:0{digits}d}".rstrip("0").rstrip(".")
    return f"-{text}" if value < 0 and scaled else text
