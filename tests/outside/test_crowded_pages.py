"""Pages with long titles and many pictures: no words leave their page, or lie on each other.

Read from the finished PDFs by PDFium.
"""

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest

from proofs.lengths import Unit
from tests.outside.documents import DOCUMENTS, Season
from tests.pages.outcomes import LONG_TITLE

ONE_WORD = "W" * 90 + "-" + "i" * 109
CROWDED = (
    Season(8, "a4", LONG_TITLE, mounts=1, pictures=6),
    Season(8, "letter", LONG_TITLE, unit=Unit.MM, mounts=1, pictures=6),
    Season(8, "letter", LONG_TITLE, mounts=4),
    Season(8, "a4", ONE_WORD, unit=Unit.MM, mounts=4, pictures=3),
)
EDGE = 8.5  # points: printers leave 3 mm free along the edges; common practice, no source
TOUCHING = 1.0  # points by which the bounds of two words may share room, across and down


@dataclass(frozen=True, slots=True)
class Placed:
    """Words on a page, and their bounds in points from its lower left."""

    words: str
    left: float
    bottom: float
    right: float
    top: float

    def is_over(self, other: "Placed") -> bool:
        """Whether these words and others lie on each other."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.top, other.top) - max(self.bottom, other.bottom)
        return across > TOUCHING and down > TOUCHING


def words_on(page: pdfium.PdfPage) -> Iterator[Placed]:
    """Yield each piece of text of a page that is not blank."""
    held = page.get_textpage()
    for piece in page.get_objects([pdfium_c.FPDF_PAGEOBJ_TEXT]):
        count = pdfium_c.FPDFTextObj_GetText(piece.raw, held.raw, None, 0)
        buffer = ctypes.create_string_buffer(count)
        as_shorts = ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort))
        pdfium_c.FPDFTextObj_GetText(piece.raw, held.raw, as_shorts, count)
        words = buffer.raw.decode("utf-16-le").rstrip("\0")
        if words.strip():
            yield Placed(words, *piece.get_bounds())


@pytest.mark.parametrize("season", CROWDED, ids=range(len(CROWDED)))
@pytest.mark.parametrize("name", DOCUMENTS)
def test_no_words_leave_their_page_or_lie_on_each_other(name: str, season: Season) -> None:
    outside, over = [], []
    for number, page in enumerate(pdfium.PdfDocument(DOCUMENTS[name](season)), 1):
        width, height = page.get_size()
        placed = list(words_on(page))
        outside += [
            (number, one)
            for one in placed
            if min(one.left, one.bottom) < EDGE
            or one.right > width - EDGE
            or one.top > height - EDGE
        ]
        over += [
            (number, one.words, other.words)
            for one, other in combinations(placed, 2)
            if one.is_over(other)
        ]
    assert (outside, over) == ([], [])
