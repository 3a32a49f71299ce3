"""Cells of the entries file that hold a word or densities, each read to one value.

Reading is forgiving where only one meaning is possible, and says what to write where not.
"""

import difflib
import enum
import re
import unicodedata
from collections.abc import Callable
from typing import Final, Literal, TypeVar

from proofs.densities import DARKEST, LIGHTEST, read_density, signed
from proofs.lengths import Edge

UNSAFE = "unsafe-path"
FROM_LIGHT: Final = "from light"
_MOST_DIGITS = 3  # of copies: more is a slip
MOST_STEPS = 26  # each step wears a letter
MOST_PICTURES = 24  # on one board; more is likelier a slip than a grid

T = TypeVar("T")
E = TypeVar("E", bound=enum.StrEnum)

Bracket = tuple[float, ...] | Literal["from light"]
"""Densities to compare, rising, or ``FROM_LIGHT`` for those that the judges' light gives."""

_WITHIN = (
    f"write a density from {signed(LIGHTEST)} to {signed(DARKEST)} such as '+0.10' or '1/3 stop'"
)
_PARTED = f"{_WITHIN}, and a semicolon between two"
_STEP_COMMA = re.compile(r";|,(?=[\s+\-\u2212])")

_BREAK = re.compile(r" *[\r\n\v\f\x85\u2028\u2029][\r\n\v\f\x85\u2028\u2029 ]*")
_OUTSIDE = re.compile(r"[/\\]|[A-Za-z]:|[A-Za-z][A-Za-z0-9+.-]*://")  # root, drive, address


class Orientation(enum.StrEnum):
    """Which way a board lies."""

    PORTRAIT = "portrait"
    LANDSCAPE = "landscape"


class CellError(ValueError):
    """A cell that cannot be understood: what was found, and what to write instead."""

    def __init__(self, found: str, remedy: str, *, code: str = "not-understood") -> None:
        super().__init__(f"{found}; {remedy}")
        self.found, self.remedy, self.code = found, remedy, code


def read_board(text: str) -> Orientation | None:
    """Return which way the board lies, or None for what suits the picture."""
    plain = tidy(text).lower()
    return _one_of(text, plain, Orientation) if plain else None


def read_top_edge(text: str) -> Edge:
    """Return the edge of the picture that hangs up; a blank cell means the top."""
    return _one_of(text, tidy(text).lower() or Edge.TOP, Edge)


def read_bracket(text: str) -> Bracket | None:
    """Return the densities to compare, rising, 0 always among them, or None for the default.

    ``FROM_LIGHT`` where the cell says ``from light``: the judges' light then gives them.

    Values are parted by semicolons, or by commas that a blank or a sign follows, so that
    decimal commas stay whole. A value given twice counts once.

    >>> read_bracket("-0,10; +0,10"), read_bracket("+0,10,+0,20")
    ((-0.1, 0.0, 0.1), (0.0, 0.1, 0.2))
    """
    if tidy(text).lower() == FROM_LIGHT:
        return FROM_LIGHT
    pieces = [piece.strip() for piece in _STEP_COMMA.split(tidy(text))]
    pieces = [piece for piece in pieces if piece]
    if not pieces:
        return None
    steps = tuple(sorted({0.0, *(_density(piece, _PARTED) for piece in pieces)}))
    if len(steps) > MOST_STEPS:
        raise CellError(
            f"{len(steps)} densities are more than the alphabet has letters",
            f"write at most {MOST_STEPS}, 0 among them",
        )
    return steps


def read_chosen(text: str) -> float | str | None:
    """Return the density or the step letter, A to Z, that was chosen; None for none yet.

    >>> read_chosen("c"), read_chosen("+0,10")
    ('C', 0.1)
    """
    plain = tidy(text)
    if not plain:
        return None
    if letter := re.fullmatch(r"(?:step\s+)?([A-Z])", plain, re.IGNORECASE | re.ASCII):
        return letter[1].upper()
    if not re.search(r"\d", plain):
        raise CellError(
            f"{text!r} is neither a step nor a density", "write one such as 'C' or '+0.10'"
        )
    return _density(plain, _WITHIN)


def read_copies(text: str) -> int:
    """Return how many prints a lab is to make; a blank cell means one, 0 leaves the entry out.

    >>> read_copies(" 2x"), read_copies("")
    (2, 1)
    """
    plain = tidy(text).lower().rstrip("x×").strip() or "1"
    if not (plain.isascii() and plain.isdigit() and len(plain) <= _MOST_DIGITS):
        raise CellError(
            f"{text!r} is no number of copies", "write one such as '2'; 0 leaves the entry out"
        )
    return int(plain)


def tidy(text: str) -> str:
    """Return a cell without outer blanks, doubled ones, and marks that no one can see.

    Spreadsheets and web pages leave no-break and zero-width blanks; an apostrophe in front
    keeps a spreadsheet from taking a text for a number.

    >>> tidy("'\\u200b 12x8\\u00a0 in ")
    '12x8 in'
    """
    seen = "".join(c for c in text if unicodedata.category(c) != "Cf")
    return " ".join(seen.strip().removeprefix("'").split())


def one_line(text: str) -> str:
    """Return a text as written but for its ends and for line breaks, each of them a blank.

    Raises ``CellError`` where it holds characters that no one can have meant.

    >>> one_line('  Pier,  "Dawn"\\r\\nand after ')
    'Pier,  "Dawn" and after'
    """
    plain = _BREAK.sub(" ", text).strip()
    for letter in plain:
        if unicodedata.category(letter) == "Cc" and letter != "\t":
            raise CellError(f"a control character, {letter!a}, stands in it", "type the text anew")
    return plain


def read_file(text: str) -> str:
    """Return the name of a picture, with the folders that lead to it from the entries file.

    A ``./`` in front is dropped; it can hold a blank that opens a name. Only the text is
    looked at: where links lead is for those who open files.
    """
    plain = text.strip()
    plain = plain[2:] if plain.startswith(("./", ".\\")) else plain
    if not plain:
        raise CellError("no picture is named", "write its file name, or delete the row")
    if "\0" in plain:
        raise CellError(f"{plain!a} holds a NUL", "type the name anew", code=UNSAFE)
    if _OUTSIDE.match(plain) or ".." in re.split(r"[/\\]", plain):
        remedy = "copy the picture beside the entries file and write its name alone"
        raise CellError(f"{plain!r} leads out of the entries file's folder", remedy, code=UNSAFE)
    return plain


def read_parts(text: str, reader: Callable[[str], T], pictures: int | None = None) -> tuple[T, ...]:
    """Return what stands in a cell for each picture of a board, parted by strokes, ``|``.

    With ``pictures`` there must be as many parts, or one for all of them.

    >>> read_parts("2 | 1", read_copies, 2), read_parts("2", read_copies, 2)
    ((2, 1), (2,))
    """
    parts = text.split("|")
    if pictures is not None and len(parts) not in (1, pictures):
        found = "one picture" if pictures == 1 else f"{pictures} pictures"
        raise CellError(
            f"{text!r} has {len(parts)} parts for {found}",
            "write one part a picture, or one for all",
        )
    if len(parts) > MOST_PICTURES:
        raise CellError(
            f"{len(parts)} pictures are named", f"put at most {MOST_PICTURES} on one board"
        )
    return tuple(reader(part) for part in parts)


def _one_of(text: str, plain: str, kind: type[E]) -> E:
    choices = [member.value for member in kind]
    if plain in choices:
        return kind(plain)
    near = difflib.get_close_matches(plain, choices, n=1, cutoff=0.5)
    meant = f"did you mean {near[0]!r}?" if near else f"write one of {', '.join(choices)}"
    raise CellError(f"{text!r} is none of {', '.join(choices)}", meant)


def _density(text: str, remedy: str) -> float:
    try:
        return read_density(text)
    except ValueError as error:
        raise CellError(str(error).partition("; write")[0], remedy) from None
