"""Text from a stranger's file, safe to print."""

import unicodedata

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
    return shown if shown.isprintable() else "".join(map(_shown, shown))


def _shown(character: str) -> str:
    is_plain = character.isprintable() or character in _JOINERS
    if is_plain or unicodedata.category(character) == "Zs":
        return character
    return character.encode("unicode_escape").decode("ascii")
