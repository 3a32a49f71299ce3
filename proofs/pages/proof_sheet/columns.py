"""Facts set one below the other in a column, each under a small caption."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from proofs.pages.drawing import Block, Line, Text, stacked
from proofs.pages.typography import BODY, CAPTION, HAIRLINE, QUIET, Setter, Style

_GAP = 7.0

Lines: TypeAlias = tuple[tuple[str, Style], ...]


@dataclass(frozen=True, slots=True)
class Fact:
    """A caption with lines below it; ``is_to_fill_in`` adds a blank for the ruler's reading."""

    caption: str
    lines: Lines
    is_to_fill_in: bool = False


def facts_block(setter: Setter, facts: Sequence[Fact]) -> Block:
    """Return facts set one below the other in one column."""
    return stacked([_set(setter, fact) for fact in facts], gap=_GAP)


def _set(setter: Setter, fact: Fact) -> Block:
    width = setter.column
    blocks = [setter.paragraph(fact.caption, CAPTION, width)]
    blocks += [setter.paragraph(text, style, width) for text, style in fact.lines]
    if fact.is_to_fill_in:
        blocks.append(_to_fill_in(setter))
    return stacked(blocks)


def _to_fill_in(setter: Setter) -> Block:
    """Two rules to write on, parted by a cross."""
    words, cross, y = "By the ruler", "×", 19.0
    start, wide = setter.wide(words, CAPTION) + 5, setter.wide(cross, BODY)
    half = (setter.column - start - wide - 6) / 2
    rest = start + half + wide + 6
    marks = (
        Text(0, y, words, CAPTION.weight, CAPTION.size, CAPTION.colour),
        Line((start, y + 1), (start + half, y + 1), HAIRLINE, QUIET),
        Text(start + half + 3, y, cross, BODY.weight, BODY.size, QUIET),
        Line((rest, y + 1), (rest + half, y + 1), HAIRLINE, QUIET),
    )
    return Block(y + 4, marks)
