"""Pages as the bytes of a PDF, for tests that read it back."""

import io
from collections.abc import Sequence

from proofs.outside.fonts import Fonts
from proofs.outside.pdf import PictureBytes, draw_pdf
from proofs.pages.drawing import Page


def bytes_of(
    pages: Sequence[Page],
    *,
    fonts: Fonts,
    picture_bytes: PictureBytes,
    title: str,
    author: str = "",
) -> bytes:
    """Return what ``draw_pdf`` writes."""
    stream = io.BytesIO()
    draw_pdf(stream, pages, fonts=fonts, picture_bytes=picture_bytes, title=title, author=author)
    return stream.getvalue()
