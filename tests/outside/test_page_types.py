"""Type and filled share of every document, read from the finished PDFs.

The figures are the user's own: body text of 9 points, captions of 7.5, critical numbers of 11.
"""

import ctypes
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest

from proofs.pages.typography import ACCENT, QUIET
from tests.outside.documents import DOCUMENTS, SEASONS, Season

BODY, CAPTION, CRITICAL = 9.0, 7.5, 11.0
ROUNDED = 0.01  # sizes of type are written with three decimals

documents = pytest.mark.parametrize("name", DOCUMENTS)
# A sheet of labels holds as many as there are; each label on plain paper has its own size.
lists = pytest.mark.parametrize("name", [name for name in DOCUMENTS if "labels" not in name])
seasons = pytest.mark.parametrize("season", SEASONS, ids=str)


@dataclass(frozen=True, slots=True)
class Set:
    """A piece of text as it is set: words, size of type in points, and colour."""

    words: str
    size: float
    colour: tuple[int, int, int]


@cache
def pdf_of(name: str, season: Season) -> bytes:
    return DOCUMENTS[name](season)


def texts_of(page: pdfium.PdfPage) -> Iterator[Set]:
    """Yield every piece of text of a page."""
    held = page.get_textpage()
    for piece in page.get_objects([pdfium_c.FPDF_PAGEOBJ_TEXT]):
        count = pdfium_c.FPDFTextObj_GetText(piece.raw, held.raw, None, 0)
        buffer = ctypes.create_string_buffer(count)
        as_shorts = ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort))
        pdfium_c.FPDFTextObj_GetText(piece.raw, held.raw, as_shorts, count)
        size = ctypes.c_float()
        pdfium_c.FPDFTextObj_GetFontSize(piece.raw, size)
        shares = [ctypes.c_uint() for _ in range(4)]
        pdfium_c.FPDFPageObj_GetFillColor(piece.raw, *shares)
        matrix = piece.get_matrix()
        scale = (matrix.a**2 + matrix.b**2) ** 0.5
        red, green, blue = (share.value for share in shares[:3])
        words = buffer.raw.decode("utf-16-le").rstrip("\0")
        yield Set(words, size.value * scale, (red, green, blue))


@seasons
@documents
def test_no_type_is_smaller_than_a_caption_and_only_captions_are_smaller_than_body(
    name: str, season: Season
) -> None:
    texts = [text for page in pdfium.PdfDocument(pdf_of(name, season)) for text in texts_of(page)]
    assert texts
    assert {t for t in texts if t.size < CAPTION - ROUNDED} == set()
    # Captions are grey, and the short warnings at a foot red; letters and figures on drawings are
    # of one or two words. All else that is read is of the body's size.
    small = {t for t in texts if t.size < BODY - ROUNDED and len(t.words.split()) > 2}
    assert {t for t in small if t.colour not in (QUIET, ACCENT)} == set()


FILLED = 0.75  # of the height between head and foot
_HEAD, _FOOT, _GAP = 36.0, 46.0, 42.0  # points; nothing is in a head or foot but its own words
_DPI = 36


def filled_share(page: pdfium.PdfPage) -> float:
    """Return how much of a page's height has ink, gaps of less than 15 mm counted as filled."""
    ink = page.render(scale=_DPI / 72, grayscale=True).to_numpy() < 250
    rows = np.flatnonzero(ink.reshape(ink.shape[0], -1).any(axis=1)) * 72 / _DPI
    top, bottom = _HEAD, page.get_height() - _FOOT
    held = [top, *(row for row in rows if top < row < bottom), bottom]
    steps = np.diff(held)
    return float(1 - steps[steps > _GAP].sum() / (bottom - top))


@seasons
@lists
def test_every_page_but_the_last_is_filled(name: str, season: Season) -> None:
    pages = list(pdfium.PdfDocument(pdf_of(name, season)))
    shares = [round(filled_share(page), 2) for page in pages[:-1]]
    assert [share for share in shares if share < FILLED] == []


def test_the_numbers_to_cut_by_are_the_largest_on_their_page() -> None:
    (page,) = cutting_pages(Season(1, mounts=1))
    texts = sorted(texts_of(page), key=lambda t: -t.size)
    numbers = {t.words.strip() for t in texts if t.size == texts[0].size}
    # By hand: an image of 7 1/3 x 11 in on 16 x 20 in, less 1/8 in on each side, on sixteenths.
    assert numbers == {"4 7/16", "4 5/8"}
    limits = [t.words.strip() for t in texts if texts[0].size > t.size >= 18]
    assert limits == ["7 1/8 in", "10 3/4 in", "10 1/8 in", "7 3/16 in", "10 13/16 in"]
    assert "BACK" in {t.words.strip() for t in texts if t.size < 18}


def cutting_pages(season: Season) -> list[pdfium.PdfPage]:
    """The pages with a mat face down."""
    pages = list(pdfium.PdfDocument(pdf_of("mounting", season)))
    return [page for page in pages if any(t.words.strip() == "BACK" for t in texts_of(page))]


@seasons
def test_numbers_that_decide_are_of_11_points_at_least(season: Season) -> None:
    for page in cutting_pages(season):
        texts = list(texts_of(page))
        sums = {t for t in texts if re.match(r"[\d /.]+ \+ ", t.words)}
        assert sums
        assert min(t.size for t in sums) >= CRITICAL
    corners = [
        t for page in pdfium.PdfDocument(pdf_of("templates", season)) for t in texts_of(page)
    ]
    distances = {t for t in corners if re.match(r"[\d /.]+ (in|mm) (from the|to the)", t.words)}
    assert len(distances) >= 4
    assert min(t.size for t in distances) >= CRITICAL
