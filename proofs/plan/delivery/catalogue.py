"""Catalogue copies for the screen: their pixels, their titles, and the names of their files."""

import math
import re
import unicodedata
from collections.abc import Sequence
from fractions import Fraction

from proofs.lengths import PixelSize, half_up
from proofs.plan.entry.naming import DEVICES, spelled, unused
from proofs.records.entries import Entry, title_from
from proofs.records.rules import NAME_PARTS, CatalogueRule

FOLDER, SUFFIX = "catalogue", ".jpg"
_PART_MOST = {"number": 20, "title": 60, "category": 30}
_STEM_MOST = 100
_TITLE_MOST = 2000
_PART = re.compile(rf"\{{({'|'.join(NAME_PARTS)})\}}")


def catalogue_pixels(hung: PixelSize, rule: CatalogueRule) -> PixelSize:
    """Return the pixels of a picture's copy: within the rule's box, never more than the picture's.

    The box does not turn: the width limits a landscape picture, and the height a portrait one.

    >>> str(catalogue_pixels(PixelSize(6000, 4000), CatalogueRule(1920, 1200)))
    '1800 × 1200 px'
    """
    shares = [Fraction(1)]
    if rule.width_px is not None:
        shares.append(Fraction(rule.width_px, hung.width))
    if rule.height_px is not None:
        shares.append(Fraction(rule.height_px, hung.height))
    return _scaled(hung, min(shares))


def title_inside(title: str) -> str:
    """Return a title as it is written inside a copy: without invisible characters.

    >>> title_inside("Old\\u00a0pier,\\tdawn\\0") == "Old\\u00a0pier,dawn"
    True
    """
    seen = (c for c in title if c.isprintable() or unicodedata.category(c) == "Zs")
    return "".join(seen)[:_TITLE_MOST].strip()


def fewer_pixels(size: PixelSize, found: int, most: int) -> PixelSize:
    """Return the pixels at which a copy of ``found`` bytes will take ``most`` or a little less.

    The longer side is at least a pixel shorter, so that trying again always ends.
    """
    longest = max(size.width, size.height)
    wanted = min(longest - 1, int(longest * math.sqrt(most / found) * 0.98))
    return _scaled(size, Fraction(max(1, wanted), longest))


def catalogue_names(pictures: Sequence[tuple[Entry, str]], pattern: str) -> tuple[str, ...]:
    """Return the file name of each picture's copy, in order; a picture is an entry and its file.

    Names are ASCII, keep their capitals, and are unique even if case is ignored. A word that
    an entry leaves blank is left out of the pattern, together with the mark after it.
    """
    taken: set[str] = set()
    names = []
    for entry, file in pictures:
        title = spelled(entry.title) or spelled(title_from(file)) or "picture"
        names.append(unused(_stem(pattern, entry.number, title, entry.category), taken) + SUFFIX)
    return tuple(names)


def _scaled(size: PixelSize, share: Fraction) -> PixelSize:
    return PixelSize(max(1, half_up(size.width * share)), max(1, half_up(size.height * share)))


def is_named_by(pattern: str, name: str, *, number: str, title: str, category: str) -> bool:
    """Return whether a copy's name follows the pattern, with a counter or without.

    A title without a Latin letter was replaced by a file name, which is not known here; then any
    name of safe letters passes.
    """
    stem = name.removesuffix(SUFFIX)
    if stem == name or not re.fullmatch(r"[A-Za-z0-9_-]+", stem):
        return False
    if "{title}" in pattern and not spelled(title):
        return True
    wanted = re.escape(_stem(pattern, number, spelled(title), category))
    return re.fullmatch(rf"{wanted}(-[0-9]+)?", stem) is not None


def _stem(pattern: str, number: str, title: str, category: str) -> str:
    """The name without its ending; ``title`` is in ASCII already."""
    values = {"number": spelled(number) or "x", "title": title, "category": spelled(category)}
    pieces = _PART.split(pattern)  # marks and placeholders alternate
    made = pieces[0]
    for part, marks in zip(pieces[1::2], pieces[2::2], strict=True):
        if value := values[part][: _PART_MOST[part]].strip("-"):
            made += value + marks
    stem = made[:_STEM_MOST].strip("-_") or "picture"
    return f"{stem}_" if DEVICES.fullmatch(stem) else stem
