"""How a command may end, whatever it is given: in an allowed exit code, and in harmless words."""

import unicodedata

from tests.command import Said

ALLOWED_CODES = range(6)


def fault_in(said: Said) -> str:
    """Return what is wrong with a command's exit code and messages, or nothing."""
    shown = said.out + said.err
    if said.code not in ALLOWED_CODES:
        return f"exit code {said.code}: {said.err.strip()[-300:]}"
    for words in ("Traceback", "a fault of the program", "too little memory", "Error:\n"):
        if words in shown:
            return f"printed {words!r}: {shown[max(0, shown.find(words) - 100) :][:400]}"
    if said.code and not shown.strip():
        return f"exit code {said.code} without a message"
    strange = {c for c in shown if c != "\n" and not is_harmless(c)}
    return f"printed control characters {strange!a}" if strange else ""


def is_harmless(character: str) -> bool:
    """Return whether a character neither steers a terminal nor turns the direction of reading."""
    is_blank_or_joiner = unicodedata.category(character) == "Zs" or character in "\u200c\u200d"
    return character.isprintable() or is_blank_or_joiner
