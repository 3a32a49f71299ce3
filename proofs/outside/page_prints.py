"""The pages of a PDF as pictures on the lab's sheets, for a lab that takes only pictures."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from proofs.lengths import NM_PER_INCH, Length, PixelSize, Size
from proofs.outside.pixels.prints.encoding import page_file
from proofs.pixel_areas import Area, size_in_pixels
from proofs.records.labs import Lab

_PAPER = 255
_POINTS_PER_INCH = 72


def page_prints(pdf: bytes | Path, lab: Lab) -> Iterator[bytes]:
    """Yield one file for each page, at the lab's ppi, in its space and format.

    ``pdf`` is the document or its file. Each page is at 100 % in the middle of the smallest paper
    sheet that holds it. If none does, the file is the page alone.
    """
    import pypdfium2  # takes 50 ms, which only a run with page prints needs

    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            bitmap = page.render(scale=lab.ppi / _POINTS_PER_INCH, rev_byteorder=True)
            drawn = bitmap.to_numpy()[..., :3]
            size = Size(*(_on_paper(points) for points in page.get_size()))
            sheet = next((s for s in lab.sheets_like(size) if s.holds(size)), size)
            yield page_file(_on_sheet(drawn, sheet, lab.ppi), lab)
    finally:
        document.close()


def _on_paper(points: float) -> Length:
    return Length(round(points * NM_PER_INCH / _POINTS_PER_INCH))


def _on_sheet(page: NDArray[np.uint8], sheet: Size, ppi: int) -> NDArray[np.uint8]:
    size, whole = PixelSize(page.shape[1], page.shape[0]), size_in_pixels(sheet, ppi)
    whole = PixelSize(max(whole.width, size.width), max(whole.height, size.height))
    place = Area.of(whole).centred(size)
    canvas = np.full((whole.height, whole.width, 3), _PAPER, np.uint8)
    canvas[place.top : place.bottom, place.left : place.right] = page
    return canvas
