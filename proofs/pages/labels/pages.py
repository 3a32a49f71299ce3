"""The pages of labels, on plain paper or on label sheets, with the drawings of where they go."""

from collections.abc import Iterator, Mapping, Sequence

from proofs.lengths import Size
from proofs.pages.drawing import Block, Mark, Page, frame, side_by_side, stacked
from proofs.pages.flow import FlowPart, OnPaper, counted, opening_block, setter_for
from proofs.pages.labels.drawing import front_and_back
from proofs.pages.labels.face import LabelFace, Modules, label_face
from proofs.pages.stamp import stamp_words
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    HAIRLINE,
    QUIET,
    SMALL_ALARM,
    STRONG,
    Measure,
    Setter,
    rule,
)
from proofs.plan.bench.labels import Labelled
from proofs.plan.entry.mockup import label_place, within_board
from proofs.records.label_sheets import LabelSheet
from proofs.records.page_sizes import PAGE_SIZES

Codes = Mapping[str, Modules]
"""The square code of each entry, by its number; none for an entry that has none."""

_BETWEEN = 16.0

_WHERE = (
    "Top left of the back, seen from behind, arrow up. Turn the mount like a page of a book: the"
    " dot is the same corner on both sides. Nothing goes on the front. The rules in hand win: some"
    " want a form of their own, more than this, or less. Press the label flat; it must not stand"
    " out."
)
_TOO_LARGE = "Larger than this back has room for: use a sheet of smaller labels, or plain paper."
_TOO_FINE = "The square code is too fine for most telephones: larger labels would do."


def plain_pages(
    labelled: Sequence[Labelled],
    codes: Codes,
    *,
    page: str,
    version: str,
    measure: Measure,
    unmeasured: Sequence[str] = (),
) -> tuple[Page, ...]:
    """Return the labels on plain paper, each with its drawing beside it.

    ``page`` is ``a4`` or ``letter``. ``unmeasured`` are the numbers of the entries that nobody
    has measured: the pages are stamped for them.
    """
    setter = setter_for(page, measure)
    how = (
        "On plain paper, at 100 %: cut along the lines with scissors, and fix them all over with a"
        " thin, even film of acid-free adhesive, never in beads."
    )
    rows = [_plain_row(each, codes, setter) for each in labelled]
    stamp = stamp_words(unmeasured, len(labelled), setter)
    return _guide(len(labelled), how, rows, OnPaper(page, measure, f"proofs {version}", stamp))


def sheet_pages(
    labelled: Sequence[Labelled],
    codes: Codes,
    *,
    sheet: LabelSheet,
    version: str,
    measure: Measure,
    unmeasured: Sequence[str] = (),
) -> tuple[Page, ...]:
    """Return the labels on label sheets, with nothing else on these; the drawings come after.

    ``unmeasured`` is as for ``plain_pages``; the label sheets themselves carry no stamp.
    """
    setter = setter_for(sheet.page, measure)
    faces = [_face(each, sheet.label, codes, measure) for each in labelled]
    pages = list(_filled(faces, sheet))
    which = "page 1" if len(pages) == 1 else f"pages 1 to {len(pages)}"
    how = (
        f"Print {which} at 100 % on label sheets ({sheet.title}); lay a test print over one first."
    )
    pairs = [_pair(*both, sheet, setter) for both in zip(labelled, faces, strict=True)]
    wide = 2 * setter.pitch
    rows = [side_by_side(pairs[n : n + 2], wide) for n in range(0, len(pairs), 2)]
    stamp = stamp_words(unmeasured, len(labelled), setter)
    on = OnPaper(sheet.page, measure, f"proofs {version}", stamp)
    return (*pages, *_guide(len(labelled), how, rows, on))


def _face(each: Labelled, size: Size, codes: Codes, measure: Measure) -> LabelFace:
    code = codes.get(each.label.number, ())
    return label_face(each.label, size.width.points, size.height.points, measure, code=code)


def _filled(faces: Sequence[LabelFace], sheet: LabelSheet) -> Iterator[Page]:
    size, places = PAGE_SIZES[sheet.page], tuple(sheet.places)
    for start in range(0, len(faces), len(places)):
        marks: list[Mark] = []
        for face, place in zip(faces[start : start + len(places)], places, strict=False):
            marks += face.block.at(place.x.points, place.y.points)
        yield Page(size.width.points, size.height.points, tuple(marks))


def _guide(count: int, how: str, rows: Sequence[Block], on: OnPaper) -> tuple[Page, ...]:
    """The running pages: how many labels there are, how to print them, where they go."""
    lines = ((counted(count, "label", "labels"), BODY), (how, ASIDE))
    head = opening_block("Labels", lines, (_WHERE, BODY), on.setter)
    return on.pages([FlowPart(block, _BETWEEN) for block in (head, *rows)], "Labels")


def _plain_row(each: Labelled, codes: Codes, setter: Setter) -> Block:
    """A label with its cutting line, and where it goes on the right of it."""
    size = label_place(each.plan.layout.board).size
    face = _face(each, size, codes, setter.measure)
    wide = size.width.points
    line = frame(0, 0, wide, face.block.height, line=HAIRLINE, colour=QUIET)
    left = wide + 14
    told = _where(each, face, None, setter.width - left, setter)
    height = max(face.block.height, told.height)
    return Block(height, (*line, *face.block.marks, *told.at(left, 0)))


def _pair(each: Labelled, face: LabelFace, sheet: LabelSheet, setter: Setter) -> Block:
    """Where one label of a sheet goes, with its number and title."""
    width = setter.span(2)
    words = [
        rule(width),
        setter.paragraph(each.label.number, STRONG, width, most=1),
        setter.paragraph(each.label.title, BODY, width, most=2),
    ]
    return stacked([*words, _where(each, face, sheet.label, width - _BETWEEN, setter)], 3)


def _where(
    each: Labelled, face: LabelFace, size: Size | None, width: float, setter: Setter
) -> Block:
    drawing = front_and_back(each.plan, each.label, size, width, setter)
    told = []
    if not face.is_read_from_afar:
        points = f"{face.title_points:.0f} points"
        told.append((f"The title is set in {points}, too small to be read from 1 m.", CAPTION))
    board = each.plan.layout.board
    place = label_place(board, size)
    if place != within_board(place, board):
        told.append((_TOO_LARGE, SMALL_ALARM))
    if face.has_fine_code:
        told.append((_TOO_FINE, CAPTION))
    return stacked([drawing, *(setter.paragraph(*line, width) for line in told)], 3)
