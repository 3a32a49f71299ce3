"""The plot of a wedge that was read back, as a PDF."""

from collections.abc import Sequence

from proofs.inspection.wedge_reading import WedgeReading
from proofs.outside.fonts import load_fonts
from proofs.outside.pdf import no_pictures, write_pdf
from proofs.pages.strip.reading_plot import reading_page


def reading_pdf(reading: WedgeReading, *, name: str, said: Sequence[str]) -> bytes:
    """Return the page of a reading; ``name`` is the scan's, ``said`` stands above the plots."""
    fonts = load_fonts()

    def measure(text: str, weight: str, size: float) -> float:
        return fonts.width(text, weight, size)

    page = reading_page(reading, name=name, said=said, measure=measure)
    return write_pdf([page], fonts=fonts, picture_bytes=no_pictures, title="The wedge read back")
