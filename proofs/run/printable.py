"""Text from a stranger's file, safe to print."""

import json
import unicodedata

_JOINERS = "\u200c\u200d"  # several scripts need them inside words
_CUT = " ..."
_MOST_IN_A_LINE = 100_000


def printable(text: str, *, most: int = 2000) -> str:
    """Return a text in which nothing steers a terminal or turns the direction of reading.

    Control characters, direction marks and lone surrogates become escapes; a text of more than
    ``most`` characters is cut short.

    >>> printable("Pier\\x1b[2J \\u202egpj.exe"), printable("Old\\u00a0pier") == "Old\\u00a0pier"
    ('Pier\\\\x1b[2J \\\\u202egpj.exe', True)
    """
    shown = text if len(text) <= most else text[: most - len(_CUT)] + _CUT
    return shown if shown.isprintable() else "".join(map(_shown, shown))


def printable_lines(text: str) -> str:
    """Return a text made printable line by line; its line feeds stay."""
    return "\n".join(printable(line, most=_MOST_IN_A_LINE) for line in text.split("\n"))


def printable_json(text: str) -> str:
    """Return JSON for the same values that is safe to print; its line feeds stay.

    >>> printable_json('"Pier \\u202egpj"') == r'"Pier \\u202egpj"'
    True
    """
    return "".join(c if c == "\n" or _is_plain(c) else json.dumps(c)[1:-1] for c in text)


def _shown(character: str) -> str:
    if _is_plain(character):
        return character
    return character.encode("unicode_escape").decode("ascii")


def _is_plain(character: str) -> bool:
    if character.isprintable() or character in _JOINERS:
        return True
    return unicodedata.category(character) == "Zs"
