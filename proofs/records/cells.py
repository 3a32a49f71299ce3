"""Reading cells of the entries file: words, numbers and densities.

A cell is read whenever it can mean only one thing. If not, the error says what to write.
"""

import difflib
import enum
import re
import unicodedata
from collections.abc import Callable
from typing import Final, Literal, TypeVar

from proofs.densities import DARKEST, LIGHTEST, read_density, signed
from proofs.lengths import Edge

FROM_LIGHT: Final = "from light"
_MOST_STEPS = 26  # each step is named by a letter
_MOST_PICTURES = 24  # on one board; more are likelier a slip than a grid
_UNSAFE_PATH = "unsafe-path"
_MOST_CHARACTERS = 500  # of a title and the like; no label holds as many
_MOST_DIGITS = 3  # of copies; a longer number is a slip

T = TypeVar("T")
E = TypeVar("E", bound=enum.StrEnum)

Bracket = tuple[float, ...] | Literal["from light"]
"""Densities to compare, rising, or ``FROM_LIGHT`` to take those that suit the judges' light."""

_SHARE = re.compile(r"(\d{0,3}[.,]?\d{0,12})\s*(%?)")
_PLACES = (  # with decimal points, or with decimal commas
    re.compile(r"([\d.]{1,12}%?)\s*[,; ]\s*([\d.]{1,12}%?)"),
    re.compile(r"([\d,]{1,12}%?)\s*[; ]\s*([\d,]{1,12}%?)"),
)
_WRITE_DENSITY = (
    f"write a density from {signed(LIGHTEST)} to {signed(DARKEST)} such as '+0.10' or '1/3 stop'"
)
_WRITE_DENSITIES = f"{_WRITE_DENSITY}, with a semicolon between two"
_STEP_COMMA = re.compile(r";|,(?=[\s+\-\u2212])")

_BREAK = re.compile(r" *[\r\n\v\f\x85\u2028\u2029][\r\n\v\f\x85\u2028\u2029 ]*")
_OUTSIDE = re.compile(r"[/\\]|[A-Za-z]:|[A-Za-z][A-Za-z0-9+.-]*://")  # root, drive, address


def folded(text: str) -> str:
    """Return a text for comparison: case, blanks and the encoding of accents do not matter."""
    return " ".join(unicodedata.normalize("NFC", text).casefold().split())


class Orientation(enum.StrEnum):
    """Which way round a board is."""

    PORTRAIT = "portrait"
    LANDSCAPE = "landscape"


class CellError(ValueError):
    """A cell that cannot be understood: what was found, and what to write instead."""

    def __init__(self, found: str, remedy: str, *, code: str = "not-understood") -> None:
        super().__init__(f"{found}; {remedy}")
        self.found, self.remedy, self.code = found, remedy, code


def clean_cell(text: str) -> str:
    """Return a cell without surrounding blanks, repeated blanks and invisible characters.

    Spreadsheets and web pages leave no-break and zero-width blanks behind. An apostrophe at the
    start keeps a spreadsheet from reading a text as a number.

    >>> clean_cell("'\\u200b 12x8\\u00a0 in ")
    '12x8 in'
    """
    visible = "".join(c for c in text if unicodedata.category(c) != "Cf")
    return " ".join(visible.strip().removeprefix("'").split())


def one_line(text: str) -> str:
    """Return a text without surrounding blanks, each line break replaced by one blank.

    Raises ``CellError`` for control characters, and for more than 500 characters.

    >>> one_line('  Pier,  "Dawn"\\r\\nand after ')
    'Pier,  "Dawn" and after'
    """
    plain = _BREAK.sub(" ", text).strip()
    if len(plain) > _MOST_CHARACTERS:
        raise CellError(
            f"it is {len(plain)} characters long", f"shorten it to {_MOST_CHARACTERS} at most"
        )
    for letter in plain:
        if unicodedata.category(letter) == "Cc" and letter != "\t":
            raise CellError(f"it contains a control character, {letter!a}", "type the text again")
    return plain


def read_parts(text: str, reader: Callable[[str], T], pictures: int | None = None) -> tuple[T, ...]:
    """Return the parts of a cell, one for each picture of a board, separated by ``|``.

    With ``pictures`` the cell must have that many parts, or one for all pictures.

    >>> read_parts("2 | 1", read_copies, 2), read_parts("2", read_copies, 2)
    ((2, 1), (2,))
    """
    parts = text.split("|")
    if pictures is not None and len(parts) not in (1, pictures):
        found = "one picture" if pictures == 1 else f"{pictures} pictures"
        raise CellError(
            f"{text!r} has {len(parts)} parts for {found}",
            "write one part for each picture, or one for all",
        )
    if len(parts) > _MOST_PICTURES:
        raise CellError(
            f"it names {len(parts)} pictures", f"put at most {_MOST_PICTURES} on one board"
        )
    return tuple(reader(part) for part in parts)


def read_file(text: str) -> str:
    """Return the file name of a picture, with its folders below the entries file.

    A leading ``./`` is dropped; it protects a name that starts with a blank. Only the text is
    checked: whoever opens the file checks where links lead.
    """
    plain = text.strip()
    plain = plain[2:] if plain.startswith(("./", ".\\")) else plain
    if not plain:
        raise CellError("no picture is named", "write its file name, or delete the row")
    if "\0" in plain:
        raise CellError(f"{plain!a} contains a NUL", "type the name again", code=_UNSAFE_PATH)
    if _OUTSIDE.match(plain) or ".." in re.split(r"[/\\]", plain):
        found = f"{plain!r} is outside the folder of the entries file"
        remedy = (
            "copy the picture next to the entries file, or name its folder as 'pictures' in"
            " job.toml, and write only its name"
        )
        raise CellError(found, remedy, code=_UNSAFE_PATH)
    return plain


def read_board(text: str) -> Orientation | None:
    """Return which way round the board is, or None for the way that suits the picture."""
    plain = clean_cell(text).lower()
    return _one_of(text, plain, Orientation) if plain else None


def read_top_edge(text: str) -> Edge:
    """Return the edge of the picture that is at the top as it hangs; the top by default."""
    return _one_of(text, clean_cell(text).lower() or Edge.TOP, Edge)


def read_look_at(text: str) -> tuple[float, float] | None:
    """Return the place to compare steps at, as shares from left and top, or None for no wish.

    A semicolon or a blank parts the two where a comma is a decimal comma.

    >>> read_look_at("0.3,0.75"), read_look_at("0,3; 0,75"), read_look_at("30 %, 75 %")
    ((0.3, 0.75), (0.3, 0.75), (0.3, 0.75))
    """
    plain = re.sub(r"\s*%", "%", unicodedata.normalize("NFKC", clean_cell(text)))
    if not plain:
        return None
    found = next(filter(None, (place.fullmatch(plain) for place in _PLACES)), None)
    try:
        across, down = (read_share(share) for share in (found.groups() if found else ("", "")))
    except CellError:
        raise CellError(
            f"{text!r} is not a place in the picture",
            "write shares of it from its left and its top, each from 0 to 1, such as '0.3,0.75'",
        ) from None
    return across, down


def read_share(text: str) -> float:
    """Return a share of a picture, 0 to 1; it may be in per cent, and have a decimal comma.

    >>> read_share("0.25"), read_share(",25"), read_share("25 %")
    (0.25, 0.25, 0.25)
    """
    found = _SHARE.fullmatch(unicodedata.normalize("NFKC", clean_cell(text)))
    number = found[1].replace(",", ".") if found else ""
    share = float(number) / (100 if found and found[2] else 1) if number.strip(".") else -1.0
    if not 0 <= share <= 1:
        raise CellError(
            f"{text!r} is not a share of the picture", "write one from 0 to 1, such as 0.25"
        )
    return share


def read_bracket(text: str) -> Bracket | None:
    """Return the densities to compare, rising and always including 0, or None for the default.

    Semicolons separate the densities. A comma does so only before a blank or a sign, because it
    may be a decimal comma. A density given twice counts once.

    >>> read_bracket("-0,10; +0,10"), read_bracket("+0,10,+0,20")
    ((-0.1, 0.0, 0.1), (0.0, 0.1, 0.2))
    """
    if clean_cell(text).lower() == FROM_LIGHT:
        return FROM_LIGHT
    pieces = [piece.strip() for piece in _STEP_COMMA.split(clean_cell(text))]
    pieces = [piece for piece in pieces if piece]
    if not pieces:
        return None
    steps = tuple(sorted({0.0, *(_density(piece, _WRITE_DENSITIES) for piece in pieces)}))
    if len(steps) > _MOST_STEPS:
        raise CellError(
            f"{len(steps)} densities are more than the alphabet has letters",
            f"write at most {_MOST_STEPS}, including 0",
        )
    return steps


def read_chosen(text: str) -> float | str | None:
    """Return the chosen density or step letter, A to Z, or None if none is chosen yet.

    >>> read_chosen("c"), read_chosen("+0,10")
    ('C', 0.1)
    """
    plain = clean_cell(text)
    if not plain:
        return None
    if letter := re.fullmatch(r"(?:step\s+)?([A-Z])", plain, re.IGNORECASE | re.ASCII):
        return letter[1].upper()
    if not re.search(r"\d", plain):
        raise CellError(
            f"{text!r} is neither a step nor a density", "write one such as 'C' or '+0.10'"
        )
    return _density(plain, _WRITE_DENSITY)


def read_copies(text: str) -> int:
    """Return how many prints to order, 1 by default; 0 leaves the entry out of the order.

    >>> read_copies(" 2x"), read_copies("")
    (2, 1)
    """
    plain = clean_cell(text).lower().rstrip("x×").strip() or "1"
    if not (plain.isascii() and plain.isdigit() and len(plain) <= _MOST_DIGITS):
        raise CellError(
            f"{text!r} is not a number of copies", "write one such as '2'; 0 leaves the entry out"
        )
    return int(plain)


def _one_of(text: str, plain: str, kind: type[E]) -> E:
    words = [member.value for member in kind]
    if plain in words:
        return kind(plain)
    near = difflib.get_close_matches(plain, words, n=1, cutoff=0.5)
    meant = f"did you mean {near[0]!r}?" if near else f"write one of {', '.join(words)}"
    raise CellError(f"{text!r} is none of {', '.join(words)}", meant)


def _density(text: str, remedy: str) -> float:
    try:
        return read_density(text)
    except ValueError as error:
        raise CellError(str(error).partition("; write")[0], remedy) from None
