"""File names that are safe on every system and that a lab cannot mistake for instructions."""

import re
import unicodedata
from collections.abc import Iterable

from proofs.records.entries import Entry

DEVICES = re.compile(r"con|prn|aux|nul|(?:com|lpt)[0-9]", re.IGNORECASE)
"""Names of devices, which some systems refuse as file names whatever the ending; from memory."""

_TITLE_MOST = 40
_NUMBER_MOST = 20


def stems(entries: Iterable[Entry]) -> dict[str, str]:
    """Return, by entry number, the start of its files' names: ``{number}_{title}``.

    Names are lower-case ASCII and unique. A title without a Latin letter is replaced by the name
    of the photograph's file.
    """
    taken: set[str] = set()
    named = {}
    for entry in entries:
        number = ascii_name(entry.number)[:_NUMBER_MOST] or "x"
        title = ascii_name(nameable_title(entry)) or "picture"
        named[entry.number] = unused(f"{number}_{title[:_TITLE_MOST].strip('-_')}", taken)
    return named


def unused(wanted: str, taken: set[str]) -> str:
    """Return a name that is not taken, with a counter if necessary, and add it to the taken ones.

    ``taken`` holds names in lower case, because some systems ignore case.
    """
    name, count = wanted, 1
    while name.lower() in taken:
        count += 1
        name = f"{wanted}-{count}"
    taken.add(name.lower())
    return name


def nameable_title(entry: Entry) -> str:
    """Return the title, or the name of the photograph's file if it has no Latin letter."""
    file = re.sub(r"\.\w+$", "", re.split(r"[/\\]", entry.file)[-1])
    return entry.title if ascii_name(entry.title) else file


def ascii_name(text: str) -> str:
    """Return the letters and digits of a text as lower-case ASCII, with ``-`` between words.

    >>> ascii_name("Łódź: Évening / No. 7"), ascii_name("Вечер")
    ('lodz-evening-no-7', '')
    """
    return spelled(text).lower()


def spelled(text: str) -> str:
    """Return the letters and digits of a text as ASCII, with ``-`` between words and its capitals.

    >>> spelled("Łódź: Évening / No. 7")
    'Lodz-Evening-No-7'
    """
    letters = unicodedata.normalize("NFKD", text.translate(_SPELLED))
    # Dashes and blanks beyond ASCII separate words too; all else beyond ASCII is dropped.
    parted = "".join("-" if unicodedata.category(c)[0] in "PSZ" else c for c in letters)
    plain = parted.encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9]+", "-", plain).strip("-")


# Letters that Unicode does not decompose to ASCII.
_SPELLED = str.maketrans(
    {"ß": "ss", "æ": "ae", "Æ": "AE", "ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "œ": "oe"}
    | {"Œ": "OE", "đ": "d", "Đ": "D", "ð": "d", "Ð": "D", "þ": "th", "Þ": "Th", "ı": "i"}
    | {"'": "", "’": ""}
)
