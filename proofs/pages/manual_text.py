"""A page of the manual set as plain text for a terminal, from the Markdown it is written in."""

import re
import textwrap
from collections.abc import Iterator, Sequence

WIDTH = 80
"""The usual width of a terminal, in columns."""

_FENCE = re.compile(r"^( *)```")
_HEADING = re.compile(r"^(#+) (.+)$")
_ITEM = re.compile(r"^( *)(- |\d+\. )")
_PICTURE = re.compile(r"!\[([^\]]*)\]\([^)]*\)")
_LINK = re.compile(r"\[([^\]]+)\]\((?:([a-z-]+)\.md)?[^)]*\)")
_STRONG = re.compile(r"\*\*(.+?)\*\*", re.S)
_RULE = re.compile(r"^\|[-| ]+\|$")
_UNDER = {1: "=", 2: "-"}
_INDENT = "    "
_LEAST_COLUMN = 20


def for_terminal(markdown: str) -> str:
    """Return a page in lines of at most 80 columns; commands and what they print stay whole.

    >>> print(for_terminal("## Two ways\\n\\nSee [Verify](verify.md), or [the licence](LICENSE)."))
    Two ways
    --------
    <BLANKLINE>
    See Verify ('proofs manual verify'), or the licence.
    >>> for_terminal("![The board](a/board.png)")
    '(Picture: The board)'
    """
    return "\n".join(line.rstrip() for part in _parts(markdown) for line in _set(part))


def _parts(markdown: str) -> Iterator[list[str]]:
    """The lines of each part by themselves: a fenced block, a table, an item, a paragraph."""
    part: list[str] = []
    fence = ""
    for line in markdown.splitlines():
        if fence:
            part.append(line)
            if line == fence:
                yield part
                part, fence = [], ""
            continue
        opened = _FENCE.match(line)
        if opened or not line or _ITEM.match(line) or _HEADING.match(line):
            if part:
                yield part
            part = []
        if not line:
            yield [""]
            continue
        part.append(line)
        fence = f"{opened[1]}```" if opened else ""
    if part:
        yield part


def _set(part: Sequence[str]) -> list[str]:
    first = part[0]
    if fenced := _FENCE.match(first):
        return [_INDENT + line for line in part[1:-1]] if not fenced[1] else list(part[1:-1])
    if heading := _HEADING.match(first):
        under = _UNDER.get(len(heading[1]), "")
        words = _words(heading[2])
        return [words, under * len(words)] if under else [words]
    if first.startswith("|"):
        return _table(part)
    if not first:
        return [""]
    item = _ITEM.match(first)
    lead = item[0] if item else first[: len(first) - len(first.lstrip())]
    text = _words(" ".join(line.strip() for line in part)).removeprefix(lead.strip()).strip()
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _words(text: str) -> str:
    """Text without what only a browser can show: a link by its words, a picture by its caption."""

    def linked(link: re.Match[str]) -> str:
        words, topic = link.groups()
        if topic is None:
            return words
        command = f"'proofs manual {topic}'"
        return command if words == topic else f"{words} ({command})"

    plain = _LINK.sub(linked, _PICTURE.sub(r"(Picture: \1)", text))
    return _STRONG.sub(r"\1", plain)


def _table(part: Sequence[str]) -> list[str]:
    """A table in columns; the last one takes the width that is left, in as many lines as needed."""
    rows = [
        [_words(cell.strip()) for cell in re.split(r"(?<!\\)\|", line.strip("|"))]
        for line in part
        if not _RULE.match(line)
    ]
    rows = [[cell.replace("\\|", "|") for cell in row] for row in rows]
    wide = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    *others, last = wide
    left = max(WIDTH - sum(others) - 2 * len(others), min(last, _LEAST_COLUMN))
    lines: list[str] = []
    for row in rows:
        lines += _row(row, others, left)
        if row is rows[0]:
            lines.append("  ".join("-" * width for width in [*others, min(last, left)]))
    return lines


def _row(row: Sequence[str], others: Sequence[int], left: int) -> Iterator[str]:
    wrapped = textwrap.wrap(row[-1], left, break_long_words=False) or [""]
    heads = "  ".join(cell.ljust(width) for cell, width in zip(row, others, strict=False))
    for n, text in enumerate(wrapped):
        lead = heads if n == 0 else " " * len(heads)
        yield f"{lead}  {text}" if others else text
