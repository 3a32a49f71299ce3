"""Facts set one below the other in a column, each under a small caption."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from proofs.lengths import Size
from proofs.pages.drawing import Block, Line, stacked
from proofs.pages.typography import ASIDE, BODY, CAPTION, HAIRLINE, QUIET, Setter, Words, text_at

_GAP = 7.0
_MOST_LINES = 8  # of one text

Lines: TypeAlias = tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class Fact:
    """A caption with lines below it; ``is_to_fill_in`` adds blanks for a size by the ruler."""

    caption: str
    lines: Lines
    is_to_fill_in: bool = False


def facts_block(setter: Setter, facts: Sequence[Fact]) -> Block:
    """Return facts set one below the other in one column."""
    return stacked([_set(setter, fact) for fact in facts], gap=_GAP)


def both_units(size: Size) -> Lines:
    """Return a size on two lines, inches and centimetres."""
    in_inches, _, in_centimetres = str(size).partition(" (")
    return ((in_inches, BODY), (in_centimetres.rstrip(")"), ASIDE))


def _set(setter: Setter, fact: Fact) -> Block:
    words = ((fact.caption, CAPTION), *fact.lines)
    block = setter.stack(words, setter.column, most=_MOST_LINES)
    return stacked([block, _to_fill_in(setter)]) if fact.is_to_fill_in else block


def _to_fill_in(setter: Setter) -> Block:
    """Two rules to write on, with a cross between them."""
    words, cross, y = "By ruler", "×", 19.0
    start, wide = setter.wide(words, CAPTION) + 5, setter.wide(cross, BODY)
    half = (setter.column - start - wide - 6) / 2
    rest = start + half + wide + 6
    marks = (
        text_at(words, CAPTION, 0, y),
        Line((start, y + 1), (start + half, y + 1), HAIRLINE, QUIET),
        text_at(cross, ASIDE, start + half + 3, y),
        Line((rest, y + 1), (rest + half, y + 1), HAIRLINE, QUIET),
    )
    return Block(y + 4, marks)
