"""The cutting guide: a page a kind of mount, face down as its cutter sees it."""

from collections.abc import Sequence

from proofs.lengths import Size
from proofs.pages.bench.parts import bench_page, blanks, fact, head, mat_name
from proofs.pages.cutting.drawing import mat_drawing, print_drawing
from proofs.pages.cutting.entries import elsewhere, entries, entry_rows, listed, risks
from proofs.pages.cutting.facts import is_oval, mat_facts, other_unit, passes, sums
from proofs.pages.drawing import Block, Page, side_by_side, stacked
from proofs.pages.flow import BOTTOM, MARGIN, TOP
from proofs.pages.proof_sheet.sheet import PAPERS
from proofs.pages.stamp import stamp_words
from proofs.pages.typography import ASIDE, BODY, CAPTION, STRONG, Measure, Setter, rule
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import MatSheet, MountKind, overrun
from proofs.records.job import Job

_ON_PAGE = 7  # entries with room on the page of their mount; more have a page of their own
_GAP = 9.0
_ROOM_BELOW = 262.0  # what stands below the drawing, on any page
_LEAST_SHARE = 0.6  # of its usual height that a drawing keeps; below that it has its own page
_SCRAP = ("Scrap of this board: number set", "border read", "corner past by")
_RULER = ("Ruler: left", "right", "top", "bottom", "opening", "by")

TURN = (
    "The mat lies face down, as you cut it: left and right are those of the back. To look at the"
    " front turn it like a page, so that T stays at the top."
)
KNIFE = (
    "Knife: a fresh blade, on scrap board over a steady, well-lit table. Hold the straightedge"
    " down with your fingers well behind its edge, draw the blade past you and never towards the"
    " hand that holds, in several light strokes rather than one hard one. Cover the blade"
    " whenever you put it down; old blades go into a closed tin. What the cutter's maker and your"
    " workshop say comes first."
)


def cutting_guide(
    job: Job, kinds: Sequence[MountKind], *, paper: str, measure: Measure
) -> tuple[Page, ...]:
    """Return the pages of the guide, in the order of the kinds; ``paper`` is ``a4`` or ``letter``.

    A kind with more entries than its page has room for gets further pages that list them.
    """
    size = PAPERS[paper]
    setter = Setter(measure, size.width.points - 2 * MARGIN)
    sheets = [
        (block, stamp_words(kind.unmeasured, len(kind.benches), setter))
        for kind in kinds
        for block in _sheets(job, kind, len(kinds), size, setter)
    ]
    return tuple(
        bench_page(
            size,
            block.at(MARGIN, TOP),
            f"Cutting guide {n} of {len(sheets)}",
            setter,
            stamped=stamped,
        )
        for n, (block, stamped) in enumerate(sheets, 1)
    )


def _sheets(job: Job, kind: MountKind, count: int, size: Size, setter: Setter) -> list[Block]:
    """The pages of a kind: one a mat, or one that says that nothing is cut; the entries behind."""
    marks, name = marks_of(job), f"Mount {kind.number} of {count}"
    rows = [row for bench in kind.benches for row in entry_rows(bench, marks, setter)]
    fits = len(rows) <= _ON_PAGE
    prints = entries(rows, setter) if fits else elsewhere(len(rows), setter)
    prints = stacked([prints, *risks(kind, setter)], 3)
    pages = [
        _mat_page(job, kind, mat, name, () if mat.place else (prints,), (setter, size))
        for mat in kind.mats
    ]
    if not pages:
        pages = [[_head(kind, name, None, setter), _uncut(kind, marks, setter), prints]]
    check = _further(name, "To check", setter)
    parts = [part for page in pages for part in _parted(page, check, size)]
    if fits:
        return parts
    return [*parts, *listed(_further(name, "Prints", setter), rows, size, setter)]


def _mat_page(
    job: Job,
    kind: MountKind,
    mat: MatSheet,
    name: str,
    prints: Sequence[Block],
    page: tuple[Setter, Size],
) -> list[Block]:
    """The blocks of a mat's page; its drawing is made smaller where they would not fit."""
    setter, size = page
    above, below = _head(kind, name, mat, setter), _below(job, kind, mat, setter)
    knife = setter.paragraph(KNIFE, ASIDE, setter.width)
    held = size.height.points - TOP - BOTTOM
    used = stacked([above, below, *prints, knife], _GAP).height + _GAP
    usual = held - _ROOM_BELOW
    drawn = _drawn(job, kind, mat, (setter, usual))
    if used + drawn.height > held:
        drawn = _drawn(job, kind, mat, (setter, max(held - used, usual * _LEAST_SHARE)))
    return [above, drawn, below, *prints, knife]


def _further(name: str, what: str, setter: Setter) -> Block:
    """The head of a further page of a kind."""
    return head(setter, above=f"Cutting guide · {name}", name=what, right="")


def _parted(page: list[Block], again: Block, size: Size) -> list[Block]:
    """The blocks of a page as one, or with the drawing on a page of its own if they are many."""
    whole = stacked(page, _GAP)
    if whole.height <= size.height.points - TOP - BOTTOM:
        return [whole]
    first = [*page[:2], page[-1]]  # with the caution, for there the knife is used
    return [stacked(first, _GAP), stacked([again, *page[2:-1]], _GAP)]


def _head(kind: MountKind, name: str, mat: MatSheet | None, setter: Setter) -> Block:
    count = len(kind.benches)
    which = f" · {mat_name(mat.place, len(kind.mats))}" if mat and len(kind.mats) > 1 else ""
    top = head(
        setter,
        above=f"Cutting guide · {name}{which} · {kind.mount.title}",
        name="BACK" if mat else "Nothing to cut",
        right=f"cut {count}" if mat else f"mount {count}",
        marked=bool(mat),
    )
    words = TURN if mat else "This mount has no window: only the board is cut to size."
    return stacked([top, setter.paragraph(words, BODY, setter.span(3))], 3)


def _uncut(kind: MountKind, marks: Marks, setter: Setter) -> Block:
    """A mount without a window: its backing, and how a print lies on it."""
    mount, board = kind.mount, kind.board
    facts = [
        fact("Board", f"{marks.number(board.width)} × {marks.told(board.height)}", setter),
        fact("Backing", f"{mount.backing_colour}, {mount.backing} thick", setter),
    ]
    drawing = print_drawing(kind, setter, setter.span(2))
    beside_it = stacked(facts, 7).at(3 * setter.pitch, 0)
    return Block(drawing.height, (*drawing.marks, *beside_it))


def _drawn(job: Job, kind: MountKind, mat: MatSheet, where: tuple[Setter, float]) -> Block:
    """The drawing, and beside it what the mat is made of and how the cutter is set."""
    setter, room = where
    facts, marks = stacked(mat_facts(job, kind, mat, setter), 7), marks_of(job)
    width = setter.span(3) - 6
    drawing, scale = mat_drawing(
        mat,
        marks,
        setter,
        room=(width, room - 14),
        overrun=overrun(job, kind.mount, mat),
        is_oval=is_oval(kind),
    )
    note = setter.paragraph(f"1 : {scale} · {other_unit(mat, marks)}", CAPTION, width, most=4)
    left = stacked([drawing, note], 5)
    right = facts.at(3 * setter.pitch, 0)
    return Block(max(left.height, facts.height), (*left.marks, *right))


def _below(job: Job, kind: MountKind, mat: MatSheet, setter: Setter) -> Block:
    """The sums, what the openings may measure, and lines for what was read."""
    marks, half, whole = marks_of(job), setter.span(2), setter.width
    adds = [setter.paragraph(line, STRONG, half, most=1) for line in sums(mat, marks)]
    good = [setter.paragraph(line, BODY, half, most=2) for line in passes(kind, mat, marks)]
    left = stacked([setter.paragraph("Adds up to the board", CAPTION, half), *adds])
    right = stacked([setter.paragraph("The opening passes", CAPTION, half), *good])
    tests = stacked([blanks(_SCRAP, setter, whole), blanks(_RULER, setter, whole)], 4)
    return stacked([rule(whole), side_by_side([left, right], 2 * setter.pitch), tests], 6)
