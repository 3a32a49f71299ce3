"""Reading lengths, sizes and areas as people write them, and sizes of files."""

import re
import unicodedata
from fractions import Fraction

from proofs.lengths import NM_PER_INCH, NM_PER_MM, Length, Size, half_up

_UNITS = {
    "in": NM_PER_INCH,
    "inch": NM_PER_INCH,
    "inches": NM_PER_INCH,
    '"': NM_PER_INCH,
    "cm": 10 * NM_PER_MM,
    "mm": NM_PER_MM,
}
_BYTES = {"kib": 2**10, "mib": 2**20, "kb": 1000, "mb": 1_000_000}
_MOST_DIGITS = 12  # a nanometre of a kilometre
_DECIMAL = re.compile(r"\d{1,6}(?:\.\d{1,3})?", re.ASCII)
# A comma may mark decimals or thousands. 1,250 could be either, so it is queried; 1,25 cannot.
_EITHER = re.compile(r"(?<![\d.,])([1-9]\d{0,2}),(\d\d0)(?![\d.,])")
_NUMBER = re.compile(r"(?:(\d+)[ -]+)?(\d+)/(\d+)|(\d+(?:\.\d+)?|\.\d+)")


def read_length(text: str) -> Length:
    """Return the length in a text such as ``10 in``, ``10-1/8"``, ``25,4 cm`` or ``254 mm``.

    Raises ``ValueError`` with what was found and what is expected.

    >>> from proofs.lengths import inches
    >>> read_length('10-1/8"') == read_length("10⅛ in") == inches("10.125")
    True
    >>> read_length("254 mm") == read_length("25,4 cm") == inches(10)
    True
    """
    number, unit = _number_and_unit(text)
    if not unit:
        raise ValueError(f"{text!r} has no unit; write a length such as '10 1/8 in' or '25.7 cm'")
    return Length(half_up(number * _UNITS[unit]))


def read_size(text: str) -> Size:
    """Return the size in a text such as ``12x8 in`` or ``400 × 500 mm``, width first.

    Raises ``ValueError`` with what was found and what is expected.

    >>> from proofs.lengths import inches
    >>> read_size("16x20 in") == Size(inches(16), inches(20))
    True
    """
    sides = re.split(r"[x×*]", _plain(text))
    if len(sides) != 2:
        raise ValueError(f"{text!r} is not a size; write width and height such as '12x8 in'")
    width, width_unit = _number_and_unit(sides[0])
    height, unit = _number_and_unit(sides[1])
    if not unit:
        raise ValueError(f"{text!r} has no unit; write a size such as '12x8 in' or '30x20 cm'")
    return Size(
        Length(half_up(width * _UNITS[width_unit or unit])), Length(half_up(height * _UNITS[unit]))
    )


def read_area(text: str) -> int:
    """Return the area in a text such as ``80 sq in`` or ``500 sq cm``, in square nanometres.

    Raises ``ValueError`` with what was found and what is expected.

    >>> read_area("80 sq in") == read_size("8x10 in").square_nm
    True
    """
    number, square, unit = _plain(text).partition("sq")
    unit = unit.strip(" .")
    if not square or unit not in _UNITS:
        raise ValueError(f"{text!r} is not an area; write one such as '80 sq in' or '500 sq cm'")
    return half_up(_number_and_unit(number)[0] * _UNITS[unit] ** 2)


def read_bytes_limit(text: str) -> int:
    """Return the file size in a text such as ``2 MB`` or ``800 kB``, in bytes.

    ``kB`` and ``MB`` are thousands and millions (IEC 80000-13, from memory). That is the smaller
    of the two meanings in use, so a file within the limit is within it by either. ``KiB`` and
    ``MiB`` are 1024 and 1024 x 1024 bytes.

    Raises ``ValueError`` with what was found and what is expected.

    >>> read_bytes_limit("2 MB"), read_bytes_limit("1.5 MiB")
    (2000000, 1572864)
    """
    number, factor = _plain(text), 0
    for unit, bytes_each in _BYTES.items():
        if number.endswith(unit):
            number, factor = number.removesuffix(unit).strip(), bytes_each
            break
    if not factor or not _DECIMAL.fullmatch(number):
        raise ValueError(f"{text!r} is not a file size; write one such as '2 MB' or '800 kB'")
    return int(Fraction(number) * factor)


def _plain(text: str) -> str:
    """The text with typographic fractions, primes and quotes as plain characters."""
    spaced = "".join(f" {c}" if unicodedata.category(c) == "No" else c for c in text)
    spaced = unicodedata.normalize("NFKC", spaced).replace("\u2044", "/")
    for prime in ("''", "″", "”", "“", "′′"):
        spaced = spaced.replace(prime, '"')
    return spaced.strip().lower()


def _number_and_unit(text: str) -> tuple[Fraction, str]:
    plain = _plain(text)
    if either := _EITHER.search(plain):
        whole, rest = either.groups()
        decimal = f"{whole}.{rest}".rstrip("0").rstrip(".")
        raise ValueError(f"{text!r} can mean {whole}{rest} or {decimal}; write it without a comma")
    plain = re.sub(r"(?<=\d),(?=\d)", ".", plain)
    unit = next((u for u in sorted(_UNITS, key=len, reverse=True) if plain.endswith(u)), "")
    found = _NUMBER.fullmatch(plain.removesuffix(unit).strip())
    if not found:
        raise ValueError(f"{text!r} is not a length; write one such as '10 1/8 in' or '25.7 cm'")
    if any(len(digits) > _MOST_DIGITS for digits in re.findall(r"\d+", plain)):
        raise ValueError(f"it holds a number of more than {_MOST_DIGITS} digits; shorten it")
    whole, top, bottom, decimal = found.groups()
    if decimal is not None:
        return Fraction(decimal), unit
    if not int(bottom):
        raise ValueError(f"{text!r} divides by zero; write a fraction such as '1/8 in'")
    return int(whole or 0) + Fraction(int(top), int(bottom)), unit
