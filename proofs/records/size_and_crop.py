"""Reading the size and crop cells of the entries file."""

import enum
import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from proofs.lengths import NM_PER_INCH, NM_PER_MM, Length, Size, Unit, millimetres, shown
from proofs.measures import read_length, read_size
from proofs.records.cells import CellError, clean_cell


class SizeKind(enum.StrEnum):
    """The kinds of size in the entries file, by what they limit."""

    LARGEST = "largest"
    BOX = "box"
    LONG = "long"
    SHORT = "short"
    VISIBLE = "visible"
    OPENING = "opening"
    PRINT = "print"
    SHEET = "sheet"


class CropPlace(enum.StrEnum):
    """The part of a picture that a crop keeps, and that a given opening shows."""

    CENTRE = "centre"
    TOP = "top"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


_ONE_SIDE = (SizeKind.LONG, SizeKind.SHORT)
_BOTH_SIDES = (
    *(SizeKind.BOX, SizeKind.VISIBLE, SizeKind.OPENING),
    *(SizeKind.PRINT, SizeKind.SHEET),
)
_SHORTEST_SIDE, _LONGEST_SIDE = millimetres(5), millimetres(3000)
_MOST_ASPECT = 10  # a longer shape is likelier a time such as 4:50 than a crop
_NM_PER_UNIT = {Unit.IN: NM_PER_INCH, Unit.CM: 10 * NM_PER_MM, Unit.MM: NM_PER_MM}
_SIZE_KIND = re.compile(
    r"(long|short|visible|opening|print|sheet)(?:est)?(?:\s+(?:side|edge))?\s*[:=]?\s*(.*)"
)
_DAY_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::00)?\s*([ap])\.?m\.?|(\d{1,2}):(\d{2}):00")
_NUMBER = r"\d{1,6}(?:[.,]\d{1,6})?"
_ASPECT = re.compile(rf"({_NUMBER})\s*[x×*:/]\s*({_NUMBER})")
_PLACE = "|".join(CropPlace)
_CROP = re.compile(rf"(?:(?P<before>{_PLACE})[\s,;:]+)?(?P<shape>.*?)[\s,;:]*(?P<after>{_PLACE})?")


@dataclass(frozen=True, slots=True)
class SizeWish:
    """How large the image should be; ``str`` gives the text of the cell, in ``unit``.

    ``LARGEST`` has neither length nor box. ``LONG`` and ``SHORT`` have the length of that side.
    All others have a box, which turns with the picture: that of ``PRINT`` is a sheet that the lab
    prints to the edge, that of ``SHEET`` one that keeps its white margin.
    """

    kind: SizeKind
    length: Length | None = None
    box: Size | None = None
    unit: Unit = Unit.IN

    def __post_init__(self) -> None:
        if (self.length is not None) != (self.kind in _ONE_SIDE):
            raise ValueError(f"'{self.kind}' with a length of {self.length}")
        if (self.box is not None) != (self.kind in _BOTH_SIDES):
            raise ValueError(f"'{self.kind}' with a box of {self.box}")

    def __str__(self) -> str:
        if self.length is not None:
            return f"{self.kind} {_written(self.length, self.unit)}"
        if self.box is None:
            return str(self.kind)
        width = _written(self.box.width, self.unit).removesuffix(f" {self.unit}")
        cross = " x " if "/" in width else "x"
        text = f"{width}{cross}{_written(self.box.height, self.unit)}"
        return text if self.kind == SizeKind.BOX else f"{self.kind} {text}"


LARGEST = SizeWish(SizeKind.LARGEST)


def read_size_wish(text: str) -> SizeWish:
    """Return the requested image size; a blank cell asks for the largest.

    Raises ``CellError``.

    >>> str(read_size_wish("12x8 in")), str(read_size_wish("long: 30,5cm"))
    ('12x8 in', 'long 30.5 cm')
    """
    plain = re.sub(r"\s+by\s+", "x", clean_cell(text).lower()).rstrip(".")
    if plain in ("", SizeKind.LARGEST):
        return LARGEST
    named = _SIZE_KIND.fullmatch(plain)
    kind, rest = (SizeKind(named[1]), named[2]) if named else (SizeKind.BOX, plain)
    is_box = re.search(r"[x×*]", rest) is not None
    if not rest or is_box != (kind in _BOTH_SIDES):
        raise CellError(f"{text!r} is not a size", _size_remedy(kind))
    try:
        wish = _wish(kind, rest)
    except ValueError as error:
        raise CellError(str(error).partition("; write")[0], _unit_remedy(kind, rest)) from None
    sides = [wish.length] if wish.length is not None else []
    sides += [wish.box.width, wish.box.height] if wish.box else []
    if not all(_SHORTEST_SIDE <= side <= _LONGEST_SIDE for side in sides):
        raise CellError(
            f"{text!r} is too small or too large for a print", "write sides from 5 mm to 3000 mm"
        )
    return wish


@dataclass(frozen=True, slots=True)
class CropWish:
    """The shape to crop a picture to, as width over height, and the part to keep.

    Without a shape nothing is cropped: ``place`` is then the part that a given opening shows.
    """

    aspect: Fraction | None
    place: CropPlace = CropPlace.CENTRE

    def __post_init__(self) -> None:
        if self.aspect is not None and not 1 <= self.aspect * _MOST_ASPECT <= _MOST_ASPECT**2:
            raise ValueError(f"a crop {self.aspect} times as wide as high is too narrow")

    def __str__(self) -> str:
        if self.aspect is None:
            return str(self.place)
        return f"{self.aspect.numerator}x{self.aspect.denominator} {self.place}"


def read_crop(text: str) -> CropWish | None:
    """Return the requested crop, or None for no crop; a place may stand alone.

    ``04:05:00`` means 4:5, because spreadsheets turn 4:5 into a time. Raises ``CellError``.

    >>> str(read_crop("04:05:00")), str(read_crop("1x1 top"))
    ('4x5 centre', '1x1 top')
    """
    plain = unicodedata.normalize("NFKC", clean_cell(text)).lower()
    plain = plain.replace("\u2236", ":")  # the sign for a ratio
    plain = re.sub(r"cent(?:er|re)(?:ed|d)?\b", "centre", plain)
    if plain in ("", "none"):
        return None
    found = _CROP.fullmatch(plain)
    assert found, "the pattern matches any text"
    shape, places = found["shape"], [p for p in found.group("before", "after") if p]
    if not shape and len(places) == 1:
        return CropWish(None, CropPlace(places[0]))
    sides = _crop_sides(shape)
    if sides is None or not all(sides) or len(places) > 1:
        raise CellError(f"{text!r} is not a crop", _crop_remedy(shape))
    try:
        return CropWish(sides[0] / sides[1], *map(CropPlace, places))
    except ValueError as error:
        raise CellError(f"{text!r}: {error}", _crop_remedy(shape)) from None


def _wish(kind: SizeKind, text: str) -> SizeWish:
    plain = unicodedata.normalize("NFKC", text)
    unit = Unit(plain[-2:]) if plain.endswith((Unit.CM, Unit.MM)) else Unit.IN
    if kind in _ONE_SIDE:
        return SizeWish(kind, length=read_length(text), unit=unit)
    return SizeWish(kind, box=read_size(text), unit=unit)


def _written(length: Length, unit: Unit) -> str:
    """The length in one unit, with enough digits to be read back unchanged."""
    text = shown(length, unit)
    if read_length(text) == length:
        return text
    return f"{Decimal(length.nm) / _NM_PER_UNIT[unit]:.8f}".rstrip("0").rstrip(".") + f" {unit}"


def _size_remedy(kind: SizeKind) -> str:
    if kind in _ONE_SIDE:
        return f"write one side such as '{kind} 12 in'"
    if kind != SizeKind.BOX:
        return f"write width and height such as '{kind} 10x8 in'"
    return (
        "write 'largest', 'long 12 in', 'short 20 cm', '12x8 in', 'visible 10x8 in',"
        " 'opening 10x8 in', 'print 12x8 in' or 'sheet 12x8 in'"
    )


def _unit_remedy(kind: SizeKind, rest: str) -> str:
    """What to write: the same cell with a unit, if only the unit is missing."""
    if not re.search(r"\d$", rest):
        return _size_remedy(kind)
    bare = rest if kind == SizeKind.BOX else f"{kind} {rest}"
    try:
        read_size_wish(f"{bare} cm")
    except ValueError:
        return _size_remedy(kind)
    return f"write '{bare} in' or '{bare} cm'"


def _crop_sides(shape: str) -> tuple[Fraction, Fraction] | None:
    if time := _DAY_TIME.fullmatch(shape):
        hours, minutes = int(time[1] or time[4]), int(time[2] or time[5])
        is_afternoon = time[3] == "p"
        hours = hours % 12 + 12 * is_afternoon if time[3] else hours
        return Fraction(hours), Fraction(minutes)
    if found := _ASPECT.fullmatch(shape):
        width, height = (Fraction(side.replace(",", ".")) for side in found.groups())
        return width, height
    return None


def _crop_remedy(shape: str) -> str:
    if re.search(r"(in|inch|inches|cm|mm|\")$", shape):
        return "a crop is a shape without a unit; write one such as '4x5 centre'"
    return "write width and height such as '4x5 centre' or '1x1 top'"
