"""Breaking text into lines, by widths that the caller measures."""

import bisect
import re
import unicodedata
from collections.abc import Callable, Iterable

LineWidth = Callable[[str], float]

_UNIT = re.compile(r"((in|cm|mm|D|px)\b|%)\W*")
_FRACTION = re.compile(r"\d+/\d+\b")


def wrapped(
    text: str, width: float, line_width: LineWidth, *, blanks_kept: bool = False
) -> tuple[str, ...]:
    """Return a text in lines no wider than ``width``, broken at blanks if possible.

    A number stays with its unit, a size in one piece. A word wider than a line is broken
    between characters, without a hyphen, so that joining the lines gives back what was
    written. There is always at least one line. Several blanks in a row become one, unless
    ``blanks_kept`` keeps them within a line as they were written.

    >>> wrapped("the old pier at dawn", 8, len)
    ('the old', 'pier at', 'dawn')
    >>> wrapped("Donaudampfschiff", 9, len)
    ('Donaudamp', 'fschiff')
    >>> wrapped("an opening of 10 1/8 in", 19, len)
    ('an opening of', '10 1/8 in')
    >>> wrapped("2026-A-0017", 8, len)
    ('2026-A-', '0017')
    >>> wrapped("a  pier", 8, len), wrapped("a  pier", 8, len, blanks_kept=True)
    (('a pier',), ('a  pier',))
    """
    lines: list[str] = []
    line = ""
    parts = re.split(r"\s", text.strip()) if blanks_kept else text.split()
    for word in _words(parts, width, line_width):
        longer = f"{line} {word}" if line else word
        if line_width(longer) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _pieces(word, width, line_width)
        lines += full
    return (*lines, line)


def shortened(text: str, width: float, line_width: LineWidth) -> str:
    """Return a text on one line, cut off with an ellipsis if it is wider than ``width``.

    >>> shortened("the old pier", 9, len)
    'the old…'
    """
    text = " ".join(text.split())
    if line_width(text) <= width:
        return text
    # By halves: a cell may hold tens of thousands of characters, each of which is measured.
    most = bisect.bisect_right(range(1, len(text)), width, key=lambda n: line_width(text[:n] + "…"))
    return text[:most].rstrip() + "…"


def kept(lines: tuple[str, ...], most: int, width: float, line_width: LineWidth) -> tuple[str, ...]:
    """Return at most ``most`` lines, the last with an ellipsis if some are left out.

    >>> kept(("the old", "pier at", "dawn"), 2, 8, len)
    ('the old', 'pier at…')
    """
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and line_width(last + "…") > width:
        last = last[:-1]
    return (*lines[: most - 1], last.rstrip() + "…")


def _words(parts: Iterable[str], width: float, line_width: LineWidth) -> list[str]:
    """The words of a text, numbers with their units as one word while a line can hold them."""
    words: list[str] = []
    for word in parts:
        together = f"{words[-1]} {word}" if words else word
        if words and _belongs(words[-1], word) and line_width(together) <= width:
            words[-1] = together
        else:
            words.append(word)
    return words


def _belongs(before: str, word: str) -> bool:
    if before[-1:] == "×" or word == "×":
        return True
    return before[-1:].isdigit() and bool(_UNIT.match(word) or _FRACTION.match(word))


def _pieces(word: str, width: float, line_width: LineWidth) -> list[str]:
    """The word in pieces that fit, broken after a hyphen or the like if there is one.

    One character is set even if it is wider than the line.
    """
    pieces = [""]
    for character in word:
        fits = line_width(pieces[-1] + character) <= width
        if pieces[-1] and not fits and not unicodedata.combining(character):
            kept_back, carried = _parted(pieces[-1])
            if line_width(carried + character) > width:  # a hyphen is narrower than a letter
                kept_back, carried = pieces[-1], ""
            pieces[-1:] = [kept_back, carried]
        pieces[-1] += character
    return pieces


def _parted(piece: str) -> tuple[str, str]:
    """A full piece, parted after its last hyphen, stroke or underscore, else at its end."""
    cut = max(piece.rfind(mark) for mark in "-_/–") + 1
    return (piece[:cut], piece[cut:]) if cut else (piece, "")
