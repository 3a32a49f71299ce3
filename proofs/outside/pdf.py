"""Pages written as a PDF: the same pages give the same bytes, and every colour is sRGB."""

import io
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any, BinaryIO

from reportlab import rl_config
from reportlab.pdfbase import pdfdoc, pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from proofs.errors import WriteError
from proofs.lengths import Unit
from proofs.outside.files import MOST_PICTURE_BYTES, read_bytes, sha256_of_bytes
from proofs.outside.fonts import Fonts, load_fonts, measure_of
from proofs.outside.pdf_colour import draw_jpeg, tag_srgb
from proofs.outside.sheet_pictures import sheet_pictures
from proofs.pages.drawing import Anchor, Line, Link, Mark, Page, Placed, Shape, Text
from proofs.pages.flow import PageLayout
from proofs.pages.mount_drawing import WHOLE
from proofs.plan.entry.mockup import Colour

PictureBytes = Callable[[str], bytes]
LayOut = Callable[[PageLayout], Sequence[Page]]  # once the fonts can measure text

# Otherwise the library writes every stream as text, a quarter larger.
rl_config.useA85 = 0


def draw_pdf(
    stream: BinaryIO,
    pages: Sequence[Page],
    *,
    fonts: Fonts,
    picture_bytes: PictureBytes,
    title: str,
    author: str = "",
) -> None:
    """Write the pages as a PDF with bookmarks into a stream, object by object.

    Without an anchor the title is the only bookmark. ``picture_bytes`` returns the JPEG, RGB and in
    sRGB, for the name of a placed picture. It is asked twice for one that is shown whole, so that
    no more than one of them is in memory at a time. ``author`` is blank for the program itself.
    """
    size = (pages[0].width, pages[0].height)
    canvas = Canvas(stream, pagesize=size, invariant=1, pageCompression=1, lang="en-GB")
    canvas.setTitle(title)
    canvas.setCreator("proofs")
    canvas.setAuthor(author or "proofs")
    parts = {m.name for p in pages for m in p.marks if isinstance(m, Placed) and m.crop != WHOLE}
    pen = _Pen(canvas, fonts, picture_bytes, parts)
    if not any(isinstance(mark, Anchor) for page in pages for mark in page.marks):
        pages = [_with_bookmark(pages[0], title), *pages[1:]]
    for page in pages:
        canvas.setPageSize((page.width, page.height))
        for mark in page.marks:
            pen.draw(mark, page.height)
        canvas.showPage()
    tag_srgb(canvas)
    with _written_to(stream):
        canvas.save()


@contextmanager
def _written_to(stream: BinaryIO) -> Iterator[None]:
    """Have the library write each object as it is made, rather than collect all of them."""
    collector = pdfdoc.PDFFile
    pdfdoc.PDFFile = partial(_Straight, stream)
    try:
        yield
    finally:
        pdfdoc.PDFFile = collector


class _Straight(pdfdoc.PDFFile):  # type: ignore[misc]  # the library has no types
    """What the library adds objects to: it passes them on."""

    def __init__(self, stream: BinaryIO, *arguments: Any) -> None:
        super().__init__(*arguments)
        stream.write(b"".join(self.strings))  # the head of the file
        self.write = stream.write

    def format(self, document: Any) -> bytes:
        """Return what is left to write; the library calls this."""
        return b""


def _with_bookmark(page: Page, title: str) -> Page:
    """The first page of a document as the one that its only bookmark opens."""
    return replace(page, marks=(*page.marks, Anchor(0, 0, "start", title)))


def no_pictures(name: str) -> bytes:
    """Raise ``KeyError``: the source of pictures for pages that have none."""
    raise KeyError(name)


@dataclass(frozen=True, slots=True)
class Document:
    """What a PDF states of itself; ``author`` is blank for the program itself.

    Lengths in ``unit`` are stated first on its pages.
    """

    title: str
    author: str = ""
    unit: Unit = Unit.IN


def pages_pdf(
    lay_out: LayOut,
    document: Document,
    *,
    paper_size: str = "a4",
    font: Path | None = None,
    pictures: PictureBytes | Path = no_pictures,
) -> bytes:
    """Return the pages that ``lay_out`` makes as a PDF; the rest is as in ``draw_pages``."""
    stream = io.BytesIO()
    draw_pages(stream, lay_out, document, paper_size=paper_size, font=font, pictures=pictures)
    return stream.getvalue()


def draw_pages(
    stream: BinaryIO,
    lay_out: LayOut,
    document: Document,
    *,
    paper_size: str = "a4",
    font: Path | None = None,
    pictures: PictureBytes | Path = no_pictures,
) -> None:
    """Write the pages that ``lay_out`` makes as a PDF into a stream.

    ``paper_size`` is ``a4`` or ``letter``; ``font`` adds characters that our typeface lacks.
    ``pictures`` returns a picture by its name, or is the folder of the files that pages name.
    """
    fonts = load_fonts(font)
    pages = lay_out(PageLayout(paper_size, measure_of(font), unit=document.unit))
    title, author = document.title, document.author
    draw = partial(draw_pdf, stream, pages, fonts=fonts, title=title, author=author)
    if not isinstance(pictures, Path):
        draw(picture_bytes=pictures)
        return
    with sheet_pictures(pages, lambda name: _picture_file(pictures / name)) as cut:
        draw(picture_bytes=cut)


def _picture_file(path: Path) -> bytes:
    return read_bytes(path, error=WriteError, most=MOST_PICTURE_BYTES)


class _Pen:
    """Draws marks on one canvas; ``parts`` are the names of pictures not shown whole."""

    def __init__(
        self, canvas: Canvas, fonts: Fonts, picture_bytes: PictureBytes, parts: Collection[str]
    ) -> None:
        self._canvas = canvas
        self._parts = parts
        self._fonts = fonts
        self._picture_bytes = picture_bytes
        self._names = _registered(fonts)

    def draw(self, mark: Mark, height: float) -> None:
        """Draw one mark on a page of this height; PDF counts from the bottom."""
        if isinstance(mark, Text):
            self._text(mark, height)
        elif isinstance(mark, Line):
            self._line(mark, height)
        elif isinstance(mark, Shape):
            self._shape(mark, height)
        elif isinstance(mark, Placed):
            self._placed(mark, height)
        elif isinstance(mark, Link):
            self._link(mark, height)
        else:
            self._anchor(mark, height)

    def _text(self, mark: Text, height: float) -> None:
        canvas = self._canvas
        canvas.saveState()
        canvas.translate(mark.x, height - mark.y)
        canvas.rotate(mark.angle)
        text = canvas.beginText(0, 0)
        text.setFillColorRGB(*_shares(mark.colour))
        for face, piece in self._fonts.runs(mark.text, mark.weight):
            text.setFont(self._names[face.name], mark.size)
            text.textOut(piece)
        canvas.drawText(text)
        canvas.restoreState()

    def _line(self, mark: Line, height: float) -> None:
        canvas = self._canvas
        canvas.setStrokeColorRGB(*_shares(mark.colour))
        canvas.setLineWidth(mark.width)
        canvas.setDash(*((list(mark.dash), 0) if mark.dash else ()))
        (x, y), (to_x, to_y) = mark.start, mark.end
        canvas.line(x, height - y, to_x, height - to_y)

    def _shape(self, mark: Shape, height: float) -> None:
        canvas = self._canvas
        canvas.setFillColorRGB(*_shares(mark.fill))
        path = canvas.beginPath()
        (x, y), *others = mark.points
        path.moveTo(x, height - y)
        for x, y in others:
            path.lineTo(x, height - y)
        path.close()
        canvas.drawPath(path, stroke=0, fill=1)

    def _placed(self, mark: Placed, height: float) -> None:
        bottom = height - mark.y - mark.height
        content = self._picture_bytes(mark.name)
        name = sha256_of_bytes(content)[:32]
        picture = partial(self._picture_bytes, mark.name)
        if mark.name in self._parts:  # they are cut out in the order of the pages, so not again
            picture = partial(bytes, content)
        draw_jpeg(self._canvas, name, picture, (mark.x, bottom, mark.width, mark.height))

    def _link(self, mark: Link, height: float) -> None:
        top = height - mark.y
        area = (mark.x, top - mark.height, mark.x + mark.width, top)
        # Otherwise the library draws a frame round the area.
        self._canvas.linkRect("", mark.target, area, relative=0, Border="[0 0 0]")

    def _anchor(self, mark: Anchor, height: float) -> None:
        self._canvas.bookmarkPage(mark.name, fit="XYZ", left=0, top=height - mark.y)
        self._canvas.addOutlineEntry(mark.title, mark.name, level=0)


def _registered(fonts: Fonts) -> dict[str, str]:
    """The names under which the library knows the faces, for the whole process."""
    names = {}
    for face in fonts.faces:
        digest = sha256_of_bytes(str(face.path).encode())[:8]
        name = f"{face.name}-{digest}"
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, str(face.path)))
        names[face.name] = name
    return names


def _shares(colour: Colour) -> tuple[float, float, float]:
    red, green, blue = colour
    return red / 255, green / 255, blue / 255
