"""The pages of labels, on plain paper or on label sheets, with the drawings of where they go."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from proofs import __version__
from proofs.lengths import Size
from proofs.pages.drawing import Block, Mark, Page, across, frame, in_rows, stacked
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.headings import opening_block
from proofs.pages.labels.face import LabelFace, Modules, label_face
from proofs.pages.labels.front_and_back import front_and_back
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
    Words,
    rule,
    setter_for,
)
from proofs.pages.wording import counted
from proofs.plan.bench.labels import Labelled, LabelOrder
from proofs.plan.entry.mockup import label_place
from proofs.records.label_sheets import LabelSheet
from proofs.records.page_sizes import PAGE_SIZES

Codes = Mapping[str, Modules]
"""The square code of each entry, by its number; none for an entry that has none."""

_BETWEEN, _GAP = 16.0, 14.0

_WHERE = (
    "Stick each label to the top left of the back, seen from behind, with its arrow up. Turn the"
    " mount over like the page of a book: the dot marks the same corner on both sides. Nothing goes"
    " on the front. Press the whole label down flat. The rules of the exhibition"
    " in hand always win: some ask for a form of their own, or for more or less than this."
)
_PLAIN = (
    "Print on plain paper at 100 % and cut along the lines with scissors. Glue each label down all"
    " over with a thin, even film of acid-free adhesive, never in beads."
)
_TEST = "First lay a test print over one of them."
_TOO_LARGE = "Too large for this back: use a sheet of smaller labels, or plain paper."
_CUT_OFF = "The label is too small for the whole title: use larger labels."
_TOO_FINE = "The square code is too fine for most phones: use larger labels."


def label_pages(
    labelled: Sequence[Labelled], codes: Codes, order: LabelOrder, layout: PageLayout
) -> tuple[Page, ...]:
    """Return the labels, each with a drawing of where it goes.

    Label sheets come first and carry nothing else. Without them the labels are on plain paper,
    next to their drawings. The drawings' pages are stamped if prints have not been measured.
    """
    sheet, measure = order.sheet, layout.measure
    size = sheet.page if sheet else layout.paper_size
    setter = setter_for(size, measure)
    stamp = stamp_words(order.unmeasured, len(labelled), setter)
    name = f"proofs {__version__}"
    layout = replace(layout, paper_size=size, name=name, stamp=stamp)
    if sheet is None:
        rows = [_plain_row(each, codes, setter) for each in labelled]
        return _guide(len(labelled), _PLAIN, rows, layout)
    faces = [_face(each, sheet.label, codes, measure) for each in labelled]
    pages = tuple(_filled(faces, sheet))
    which = "page 1" if len(pages) == 1 else f"pages 1 to {len(pages)}"
    how = f"Print {which} at 100 % on label sheets ({sheet.title}). {_TEST}"
    pairs = [_pair(*both, sheet, setter) for both in zip(labelled, faces, strict=True)]
    rows = in_rows(pairs, 2, 2 * setter.pitch)
    return (*pages, *_guide(len(labelled), how, rows, layout))


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


def _guide(count: int, how: str, rows: Sequence[Block], layout: PageLayout) -> tuple[Page, ...]:
    """The pages that say how many labels there are, how to print them, and where they go."""
    lines = ((counted(count, "label"), BODY), (how, ASIDE))
    head = opening_block("Labels", lines, [(_WHERE, BODY)], layout.setter)
    return layout.pages([FlowPart(block, _BETWEEN) for block in (head, *rows)], "Labels")


def _plain_row(each: Labelled, codes: Codes, setter: Setter) -> Block:
    """A label with its cutting line, and where it goes on the right of it."""
    size = label_place(each.plan.layout.board).size
    face = _face(each, size, codes, setter.measure)
    wide, high = size.width.points, face.block.height
    line = frame(0, 0, wide, high, line=HAIRLINE, colour=QUIET)
    where = _where(each, face, None, setter.width - wide - _GAP, setter, height=high)
    return across([Block(high, (*line, *face.block.marks)), where], (0, wide + _GAP))


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
    each: Labelled,
    face: LabelFace,
    size: Size | None,
    width: float,
    setter: Setter,
    *,
    height: float | None = None,
) -> Block:
    """The drawing of where a label goes, and what is wrong with the label."""
    drawing = front_and_back(each, size, width, setter, height=height)
    notes: list[Words] = []
    if not face.is_read_from_afar:
        words = f"The title is set in {face.title_points:.0f} points, too small to read from 1 m."
        notes.append((words, CAPTION))
    if not face.has_whole_title:
        notes.append((_CUT_OFF, SMALL_ALARM))
    board = each.plan.layout.board
    place = label_place(board, size)
    if place != place.within(board):
        notes.append((_TOO_LARGE, SMALL_ALARM))
    if face.has_fine_code:
        notes.append((_TOO_FINE, CAPTION))
    return stacked([drawing, *(setter.paragraph(*note, width) for note in notes)], 3)
