"""The pages of an inspection, read back from their PDF: sizes, numbers, words and their places."""

from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
from PIL import Image

from proofs.findings import Status
from proofs.inspection.inspected import InspectedEntry
from proofs.inspection.look_crops import (
    LOOKS,
    crop_area,
    crop_names,
    cropped_marks,
    overview_name,
    overview_pixels,
)
from proofs.inspection.look_findings import look_findings
from proofs.inspection.marks import Area, Mark, MarkKind
from proofs.inspection.not_seen import NOT_SEEN
from proofs.lengths import Edge
from proofs.outside.fonts import load_fonts
from proofs.outside.page_pdfs import inspection_pdf
from proofs.pages.drawing import Line, Placed, Text
from proofs.pages.flow import PageLayout
from proofs.pages.inspection.crops import crop_rows
from proofs.pages.inspection.pages import inspection_pages
from proofs.plan.checks.checking import status_of
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import plan_entry
from proofs.records.job import Job
from tests.looks import RED, a_hair, a_speck, along, looked_at
from tests.pages_read import MM_PER_POINT, words_of
from tests.workbench import SHIPPED, a_job, an_entry, facts

JOB = a_job()
SIZE = (304.8, 203.2)
SHARP = SHIPPED.inspection("usual").sharpness
LONG = "Waiting for wind: three boats at anchor off Marrow Skerry before the fog thought of lifting"


class Pages:
    """The options that concern pages."""

    def __init__(self, paper_size: str) -> None:
        self.paper_size = paper_size
        self.font = None


def an_inspected(number: str, *marks: Mark, title: str = "Old pier", n: int = 1) -> InspectedEntry:
    """An entry of ``n`` pictures with these marks in the last one."""
    files = " | ".join(f"{number}-{m}.jpg" for m in range(n))
    entry = replace(an_entry("12x8 in" if n == 1 else "largest", file=files), number=number)
    plan = plan_entry(JOB, replace(entry, title=title), *[facts()] * n)
    pictures = [looked_at(plan, *(marks if m == n - 1 else ()), n=m) for m in range(n)]
    findings = look_findings(JOB, SHARP, pictures)
    outcome = Outcome(plan.entry, status_of(findings), findings, plan)
    return InspectedEntry(outcome, f"look-{number}", tuple(pictures))


def write_pictures(folder: Path, entries: Sequence[InspectedEntry]) -> None:
    """Grey files in place of what a worker would write, each of the size that it would have."""
    (folder / LOOKS).mkdir()
    for entry in entries:
        for picture in entry.pictures:
            stem = entry.stem if len(entry.pictures) == 1 else f"{entry.stem}_{picture.n + 1}"
            whole = picture.part.pixels
            small = overview_pixels(whole)
            grey(folder / overview_name(stem), small.width, small.height)
            for place, seen in cropped_marks(picture):
                area = crop_area(seen.mark, whole, JOB.lab.ppi)
                for name in crop_names(stem, place):
                    grey(folder / name, area.width, area.height)


def grey(path: Path, width: int, height: int) -> None:
    Image.fromarray(np.full((height, width, 3), 90, np.uint8)).save(path, quality=80)


def pdf_of(tmp_path: Path, *entries: InspectedEntry, paper: str = "a4", job: Job = JOB) -> bytes:
    write_pictures(tmp_path, entries)
    return inspection_pdf(job, entries, tmp_path, Pages(paper))


def images_on(pdf: bytes, page: int) -> list[tuple[float, float, float, float]]:
    """The bounds of the pictures on a page, in mm from its top left."""
    document = pdfium.PdfDocument(BytesIO(pdf))
    height = document[page].get_height()
    found = []
    for thing in document[page].get_objects(filter=[pdfium.raw.FPDF_PAGEOBJ_IMAGE], max_depth=2):
        left, bottom, right, top = thing.get_bounds()
        edges = (left, height - top, right, height - bottom)
        found.append(tuple(edge * MM_PER_POINT for edge in edges))
    return found


def text_of(pdf: bytes, page: int | None = None) -> str:
    pages = words_of(pdf)
    chosen = pages if page is None else [pages[page]]
    return " ".join(words.text for found in chosen for words in found)


MARKED = an_inspected(
    "3",
    a_speck(100, 50),
    a_speck(200, 120, contrast=15.0),
    a_hair(60, 150),
    along(Edge.TOP, SIZE, width=0.6, start=4, colour=RED),
    Mark(MarkKind.LOST_EDGE, Area(0, 20, 1, 90), 2.0, 1.0, length_mm=90.0, side=Edge.LEFT),
)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_crops_and_their_twins_are_at_life_size(tmp_path: Path, paper: str) -> None:
    pdf = pdf_of(tmp_path, MARKED, paper=paper)
    _, *crops = images_on(pdf, 1)
    assert len(crops) == 2 * 4  # of two specks, a hair and a stroke
    sizes = [side for left, top, right, bottom in crops for side in (right - left, bottom - top)]
    assert sizes == pytest.approx([16.0] * 16, abs=0.01)  # 189 pixels at 300 ppi: 16.002 mm


def test_lines_outside_a_crop_point_to_its_mark() -> None:
    # A tiny speck is not seen in a crop at life size unless one knows where to look.
    (picture,) = an_inspected("1", a_speck(100, 80), a_speck(5, 120, confidence=0.8)).pictures
    (row,) = crop_rows(
        picture, "stem", JOB.lab.ppi, PageLayout("a4", load_fonts(None).width).setter
    )
    pictures = [m for m in row.marks if isinstance(m, Placed)]
    upright = [m for m in row.marks if isinstance(m, Line) and m.start[0] == m.end[0]]
    level = [m for m in row.marks if isinstance(m, Line) and m.start[1] == m.end[1]]
    assert (len(pictures), len(upright), len(level)) == (4, 4, 2)
    assert max(line.end[1] for line in upright) <= pictures[0].y
    places = [
        (line.start[0] - crop.x) * MM_PER_POINT
        for line, crop in zip(upright, pictures, strict=True)
    ]
    # A crop of 16 mm has its mark in the middle; the second begins at the edge of the picture.
    assert places == pytest.approx([8, 8, 5.25, 5.25], abs=0.1)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_everything_lies_inside_the_margins(tmp_path: Path, paper: str) -> None:
    pdf = pdf_of(tmp_path, MARKED, paper=paper)
    width = pdfium.PdfDocument(BytesIO(pdf))[1].get_width() * MM_PER_POINT
    found = [(w.left, w.right) for page in words_of(pdf) for w in page]
    found += [(left, right) for left, _, right, _ in images_on(pdf, 1)]
    assert min(left for left, _ in found) >= 15 - 0.5
    assert max(right for _, right in found) <= width - 15 + 0.5


def test_numbers_stand_beside_the_picture_and_never_on_it(tmp_path: Path) -> None:
    pdf = pdf_of(tmp_path, MARKED)
    left, top, right, bottom = images_on(pdf, 1)[0]
    near = [
        w
        for w in words_of(pdf)[1]
        if w.text.isdecimal() and top - 8 < w.top < bottom + 8 and w.left < right + 10
    ]
    assert sorted(int(w.text) for w in near) == [1, 2, 3, 4, 5]
    outside = [
        w.right <= left or w.left >= right or w.bottom <= top or w.top >= bottom for w in near
    ]
    assert all(outside)


def test_nothing_is_drawn_over_what_is_marked(tmp_path: Path) -> None:
    pdf = pdf_of(tmp_path, MARKED)
    left, top, right, _bottom = images_on(pdf, 1)[0]
    page = pdfium.PdfDocument(BytesIO(pdf))[1].render(scale=300 / 72).to_numpy()[..., :3]
    scale = (right - left) / SIZE[0]
    boxes = [
        (m.area.left, m.area.top, m.area.left + m.area.width, m.area.top + m.area.height)
        for m in (seen.mark for seen in MARKED.pictures[0].numbered)
        if m.kind in (MarkKind.SPECK, MarkKind.LINE)
    ]
    cut = [
        page[
            round((top + y * scale) / 25.4 * 300) : round((top + y2 * scale) / 25.4 * 300) + 1,
            round((left + x * scale) / 25.4 * 300) : round((left + x2 * scale) / 25.4 * 300) + 1,
        ]
        for x, y, x2, y2 in boxes
    ]
    assert len(cut) == 3
    assert max(abs(part.astype(int) - 90).max() for part in cut) <= 3  # only the grey of the file


def test_the_page_lists_places_and_sizes_in_both_units_with_boxes_to_tick(tmp_path: Path) -> None:
    words = text_of(pdf_of(tmp_path, MARKED), 1)
    assert "Dark speck, 20 L*" in words
    assert "3.95 in (10.03 cm)" in words  # 100.25 mm from the left
    assert "1.98 in (5.03 cm)" in words
    assert "0.02 in (0.5 mm) across" in words
    assert "3,1,0.3289,0.2473,spotted,0123456789ab" in words
    assert "let the picture speak" in words


def test_the_first_page_lists_all_pictures_and_what_cannot_be_seen(tmp_path: Path) -> None:
    pdf = pdf_of(tmp_path, MARKED, an_inspected("4", title="Calm"), an_inspected("5"))
    words = text_of(pdf, 0)
    assert "3 pictures, 2 of them calm" in words
    assert words.count("66 %") == 3
    assert words.count("Nothing") == 2
    assert "look at these" in words
    assert all(line.split(":")[0].rstrip(".")[:40] in words for line in NOT_SEEN)
    assert len(words_of(pdf)) == 2


def test_an_entry_that_failed_has_its_reason_in_the_table(tmp_path: Path) -> None:
    failed = Outcome(an_entry(), Status.FAILED, ())
    words = text_of(pdf_of(tmp_path, InspectedEntry(failed, "failed")))
    assert "Failed" in words


def test_only_the_ten_surest_are_listed_and_how_many_more_there_are(tmp_path: Path) -> None:
    many = an_inspected(
        "3", *(a_speck(20 + 12 * n, 80, confidence=0.99 - n / 99) for n in range(13))
    )
    pdf = pdf_of(tmp_path, many)
    assert "And 3 more marks, less sure; inspection.json lists all." in text_of(pdf, 1)
    assert len(images_on(pdf, 1)) == 1 + 2 * 10


@pytest.mark.parametrize(("count", "paper"), [(1, "letter"), (30, "a4")])
def test_any_number_of_entries_has_a_table_and_a_page_for_each_with_marks(
    tmp_path: Path, count: int, paper: str
) -> None:
    entries = [an_inspected(str(n), *MARKS[: n % 3], title=LONG) for n in range(1, count + 1)]
    pdf = pdf_of(tmp_path, *entries, paper=paper)
    pages = words_of(pdf)
    with_marks = sum(not entry.pictures[0].is_calm for entry in entries)
    first = [n for n, page in enumerate(pages) if any(w.text == "Title" for w in page)]
    assert len(pages) == len(first) + with_marks
    assert text_of(pdf).count("Waiting for wind") >= count


MARKS = (a_speck(50, 50), a_hair(100, 100))


def test_each_picture_of_a_board_has_its_own_line_and_page(tmp_path: Path) -> None:
    pdf = pdf_of(tmp_path, an_inspected("7", a_speck(40, 40), n=3))
    assert text_of(pdf, 0).count("66 %") == 3
    assert "picture 3" in text_of(pdf, 0)
    assert "Old pier, picture 3" in text_of(pdf, 1)
    assert "7,3,0." in text_of(pdf, 1)
    assert len(words_of(pdf)) == 2


def test_the_same_inspection_gives_the_same_bytes(tmp_path: Path) -> None:
    first = pdf_of(tmp_path, MARKED)
    assert inspection_pdf(JOB, (MARKED,), tmp_path, Pages("a4")) == first


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_words_are_at_least_9_points_and_captions_7_and_a_half(paper: str) -> None:
    layout = PageLayout(paper, load_fonts(None).width)
    pages = inspection_pages(JOB, (MARKED, an_inspected("4")), layout)
    sizes = {mark.size for page in pages for mark in page.marks if isinstance(mark, Text)}
    assert min(sizes) == 7.5
    assert sizes & {8.0, 8.6, 7.8, 6.4} == set()


def test_a_crowded_page_still_has_its_lines_to_paste(tmp_path: Path) -> None:
    specks = (a_speck(20 + 20 * n, 80) for n in range(12))
    borders = (along(side, SIZE, width=5, colour=RED) for side in Edge)
    pdf = pdf_of(tmp_path, an_inspected("a very long number", *specks, *borders), paper="letter")
    words = text_of(pdf)
    assert all(f"{n}" in words for n in range(1, 15))
    assert words.count("0123456789ab") == 14
