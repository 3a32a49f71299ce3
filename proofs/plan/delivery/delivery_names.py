"""File names for a lab: in its own pattern, safe on every system, and without densities."""

import re
from collections.abc import Collection, Mapping

from proofs.lengths import Size, Unit, shown
from proofs.plan.entry.naming import DEVICES, ascii_name
from proofs.records.labs import Lab

# A lab operator reads "+0.10" or "1/3 stop" as an instruction, even in a title.
_DENSITY = re.compile(
    r"[+\-\u2212\u00b1]\s*\d*[.,]\d+(\s*D\b)?|\d*[.,]\d+\s*D\b|[+\-\u2212\u00b1]?\s*\d+\s*/\s*\d+\s*stops?\b",
    re.IGNORECASE,
)
_LONG = ("title", "category", "paper", "finish")  # what is shortened first in a long name
_ENDS = "-_"


def delivery_name(lab: Lab, words: Mapping[str, str], taken: Collection[str]) -> str:
    """Return a name in the lab's pattern that is not among the ``taken`` ones.

    ``words`` holds the words for the placeholders, as people write them. The name is lower-case
    ASCII with the lab's ending. A name that is too long is shortened, the title first.
    """
    plain = {key: ascii_name(_DENSITY.sub(" ", text)) for key, text in words.items()}
    most = lab.name_most - len(lab.suffix)
    wanted, count, end = _filled(lab.pattern, plain, most), 1, ""
    while f"{wanted}{end}{lab.suffix}" in taken:
        count += 1
        end = f"-{count}"
        wanted = _filled(lab.pattern, plain, most - len(end))
    return f"{wanted}{end}{lab.suffix}"


def fits_pattern(lab: Lab, name: str) -> bool:
    """Return whether a name suits this lab: its length, its letters and its ending."""
    stem = name.removesuffix(lab.suffix)
    safe = re.fullmatch(r"[a-z0-9][a-z0-9_-]*", stem) and not DEVICES.fullmatch(stem)
    return bool(safe) and len(name) <= lab.name_most and name.endswith(lab.suffix)


def sheet_words(sheet: Size) -> str:
    """Return a paper sheet as labs name it: the shorter side first, in inches if they are whole.

    >>> from proofs.measures import read_size
    >>> sheet_words(read_size("10x8 in")), sheet_words(read_size("297x210 mm"))
    ('8 × 10 in', '210 × 297 mm')
    """
    sides = (sheet.shortest, sheet.longest)
    is_imperial = all(re.fullmatch(r"\d+ in", shown(side, Unit.IN)) for side in sides)
    unit = Unit.IN if is_imperial else Unit.MM
    short, long = (shown(side, unit).removesuffix(f" {unit}") for side in sides)
    return f"{short} × {long} {unit}"


def sheet_word(sheet: Size) -> str:
    """Return a paper sheet as it is named in a file name.

    >>> from proofs.measures import read_size
    >>> sheet_word(read_size("10x8 in"))
    '8x10in'
    """
    return sheet_words(sheet).replace(" ", "").replace("×", "x")


def _filled(pattern: str, words: Mapping[str, str], most: int) -> str:
    """The pattern with its words, in at most this many characters."""
    held = dict(words)
    filled = _set(pattern, held)
    for key in _LONG:
        over = len(filled) - most
        if over > 0 and held.get(key):
            held[key] = held[key][: max(0, len(held[key]) - over)].strip(_ENDS)
            filled = _set(pattern, held)
    filled = filled[:most].strip(_ENDS) or "print"[:most]
    return f"x-{filled}"[:most] if DEVICES.fullmatch(filled) else filled


def _set(pattern: str, words: Mapping[str, str]) -> str:
    """The pattern with its words; marks that a blank word leaves side by side become one."""
    text = re.sub(r"\{([a-z]+)\}", lambda found: words.get(found[1], ""), pattern).lower()
    return re.sub(r"([-_])[-_]+", r"\1", text).strip(_ENDS)
