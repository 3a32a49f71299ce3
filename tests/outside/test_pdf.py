"""The proof sheet as a PDF, rendered by PDFium and measured; read by a second library."""

import io
import unicodedata
import zlib
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pytest
from numpy.typing import NDArray
from PIL import Image

from proofs.lengths import Length, Size, inches, millimetres
from proofs.outside.fonts import DOT, load_fonts
from proofs.outside.pdf import draw_pdf
from proofs.outside.sheet_pictures import sheet_jpeg, sheet_pictures
from proofs.pages.drawing import Page, Placed, Text
from proofs.pages.flow import PageLayout
from proofs.pages.mount_drawing import WHOLE
from proofs.pages.proof_sheet.sheet import proof_sheet
from proofs.pages.proof_sheet.whole_mount import mount_at, whole_mount
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.mockup import Box
from proofs.records.job import Job
from tests.outside.pdf_bytes import bytes_of
from tests.pages.outcomes import LONG_TITLE, an_outcome, planned
from tests.workbench import a_job, a_mount, a_reveal, facts

FONTS = load_fonts()
BLUE = (20, 40, 200)
DPI = 600
# What the user asks of a rendered page; PDFium itself snaps edges to pixels of 0.04 mm.
ON_PAGE_MM = 0.2
# The trade's example: an image of 8 x 10 in under a mat that hides 1/4 in shows 7 1/2 x 9 1/2 in.
MAT: dict[str, Any] = {
    "overlap": inches("1/4"),
    "mat_colour": "black",
    "mat": millimetres("1.4"),
}
UPRIGHT = facts(2400, 3000)

Codes = NDArray[np.uint8]


@cache
def blue_jpeg() -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (200, 250), BLUE).save(stream, "JPEG", quality=95)
    return stream.getvalue()


def pages_of(outcomes: Sequence[Outcome], job: Job, paper: str = "a4") -> tuple[Page, ...]:
    return proof_sheet(job, outcomes, PageLayout(paper, FONTS.width))


def written(pages: Sequence[Page], author: str = "") -> bytes:
    return bytes_of(
        pages,
        fonts=FONTS,
        picture_bytes=lambda _: blue_jpeg(),
        title="Proof sheet",
        author=author,
    )


def mount_job(name: str) -> Job:
    dark = {"mat_colour": "black", "core_colour": "black"}
    reveal = a_reveal(inches("1/4"), reveal_bottom=inches("3/8"), **dark)
    return a_job({"overlap": a_mount(**MAT), "reveal": reveal}[name])


def outcome_of(job: Job, **cells: Any) -> Outcome:
    """One step on a board of 16 x 20 in."""
    plan = planned(job, "8x10 in", photo=UPRIGHT, bracket=(0.0,), **cells)
    return replace(an_outcome(job, plan), life_size=None)


@cache
def rendered(job_name: str) -> Codes:
    """The whole mount of an entry, as the proof sheet draws it, at 1:8."""
    job = mount_job(job_name)
    outcome = outcome_of(job)
    assert outcome.plan is not None
    setter = PageLayout("a4", FONTS.width).setter
    drawing = mount_at(job, outcome, outcome.plan, 8, setter)
    block = whole_mount(job, outcome, drawing, setter, outcome.steps[0])
    pdf = written([Page(250, 280, block.at(30, 30))])
    page = pdfium.PdfDocument(pdf)[0].render(scale=DPI / 72, rev_byteorder=True).to_numpy()
    return np.asarray(page[:, :, :3])


def extent_mm(mask: NDArray[np.bool_]) -> tuple[float, float, float, float]:
    """Left, top, right and bottom, in mm on the page, of the largest run of true pixels.

    Found along the middle of what is true, so that letters elsewhere do not count.
    """
    row = int(np.argmax(mask.sum(axis=1)))
    left, right = longest_run(mask[row])
    top, bottom = longest_run(mask[:, (left + right) // 2])
    left, right = longest_run(mask[(top + bottom) // 2])
    mm = 25.4 / DPI
    return left * mm, top * mm, right * mm, bottom * mm


def longest_run(line: NDArray[np.bool_]) -> tuple[int, int]:
    steps = np.flatnonzero(np.diff(np.concatenate(([0], line.astype(np.int8), [0]))))
    starts, ends = steps[::2], steps[1::2]
    longest = int(np.argmax(ends - starts))
    return int(starts[longest]), int(ends[longest])


def size_of(extent: tuple[float, float, float, float]) -> tuple[float, float]:
    return extent[2] - extent[0], extent[3] - extent[1]


def is_blue(page: Codes) -> NDArray[np.bool_]:
    return np.asarray(page[:, :, 2].astype(int) - page[:, :, 0] > 60)


def eighth(size: Size | tuple[Length, Length]) -> tuple[float, float]:
    width, height = (size.width, size.height) if isinstance(size, Size) else size
    return width.mm / 8, height.mm / 8


def test_the_board_is_drawn_to_scale() -> None:
    page = rendered("overlap")
    # White paper round it, a black mat: 16 x 20 in at 1:8 are 50.8 x 63.5 mm.
    board = extent_mm(np.any(page < 250, axis=2))
    assert size_of(board) == pytest.approx((50.8, 63.5), abs=ON_PAGE_MM)


def test_the_sight_size_is_drawn_to_scale_in_its_place() -> None:
    page = rendered("overlap")
    board, sight = extent_mm(np.any(page < 250, axis=2)), extent_mm(is_blue(page))
    # 7 1/2 x 9 1/2 in at 1:8, by hand; 4 1/4 in of board on its left, 5 1/4 in above it.
    assert size_of(sight) == pytest.approx((23.8125, 30.1625), abs=ON_PAGE_MM)
    place = (sight[0] - board[0], sight[1] - board[1])
    assert place == pytest.approx((13.49375, 16.66875), abs=ON_PAGE_MM)


def test_the_opening_at_the_face_is_drawn_to_scale() -> None:
    page = rendered("overlap")
    board = extent_mm(np.any(page < 250, axis=2))
    pixels = [round(mm * DPI / 25.4) for mm in board]
    inside = page[pixels[1] + 9 : pixels[3] - 9, pixels[0] + 9 : pixels[2] - 9]
    face = extent_mm(np.any(inside > 80, axis=2))
    # The back opening and 1.4 mm of bevel on each side: 193.3 x 244.1 mm at 1:8 (geometry).
    assert size_of(face) == pytest.approx((24.1625, 30.5125), abs=ON_PAGE_MM)


def test_paper_seen_is_drawn_to_scale_more_of_it_below() -> None:
    page = rendered("reveal")
    sight = extent_mm(is_blue(page))
    assert size_of(sight) == pytest.approx(eighth((inches(8), inches(10))), abs=ON_PAGE_MM)
    middle = round((sight[0] + sight[2]) / 2 * DPI / 25.4)
    light = page[:, middle].min(axis=1) > 200
    below = light[round(sight[3] * DPI / 25.4) + 2 :]
    above = light[: round(sight[1] * DPI / 25.4) - 2][::-1]
    # 3/8 in below and 1/4 in above, at 1:8; the first pixels are the picture's edge.
    depths = [(int(np.argmin(side)) + 2) * 25.4 / DPI for side in (below, above)]
    assert depths == pytest.approx([9.525 / 8, 6.35 / 8], abs=ON_PAGE_MM)


def text_of(pdf: bytes) -> str:
    document = pdfium.PdfDocument(pdf)
    pages = (document[n].get_textpage().get_text_bounded() for n in range(len(document)))
    return unicodedata.normalize("NFC", " ".join(" ".join(page.split()) for page in pages))


TITLES = [
    *(
        "Crème brûlée & <b>bold</b>",
        "“Salt” – ‘pepper’ — … ½ №",
        "Ночной берег",
        "Άνεμος και άμμος",
    ),
    *(
        "Buổi sáng, Được mùa",
        "Žluťoučký kůň",
        "cafe\u0301",
        "A\u030angstro\u0308m",
        "100 % <br/> \\n",
    ),
    *("&amp; &#65;", "(round) [square] {curly}", "tab\\tle", "ĐĐ ŁŁ ßß", "Æ Œ Ø", LONG_TITLE),
    *("€ 5 × 7 ° ± µ", "Ђорђе Ї ґ"),
]


@pytest.mark.parametrize("title", TITLES)
def test_a_title_is_read_back_as_it_was_written(title: str) -> None:
    # The user's own demand: equal up to NFC and wrapping.
    job = a_job()
    plan = planned(job, title=title, bracket=(0.0,))
    pdf = written(pages_of([an_outcome(job, plan)], job))
    assert unicodedata.normalize("NFC", title) in text_of(pdf)


def test_a_character_no_font_has_is_read_back_as_a_dot() -> None:
    page = Page(200, 100, (Text(10, 50, "日 ok", "light", 12, (0, 0, 0)),))
    pdf = bytes_of([page], fonts=FONTS, picture_bytes=lambda _: b"", title="t")
    assert text_of(pdf) == f"{DOT} ok"


def test_the_same_pages_give_the_same_bytes() -> None:
    job = mount_job("overlap")
    first, second = (written(pages_of([outcome_of(job)], job)) for _ in "12")
    assert first == second


def test_a_document_has_its_title_its_author_and_its_language() -> None:
    pages = pages_of([outcome_of(mount_job("overlap"))], mount_job("overlap"))
    document = pdfium.PdfDocument(written(pages, author="Mara Lind"))
    assert document.get_metadata_value("Title") == "Proof sheet"
    assert document.get_metadata_value("Author") == "Mara Lind"
    # ISO 32000-1, 14.9.2: the catalogue's Lang is a language tag.
    assert b"/Lang (en-GB)" in written(pages)
    unknown = pdfium.PdfDocument(written(pages))
    assert unknown.get_metadata_value("Author") == "proofs"


def test_bookmarks_lead_to_the_pages_of_the_entries() -> None:
    job = mount_job("overlap")
    pages = pages_of([outcome_of(job), outcome_of(job, number="2", title="Ночь")], job)
    document = pdfium.PdfDocument(written(pages))
    found = [(b.get_title(), b.get_dest().get_index()) for b in document.get_toc()]
    assert found == [("All entries", 0), ("1 Old pier", 1), ("2 Ночь", 2), ("The hang", 3)]


def test_rows_of_the_table_and_mounts_of_the_hang_link_to_the_pages_of_their_entries() -> None:
    job = mount_job("overlap")
    pdf = written(pages_of([outcome_of(job), outcome_of(job, number="2")], job))
    # ISO 32000-1, 12.5.6.5: a link annotation; its border is not drawn.
    assert pdf.count(b"/Subtype /Link") == 4
    assert pdf.count(b"/Border [ 0 0 0 ]") + pdf.count(b"/Border [0 0 0]") == 4


def test_a_document_without_anchors_has_its_title_as_a_bookmark() -> None:
    pdf = written([Page(200, 100, (Text(10, 50, "ok", "light", 12, (0, 0, 0)),))])
    assert [b.get_title() for b in pdfium.PdfDocument(pdf).get_toc()] == ["Proof sheet"]


def test_pictures_carry_the_srgb_profile_and_the_document_says_srgb() -> None:
    pdf = written(pages_of([outcome_of(mount_job("overlap"))], mount_job("overlap")))
    # ISO 32000: an ICCBased colour space holds its profile; an output intent names one too.
    assert pdf.count(b"/ICCBased") == 1
    assert pdf.count(b"/DestOutputProfile") == 1
    streams = [piece.split(b"endstream")[0].strip(b"\r\n") for piece in pdf.split(b"stream")[1:]]
    unpacked = [zlib.decompress(s) for s in streams if s[:1] == b"\x78"]
    assert any(b"sRGB IEC61966-2-1" in content for content in unpacked)


def jpeg(colour: tuple[int, int, int], side: int = 40) -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (side, side), colour).save(stream, "JPEG", quality=95)
    return stream.getvalue()


def a_picture(name: str = "p", x: float = 10.0) -> Placed:
    return Placed(name, x, 10, 30, 30, Box(0, 0, 40, 40))


def test_a_picture_is_stored_byte_for_byte_and_once_however_often_it_is_shown() -> None:
    content = jpeg((200, 100, 50))
    page = Page(100, 50, (a_picture("one"), a_picture("two", 50)))
    pdf = bytes_of([page], fonts=FONTS, picture_bytes=lambda _: content, title="t")
    assert pdf.count(content) == 1


def test_a_pictures_colours_come_back_as_they_were() -> None:
    pdf = bytes_of(
        [Page(50, 50, (a_picture(),))],
        fonts=FONTS,
        picture_bytes=lambda _: jpeg((200, 100, 50)),
        title="t",
    )
    page = pdfium.PdfDocument(pdf)[0].render(scale=4, rev_byteorder=True).to_numpy()
    # JPEG's own rounding and PDFium's conversion, seen to stay within this.
    assert page[100, 100, :3].astype(int) == pytest.approx([200, 100, 50], abs=3)


class Noted(io.BytesIO):
    """A stream that notes each JPEG that is written to it."""

    def __init__(self, notes: list[str]) -> None:
        super().__init__()
        self.notes = notes

    def write(self, piece: Any, /) -> int:
        if b"\xff\xd8\xff" in piece:
            self.notes.append("written")
        return super().write(piece)


def test_pictures_shown_whole_are_read_and_written_one_by_one() -> None:
    notes: list[str] = []

    def picture(name: str) -> bytes:
        notes.append("read")
        return jpeg((10 * int(name), 100, 50))

    def draw(stream: io.BytesIO) -> bytes:
        pages = [Page(50, 50, (Placed(str(n), 10, 10, 30, 30, WHOLE),)) for n in range(20)]
        draw_pdf(stream, pages, fonts=FONTS, picture_bytes=picture, title="t")
        return stream.getvalue()

    content = draw(Noted(notes))
    assert notes == ["read"] * 20 + ["read", "written"] * 20
    assert all(content.count(picture(str(n))) == 1 for n in range(20))


def test_a_picture_that_is_not_rgb_is_refused() -> None:
    stream = io.BytesIO()
    Image.new("L", (8, 8)).save(stream, "JPEG")
    with pytest.raises(ValueError, match="JPEG of 1 channels"):
        bytes_of(
            [Page(50, 50, (a_picture(),))],
            fonts=FONTS,
            picture_bytes=lambda _: stream.getvalue(),
            title="t",
        )


def test_a_part_of_a_mock_up_has_at_most_300_px_an_inch() -> None:
    both = Image.new("RGB", (800, 400), BLUE)
    both.paste((40, 0, 0), (400, 0, 800, 400))
    stream = io.BytesIO()
    both.save(stream, "PNG")
    placed = Placed("m", 0, 0, 48, 48, Box(0, 0, 400, 400))
    with Image.open(io.BytesIO(sheet_jpeg(stream.getvalue(), placed))) as image:
        assert image.size == (200, 200)  # 48 pt are 2/3 in
        codes = np.asarray(image).astype(int)
    assert (codes[:, :, 2] - codes[:, :, 0] > 100).all()


def test_a_hung_mount_has_at_most_300_px_an_inch_too() -> None:
    board = Image.new("RGB", (534, 667), BLUE)
    stream = io.BytesIO()
    board.save(stream, "JPEG")
    page = Page(99, 99, (Placed("m_hung.jpg", 0, 0, 24, 30, Box(0, 0, 534, 667)),))
    with (
        sheet_pictures([page], {"m_hung.jpg": stream.getvalue()}.__getitem__) as picture,
        Image.open(io.BytesIO(picture("m_hung.jpg"))) as image,
    ):
        assert image.size == (100, 125)  # 24 x 30 pt are 1/3 x 5/12 in


def test_a_file_of_its_own_is_placed_as_it_is() -> None:
    with sheet_pictures([], {"small.jpg": b"its bytes"}.__getitem__) as picture:
        assert picture("small.jpg") == b"its bytes"


def test_pictures_come_under_their_names_in_any_order() -> None:
    names = [f"m{n}" for n in range(30)]
    marks = tuple(Placed(name, 10, 10, 30, 30, Box(0, 0, 40, 40)) for name in names)
    files = {name: png((8 * n, 0, 0)) for n, name in enumerate(names)}
    with sheet_pictures([Page(50, 50, marks)], files.__getitem__) as picture:
        reds = [red_of(picture(name)) for name in reversed(names)]
    assert reds == pytest.approx([8 * n for n in reversed(range(30))], abs=3)


def test_parts_of_one_mock_up_come_in_the_order_of_the_page() -> None:
    both = Image.new("RGB", (80, 40), (200, 0, 0))
    both.paste((40, 0, 0), (40, 0, 80, 40))
    stream = io.BytesIO()
    both.save(stream, "PNG")
    parts = (Box(0, 0, 40, 40), Box(40, 0, 80, 40), Box(0, 0, 40, 40))
    marks = tuple(Placed("m", 10 + 35 * n, 10, 30, 30, part) for n, part in enumerate(parts))
    with sheet_pictures([Page(150, 50, marks)], lambda _: stream.getvalue()) as picture:
        reds = [red_of(picture("m")) for _ in parts]
    assert reds == pytest.approx([200, 40, 200], abs=3)


def png(colour: tuple[int, int, int]) -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (40, 40), colour).save(stream, "PNG")
    return stream.getvalue()


def red_of(content: bytes) -> int:
    with Image.open(io.BytesIO(content)) as image:
        return int(np.asarray(image)[10, 10, 0])
