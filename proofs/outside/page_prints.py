"""The pages of a PDF as pictures on the lab's sheets, for a lab that takes only pictures."""

from collections.abc import Iterator
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from proofs.lengths import NM_PER_INCH, Length, Size, half_up
from proofs.outside.pixels.prints.encoding import page_file
from proofs.records.labs import Lab

_PAPER = 255
_POINTS_PER_INCH = 72


def page_prints(pdf: bytes, lab: Lab) -> Iterator[bytes]:
    """Yield one file for each page, at the lab's ppi, in its space and format.

    Each page is at 100 % in the middle of the smallest paper sheet that holds it; where none
    does, the file is the page alone.
    """
    import pypdfium2  # takes 50 ms, which only a run with page prints needs

    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            bitmap = page.render(scale=lab.ppi / _POINTS_PER_INCH, rev_byteorder=True)
            drawn = bitmap.to_numpy()[..., :3]
            size = Size(*(_on_paper(points) for points in page.get_size()))
            yield page_file(_on_sheet(drawn, _sheet(size, lab), lab.ppi), lab)
    finally:
        document.close()


def _on_paper(points: float) -> Length:
    return Length(round(points * NM_PER_INCH / _POINTS_PER_INCH))


def _sheet(page: Size, lab: Lab) -> Size:
    sheets = [s if s.is_portrait == page.is_portrait else s.turned for s in lab.sheets]
    return min((s for s in sheets if s.holds(page)), key=lambda s: s.square_nm, default=page)


def _on_sheet(page: NDArray[np.uint8], sheet: Size, ppi: int) -> NDArray[np.uint8]:
    height = max(page.shape[0], _pixels(sheet.height, ppi))
    width = max(page.shape[1], _pixels(sheet.width, ppi))
    canvas = np.full((height, width, 3), _PAPER, np.uint8)
    top, left = (height - page.shape[0]) // 2, (width - page.shape[1]) // 2
    canvas[top : top + page.shape[0], left : left + page.shape[1]] = page
    return canvas


def _pixels(length: Length, ppi: int) -> int:
    return half_up(Fraction(length.nm * ppi, NM_PER_INCH))
