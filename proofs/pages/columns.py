"""Text in columns, with wide and combining characters counted as a terminal shows them."""

from collections.abc import Sequence

from wcwidth import wcswidth

_CUT = "…"


def in_columns(rows: Sequence[Sequence[str]]) -> list[str]:
    """Return rows of cells as lines, each column as wide as its widest cell.

    >>> in_columns([("mount 9", "make 2"), ("mount 10", "make 1")])
    ['mount 9   make 2', 'mount 10  make 1']
    """
    widths = [max(map(display_width, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(filled(cell, wide) for cell, wide in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def filled(text: str, width: int) -> str:
    """Return a text with blanks after it, up to so many columns."""
    return text + " " * (width - display_width(text))


def display_width(text: str) -> int:
    """Return how many columns of a terminal a printable text takes.

    >>> display_width("Pier"), display_width("桟橋"), display_width("cafe\\u0301")
    (4, 4, 4)
    """
    return max(0, wcswidth(text))


def cut_to(text: str, width: int) -> str:
    """Return a text that takes at most so many columns; what is cut off is marked.

    >>> cut_to("The old landing", 8), cut_to("桟橋と海", 6)
    ('The old…', '桟橋…')
    """
    if display_width(text) <= width:
        return text
    taken = ""
    for character in text:
        if display_width(taken + character) > width - 1:
            break
        taken += character
    return f"{taken.rstrip()}{_CUT}"
