"""Text from a stranger's file, safe to print."""

import json
import unicodedata
from collections.abc import Callable

_JOINERS = "\u200c\u200d"  # several scripts need them inside words
_CUT = " ..."


def printable(text: str, *, most: int = 2000) -> str:
    """Return a text in which nothing steers a terminal or turns the direction of reading.

    Control characters, direction marks and lone surrogates become escapes; a text of more than
    ``most`` characters is cut short.

    >>> printable("Pier\\x1b[2J \\u202egpj.exe"), printable("Old\\u00a0pier") == "Old\\u00a0pier"
    ('Pier\\\\x1b[2J \\\\u202egpj.exe', True)
    """
    shown = text if len(text) <= most else text[: most - len(_CUT)] + _CUT
    return shown if shown.isprintable() else _escaped(shown, ascii)


def escaped_json(text: str) -> str:
    """Return a JSON text, of several lines, that holds the same values and is safe to print.

    >>> escaped_json('["\\u202egpj", "Old pier"]')
    '["\\\\u202egpj", "Old pier"]'
    """
    return "\n".join(
        line if line.isprintable() else _escaped(line, json.dumps) for line in text.split("\n")
    )


def _escaped(text: str, quoted: Callable[[str], str]) -> str:
    """The text with all but plain characters as ``quoted`` writes them between quotes."""
    return "".join(c if _is_plain(c) else quoted(c)[1:-1] for c in text)


def _is_plain(character: str) -> bool:
    is_shown = character.isprintable() or character in _JOINERS
    return is_shown or unicodedata.category(character) == "Zs"
