"""Pages of a PDF read back by PDFium: as pixels, and as texts with their places."""

from dataclasses import dataclass

import numpy as np
import pypdfium2 as pdfium
from numpy.typing import NDArray

MM_PER_POINT = 25.4 / 72

Codes = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Words:
    """A piece of text on one line, with its bounds in mm from the page's top left."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


def rendered(pdf: bytes, dpi: int) -> list[Codes]:
    """Return every page as RGB codes."""
    document = pdfium.PdfDocument(pdf)
    scale = dpi / 72
    return [
        np.asarray(document[n].render(scale=scale, rev_byteorder=True).to_numpy()[:, :, :3])
        for n in range(len(document))
    ]


def words_of(pdf: bytes) -> list[list[Words]]:
    """Return the pieces of text of every page, in the order in which they were set."""
    document = pdfium.PdfDocument(pdf)
    return [_words(document[n]) for n in range(len(document))]


def text_within(pdf: bytes, page: int, box: tuple[float, float, float, float]) -> str:
    """Return what is written in a box, in mm from the page's top left; lines become blanks."""
    document = pdfium.PdfDocument(pdf)
    height = document[page].get_height()
    left, top, right, bottom = (mm / MM_PER_POINT for mm in box)
    text = (
        document[page]
        .get_textpage()
        .get_text_bounded(left=left, bottom=height - bottom, right=right, top=height - top)
    )
    return " ".join(text.split())


def _words(page: pdfium.PdfPage) -> list[Words]:
    text, height = page.get_textpage(), page.get_height()
    found = []
    for n in range(text.count_rects()):
        left, bottom, right, top = text.get_rect(n)
        held = text.get_text_bounded(left=left, bottom=bottom, right=right, top=top)
        edges = (left, height - top, right, height - bottom)
        found.append(Words(held.strip(), *(edge * MM_PER_POINT for edge in edges)))
    return found
