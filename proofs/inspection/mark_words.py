"""Marks in words: what each may be, how large it is, and where."""

import math
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from proofs.inspection.marks import Lab, Mark, MarkKind, Point
from proofs.lengths import Length, millimetres

_HUNDREDTH = 100  # of a millimetre: the places of marks are not known more exactly
_GREY_CHROMA = 6.0  # below it a colour reads as neutral; common practice, no source
_HUES = (  # CIELAB hue angles up to which a name holds; common practice, no source
    (20, "pink"),
    (50, "red"),
    (75, "orange"),
    (110, "yellow"),
    (180, "green"),
    (230, "blue-green"),
    (310, "blue"),
    (340, "purple"),
    (360, "pink"),
)


def on_paper(mm: float) -> Length:
    """Return a measured length to a hundredth of a millimetre."""
    return millimetres(Fraction(round(mm * _HUNDREDTH), _HUNDREDTH))


def colour_words(colour: Lab) -> str:
    """Return a CIELAB colour as one or two words.

    >>> colour_words((97, 0, 1)), colour_words((50, 60, 40)), colour_words((12, 0, 0))
    ('white', 'red', 'black')
    """
    lightness, a, b = colour
    if math.hypot(a, b) < _GREY_CHROMA:
        if lightness > 92:
            return "white"
        if lightness < 18:
            return "black"
        return "light grey" if lightness > 60 else "dark grey"
    hue = math.degrees(math.atan2(b, a)) % 360
    name = next(words for most, words in _HUES if hue <= most)
    if lightness > 90:
        return f"pale {name}"
    return f"dark {name}" if lightness < 30 else name


def is_quiet(colour: Lab | None) -> bool:
    """Return whether a border has the colour of paper, so that it leads no eye away."""
    return colour is None or (colour[0] > 85 and math.hypot(colour[1], colour[2]) < 12)


def what(mark: Mark) -> str:
    """Return what a mark may be, such as ``dark speck`` or ``red stroke along the left``."""
    if mark.kind is MarkKind.LOST_EDGE:
        return f"{mark.side} edge lost"
    if mark.kind is MarkKind.CLIPPED:
        return "bare paper"
    if mark.kind is MarkKind.BLOCKED:
        return "blocked shadows"
    if mark.kind in (MarkKind.BORDER, MarkKind.STROKE):
        colour = f"{colour_words(mark.colour)} " if mark.colour else ""
        return f"{colour}{mark.kind} along the {mark.side}"
    tone = "dark" if mark.contrast < 0 else "light"
    return f"{tone} {mark.kind}"


def size_words(mark: Mark) -> str:
    """Return how large a mark is on paper, in both units."""
    if mark.length_mm is not None and mark.kind not in (MarkKind.BORDER, MarkKind.STROKE):
        return f"{on_paper(mark.length_mm)} long"
    if mark.width_mm is not None and mark.kind is not MarkKind.SPECK:
        return f"{on_paper(mark.width_mm)} wide"
    if mark.kind is MarkKind.SPECK and mark.area_mm2:
        return f"{on_paper(2 * math.sqrt(mark.area_mm2 / math.pi))} across"
    return f"{on_paper(mark.area.width)} by {on_paper(mark.area.height)}"


def contrast_words(mark: Mark) -> str:
    """Return how far a mark differs from its ground."""
    if mark.kind is MarkKind.LOST_EDGE:
        return f"CIEDE2000 {mark.contrast:.1f}"
    if mark.kind in (MarkKind.CLIPPED, MarkKind.BLOCKED):
        return f"step {mark.step}" if mark.step else "in the picture itself"
    return f"{abs(mark.contrast):.0f} L*"


def where(place: Point) -> str:
    """Return a place counted from the top left of the image."""
    left, top = (on_paper(mm) for mm in place)
    return f"{left} from the left, {top} from the top"


def counts(marks: Sequence[Mark]) -> str:
    """Return how many marks there are of each kind, such as ``3 dark specks, 1 light streak``."""
    kinds = Counter(what(mark) for mark in marks)
    return ", ".join(f"{n} {_several(words) if n > 1 else words}" for words, n in kinds.items())


def _several(words: str) -> str:
    if words.endswith("hair or scratch"):
        return words.replace("hair or scratch", "hairs or scratches")
    return f"{words}s"
