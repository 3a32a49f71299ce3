"""The stamp on the pages of prints that have not been measured yet."""

from collections.abc import Sequence

from proofs.pages.drawing import Mark, Text, frame
from proofs.pages.setting import shortened
from proofs.pages.typography import ACCENT, SEMIBOLD, Setter, Style

STAMP = "Planned: measure the print first"
_STAMP = Style(SEMIBOLD, 9.5, ACCENT)
_NUMBERS_WIDE = 220.0
_TOP = 18.0  # no printer leaves more than 1/4 in of a page unprinted


def stamped(words: str, setter: Setter, left: float) -> tuple[Mark, ...]:
    """Return the stamp with a frame round it, at the top right of a page.

    ``left`` is the page's margin; without words there is no frame.
    """
    if not words:
        return ()
    text = setter.paragraph(words, _STAMP, setter.width - 16, most=1)
    wide = max(setter.wide(mark.text, _STAMP) for mark in text.marks if isinstance(mark, Text)) + 16
    x = left + setter.width - wide
    edge = frame(x, _TOP, wide, text.height + 9, line=1.0, colour=ACCENT)
    return (*edge, *text.at(x + 8, _TOP + 4.5))


def stamp_words(unmeasured: Sequence[str], count: int, setter: Setter) -> str:
    """Return the words of the stamp for ``count`` entries, blank if all are measured.

    ``unmeasured`` holds the numbers of the entries that have not been measured; the stamp names
    them unless it is all of them.
    """
    if not unmeasured:
        return ""
    if len(unmeasured) == count:
        return STAMP
    numbers = shortened(", ".join(unmeasured), _NUMBERS_WIDE, lambda t: setter.wide(t, _STAMP))
    return f"{STAMP} ({numbers})"
