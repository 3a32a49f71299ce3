"""The typeface of all pages and mock-ups, and the characters that it lacks.

Open Sans comes as a package of its own and covers Latin, Greek, Cyrillic and Vietnamese. A
font of the user's may add characters; any still missing print as a middle dot.
"""

import importlib.util
import struct
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import groupby
from pathlib import Path

from bidi.algorithm import get_display
from reportlab.pdfbase.ttfonts import TTFError, TTFontFile

from proofs.errors import UsageError
from proofs.outside.files import is_file
from proofs.pages.typography import LIGHT, REGULAR, SEMIBOLD, Measure

DOT = "·"
_LEFTWARDS = ("R", "AL")  # letters of Hebrew, and of Arabic and its kin
_PACKAGE = "ttf_opensans"
_FILES = {LIGHT: "OpenSans-Light", REGULAR: "OpenSans-Regular", SEMIBOLD: "OpenSans-SemiBold"}
_MEASURED = 1 << 16  # texts whose widths are remembered
_MOST_BYTES = 64 * 1024 * 1024  # the largest fonts of East Asian scripts stay below 40 MB


@dataclass(frozen=True, slots=True)
class Face:
    """One font file, with the widths of its characters in thousandths of the type size.

    ``name`` is unique among the faces of a ``Fonts``.
    """

    name: str
    path: Path
    widths: dict[int, float]

    def has(self, character: str) -> bool:
        """Return whether the font can draw this character."""
        return ord(character) in self.widths


@dataclass(frozen=True, slots=True)
class Fonts:
    """The faces of the program by weight, and the user's own font for characters they lack."""

    own: dict[str, Face]
    extra: Face | None = None

    @property
    def faces(self) -> tuple[Face, ...]:
        """All faces."""
        return (*self.own.values(), *filter(None, [self.extra]))

    def runs(self, text: str, weight: str) -> Iterator[tuple[Face, str]]:
        """Yield the text in pieces that one face can draw, missing characters as dots."""
        plain = self.own[weight]
        pairs = [(self._face_for(c, plain), c) for c in printable(self, text)]
        for name, group in groupby(pairs, key=lambda pair: pair[0].name):
            piece = "".join(c for _, c in group)
            yield (plain if name == plain.name else self.extra or plain), piece

    def width(self, text: str, weight: str, size: float) -> float:
        """Return how wide a text is, in the unit of ``size``."""
        if _is_plain(text):  # most texts are, and a page measures thousands
            widths = self.own[weight].widths
            return sum(widths[ord(character)] for character in text) * size / 1000
        pieces = self.runs(text, weight)
        return sum(face.widths[ord(c)] for face, piece in pieces for c in piece) * size / 1000

    def _face_for(self, character: str, plain: Face) -> Face:
        if self.extra and not plain.has(character) and self.extra.has(character):
            return self.extra
        return plain


@cache
def load_fonts(extra: Path | None = None) -> Fonts:
    """Return the program's typeface, with the user's own font for characters that it lacks.

    Raises ``UsageError`` if that font cannot be used.
    """
    found = importlib.util.find_spec(_PACKAGE)
    if found is None or found.origin is None:
        raise UsageError(f"the package {_PACKAGE} is missing; install the program again")
    folder = Path(found.origin).parent / "ttf"
    own = {weight: _face(name, folder / f"{name}.ttf") for weight, name in _FILES.items()}
    return Fonts(own, _extra(extra) if extra else None)


@cache
def measure_of(extra: Path | None = None) -> Measure:
    """Return what measures texts for pages; errors are those of ``load_fonts``.

    Pages are laid out by trial, and entries share most words, so widths are remembered.
    """
    return lru_cache(maxsize=_MEASURED)(load_fonts(extra).width)


def missing_glyphs(fonts: Fonts, text: str) -> str:
    """Return the characters of a text that will print as dots, each once, in order."""
    lacking = (c for c in _composed(text) if not _drawn(fonts, c))
    return "".join(dict.fromkeys(lacking))


def printable(fonts: Fonts, text: str) -> str:
    """Return the text as it will print: composed, blanks plain, missing characters as dots.

    The characters are in their order on the page from left to right, also in scripts that read
    from right to left. Letters are not joined, even in scripts that join them.
    """
    if _is_plain(text):
        return text
    return "".join(c if _drawn(fonts, c) else DOT for c in _composed(_in_order_set(text)))


def _is_plain(text: str) -> bool:
    """Whether a text is set as it is: every weight of our typeface has all of ASCII."""
    return text.isascii() and text.isprintable()


def _drawn(fonts: Fonts, character: str) -> bool:
    return fonts.own[REGULAR].has(character) or bool(fonts.extra and fonts.extra.has(character))


def _in_order_set(text: str) -> str:
    """The text from left to right (Unicode's bidirectional algorithm, UAX 9), accents composed."""
    if not any(unicodedata.bidirectional(character) in _LEFTWARDS for character in text):
        return text
    return str(get_display(unicodedata.normalize("NFC", text)))


def _composed(text: str) -> str:
    """NFC, because fonts draw composed letters; without control characters."""
    plain = "".join(" " if c.isspace() else c for c in unicodedata.normalize("NFC", text))
    return "".join(c for c in plain if not _is_unseen(c))


def _is_unseen(character: str) -> bool:
    """Whether it is a control, a joiner or a variation selector."""
    return unicodedata.category(character) in ("Cc", "Cf") or "\ufe00" <= character <= "\ufe0f"


def _extra(path: Path) -> Face:
    if not is_file(path, error=UsageError):
        raise UsageError(f"--font {path}: is not a file; name a TrueType font (.ttf)")
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise UsageError(f"--font {path}: too large for a font")
        return _face("extra", path)
    except (TTFError, struct.error, IndexError, KeyError, ValueError, AssertionError) as error:
        raise UsageError(
            f"--font {path}: {_plain(error)}; give a TrueType font (.ttf) that may be embedded"
        ) from error
    except OSError as error:
        raise UsageError(f"--font {path}: cannot be read: {error.strerror}") from error


def _plain(error: Exception) -> str:
    known = {
        "postscript outlines": "its outlines are PostScript",
        "embedding": "its licence bits forbid embedding",
    }
    text = str(error)
    return next((words for part, words in known.items() if part in text), "not a TrueType font")


def _face(name: str, path: Path) -> Face:
    """Read a font file; a glyph without a width of its own has the font's default."""
    with path.open("rb") as stream:
        font = TTFontFile(stream)
    usual = font.defaultWidth or 0.0
    widths = {code: float(font.charWidths.get(code, usual)) for code in font.charToGlyph}
    return Face(name, path, widths)
