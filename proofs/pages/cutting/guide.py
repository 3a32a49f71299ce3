"""The cutting guide: a page for each kind of mount, face down as its cutter sees it."""

from collections.abc import Iterator, Sequence

from proofs.pages.cutting.mat_drawing import mat_drawing, print_drawing
from proofs.pages.cutting.mat_facts import (
    bench_fact,
    is_oval,
    mat_facts,
    opening_limits,
    other_unit,
    place_fact,
    sums,
)
from proofs.pages.cutting.prints_table import (
    on_next_page,
    print_parts,
    print_rows,
    prints_block,
    risks,
)
from proofs.pages.drawing import Block, Page, across, side_by_side, stacked
from proofs.pages.facts import facts_block
from proofs.pages.flow import Chapter, FlowPart, PageLayout
from proofs.pages.headings import page_head
from proofs.pages.stamp import stamp_words
from proofs.pages.table import named_blanks
from proofs.pages.typography import ASIDE, BODY, CAPTION, STRONG, Setter, rule
from proofs.pages.wording import board_thickness, mat_name
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import MatSheet, MountKind, overrun
from proofs.records.job import Job

ON_RULES = "The rules of the exhibition in hand always win over these pages."
_ON_PAGE = 7  # prints with room on the page of their mount; more have pages of their own
_GAP = 9.0
_ROOM_BELOW = 262.0  # for the blocks below the drawing, on any page
_LEAST_SHARE = 0.6  # of its usual height that a drawing keeps; below that it has its own page
_TEST_CUT = ("Test cut: scale set", "border measured", "overcut")
_TEST_LINE = ("Test cut: line drawn at", *_TEST_CUT[1:])
_RULER = ("Cut: left", "right", "top", "bottom", "opening", "×")

TURN = (
    "The mat is face down, as you cut it: left and right are those of the back. To see the front,"
    " turn it over like a page, so that T stays at the top."
)
KNIFE = (
    "Knife: use a fresh blade, on scrap board over a steady, well-lit table. Hold the straightedge"
    " down with your fingers well behind its edge. Draw the blade past you, never towards the hand"
    " that holds, in several light strokes rather than one hard one. Cover the blade whenever you"
    " put it down; old blades go into a closed tin. The instructions of the cutter's maker and the"
    " rules of your workshop come first."
)


def cutting_guide(job: Job, kinds: Sequence[MountKind], layout: PageLayout) -> tuple[Page, ...]:
    """Return the pages of the guide, each with the stamp of its own kind of mount.

    A kind with more prints than its page has room for gets further pages that list them.
    """
    chapters = [
        Chapter(tuple(parts), stamp_words(kind.unmeasured, len(kind.entries), layout.setter))
        for kind in kinds
        for parts in _chapters(job, kind, len(kinds), layout)
    ]
    return layout.chapters(chapters, foot=(ON_RULES,), counted="Cutting guide")


def _chapters(
    job: Job, kind: MountKind, count: int, layout: PageLayout
) -> Iterator[Sequence[FlowPart]]:
    """What begins a page of its own: each mat, or a note that nothing is cut; then the prints."""
    marks, setter = marks_of(job), layout.setter
    name = f"Mount {kind.number} of {count}"
    rows = [row for bench in kind.entries for row in print_rows(bench, marks, setter)]
    fits = len(rows) <= _ON_PAGE
    table = prints_block(kind, rows, setter) if fits else on_next_page(len(rows), setter)
    prints = stacked([table, *risks(kind, setter)], 3)
    for mat in kind.mats:
        page = _mat_page(job, kind, mat, name, () if mat.place else (prints,), layout)
        yield from _on_pages(page, _further(name, "To check", setter), layout.room)
    if not kind.mats:
        yield _parts([_head(kind, name, None, setter), _uncut(kind, marks, setter), prints])
    if not fits:
        yield print_parts(kind, _further(name, "Prints", setter), rows, setter)


def _mat_page(
    job: Job,
    kind: MountKind,
    mat: MatSheet,
    name: str,
    prints: Sequence[Block],
    layout: PageLayout,
) -> list[Block]:
    """The blocks of a mat's page; its drawing is made smaller if they would not fit."""
    setter = layout.setter
    above, below = _head(kind, name, mat, setter), _below(job, kind, mat, setter)
    knife = setter.paragraph(KNIFE, ASIDE, setter.width)
    left = layout.room - stacked([above, below, *prints, knife], _GAP).height - _GAP
    usual = layout.room - _ROOM_BELOW
    drawn = _drawn(job, kind, mat, setter, usual)
    if drawn.height > left:
        drawn = _drawn(job, kind, mat, setter, max(left, usual * _LEAST_SHARE))
    return [above, drawn, below, *prints, knife]


def _on_pages(page: list[Block], again: Block, room: float) -> Iterator[Sequence[FlowPart]]:
    """The blocks on one page, or with the drawing on a page of its own if they are too many."""
    if stacked(page, _GAP).height <= room:
        yield _parts(page)
        return
    yield _parts([*page[:2], page[-1]])  # with the caution, for there the knife is used
    yield _parts([again, *page[2:-1]])


def _parts(blocks: Sequence[Block]) -> list[FlowPart]:
    return [FlowPart(block, _GAP) for block in blocks]


def _further(name: str, what: str, setter: Setter) -> Block:
    """The head of a further page of a kind."""
    return page_head(setter, above=f"Cutting guide · {name}", name=what, right="")


def _head(kind: MountKind, name: str, mat: MatSheet | None, setter: Setter) -> Block:
    count = len(kind.entries)
    which = f" · {mat_name(mat.place, len(kind.mats))}" if mat and len(kind.mats) > 1 else ""
    top = page_head(
        setter,
        above=f"Cutting guide · {name}{which} · {kind.mount.title}",
        name="BACK" if mat else "Nothing to cut",
        right=f"make {count}",
        strong=bool(mat),
    )
    words = TURN if mat else "This mount has no window: only the board is cut to size."
    return stacked([top, setter.paragraph(words, BODY, setter.span(3))], 3)


def _uncut(kind: MountKind, marks: Marks, setter: Setter) -> Block:
    """A mount without a window: its backing, and the place of a print on it."""
    mount, board = kind.mount, kind.board
    facts = [
        bench_fact("Board", marks.size(board)),
        bench_fact("Backing", f"{mount.backing_colour}, {board_thickness(mount.backing)}"),
        place_fact(mount),
    ]
    drawing = print_drawing(kind, setter, setter.span(2))
    return across([drawing, facts_block(setter, facts)], (0, 3 * setter.pitch))


def _drawn(job: Job, kind: MountKind, mat: MatSheet, setter: Setter, height: float) -> Block:
    """The drawing, and beside it what the mat is made of and how the cutter is set."""
    marks, width = marks_of(job), setter.span(3) - 6
    drawing, scale = mat_drawing(
        mat,
        marks,
        setter,
        room=(width, height - 14),
        overrun=overrun(job, kind.mount, mat),
        is_oval=is_oval(kind),
    )
    note = setter.paragraph(f"1 : {scale} · {other_unit(mat, marks)}", CAPTION, width, most=4)
    facts = [facts_block(setter, mat_facts(job, kind, mat))]
    if not mat.place:
        facts.append(print_drawing(kind, setter, setter.column * 0.8))
    return across([stacked([drawing, note], 5), stacked(facts, 7)], (0, 3 * setter.pitch))


def _below(job: Job, kind: MountKind, mat: MatSheet, setter: Setter) -> Block:
    """The sums, what the openings may measure, and blanks for what is measured."""
    marks, half, whole = marks_of(job), setter.span(2), setter.width
    adds = [("Adds up to the board", CAPTION), *((line, STRONG) for line in sums(mat, marks))]
    limits = [(line, BODY) for line in opening_limits(kind, mat, marks)]
    limits.insert(0, ("The opening may measure", CAPTION))
    left, right = setter.stack(adds, half, most=1), setter.stack(limits, half, most=2)
    test = _TEST_CUT if job.cutter.has_stop else _TEST_LINE
    tests = [named_blanks(names, setter, whole) for names in (test, _RULER)]
    body = side_by_side([left, right], 2 * setter.pitch)
    return stacked([rule(whole), body, stacked(tests, 4)], 6)
