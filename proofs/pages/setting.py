"""Setting text in lines, by widths that the caller measures."""

import unicodedata
from collections.abc import Callable

LineWidth = Callable[[str], float]


def wrapped(text: str, width: float, line_width: LineWidth) -> tuple[str, ...]:
    """Return a text in lines no wider than ``width``, broken at blanks where that is possible.

    A word wider than a line is broken between characters, without a hyphen, so that joining
    the lines gives back what was written. There is always at least one line.

    >>> wrapped("the old pier at dawn", 8, len)
    ('the old', 'pier at', 'dawn')
    >>> wrapped("Donaudampfschiff", 9, len)
    ('Donaudamp', 'fschiff')
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
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
    """Return a text on one line, cut off with an ellipsis where it is wider than ``width``.

    >>> shortened("the old pier", 9, len)
    'the old…'
    """
    text = " ".join(text.split())
    if line_width(text) <= width:
        return text
    while text and line_width(text + "…") > width:
        text = text[:-1]
    return text.rstrip() + "…"


def kept(lines: tuple[str, ...], most: int, width: float, line_width: LineWidth) -> tuple[str, ...]:
    """Return at most so many of the lines, the last one ending in an ellipsis if some are left out.

    >>> kept(("the old", "pier at", "dawn"), 2, 8, len)
    ('the old', 'pier at…')
    """
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and line_width(last + "…") > width:
        last = last[:-1]
    return (*lines[: most - 1], last.rstrip() + "…")


def _pieces(word: str, width: float, line_width: LineWidth) -> list[str]:
    """The word in pieces that fit; one character is set even where it is wider than the line."""
    pieces = [""]
    for character in word:
        fits = line_width(pieces[-1] + character) <= width
        if pieces[-1] and not fits and not unicodedata.combining(character):
            pieces.append("")
        pieces[-1] += character
    return pieces
