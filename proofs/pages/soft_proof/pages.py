"""The pages of a soft proof: each print on its mount as it is, on its paper, and what is lost."""

from collections.abc import Iterator, Sequence

from proofs.pages.drawing import Block, Line, Mark, Page, rectangle, side_by_side, stacked
from proofs.pages.flow import BETWEEN, FlowPart, PageLayout
from proofs.pages.headings import opening_block
from proofs.pages.soft_proof.entry import (
    EntrySetter,
    PaperShown,
    ProofedEntry,
    most_lost,
    percent,
    third,
)
from proofs.pages.table import Columns, table_parts
from proofs.pages.typography import (
    ASIDE,
    BODY,
    GUTTER,
    STRONG,
    TITLE,
    Setter,
)
from proofs.pages.wording import counted, typeset
from proofs.plan.delivery.soft_proofs import SEEN, Medium, loses_something
from proofs.plan.entry.mockup import Colour
from proofs.plan.entry.planning import papers_of
from proofs.records.job import Job
from proofs.records.labs import Lab

_PALE: Colour = (216, 216, 216)
BEYOND: Colour = (128, 128, 128)
LOST: Colour = (40, 40, 40)
LINES: Colour = (255, 255, 255)

_WIDE, _HIGH = 26.0, 15.0  # of a field, in points
_PITCH, _LINE = 5.0, 1.0

ON_SCREENS = "A screen can only suggest this: judge by a test strip."

_ROW_HEIGHTS = (210.0, 195.0, 180.0, 165.0, 150.0, 135.0)  # for the drawings of an entry
_LEAST_TABLE = 80.0  # the head of the table with its first row
_COLUMNS = (1.2, 5, 2.4, 1.1, 1.1, 1.7)  # of the table

_HOW = (
    "On a screen: the step that is printed, with a screen's white and black. On the paper: the"
    " lab's file through the lab's profile, with the paper white and the darkest tone in it; the"
    " mat stays as it is, for comparison. Differences are CIEDE2000: 1 is about the least that an"
    " eye sees side by side. Colours outside sRGB are measured, but cannot be shown here. Only"
    " pictures that lose something are shown; a table lists the rest."
)
_NO_PAPER = (
    "This profile describes a screen or a working space, not a paper: it has no paper white and"
    " no darkest tone, so none are shown. Ask the lab for the profile of its paper."
)


def soft_proof_pages(
    job: Job, paper: PaperShown, entries: Sequence[ProofedEntry], layout: PageLayout
) -> tuple[Page, ...]:
    """Return the pages of the soft proof: pictures that lose something, then a table of the rest.

    Mounts are drawn as large as they can be without a further page.
    """

    def parts_of(sized: PageLayout) -> list[FlowPart]:
        trials = [_parts(job, paper, entries, sized, high) for high in _ROW_HEIGHTS]
        return min(trials, key=lambda parts: len(sized.filled(parts)))

    return layout.filling_pages(parts_of, ON_SCREENS)


def _parts(
    job: Job,
    paper: PaperShown,
    entries: Sequence[ProofedEntry],
    layout: PageLayout,
    high: float,
) -> list[FlowPart]:
    """The parts of the pages, with mounts at most so high."""
    setter = layout.setter
    papers = papers_of(entry.plan for entry in entries) or (job.paper.title,)
    made_of = f"{', '.join(papers)}; {job.lab.title}"
    blocks = [_masthead(made_of, paper.medium, len(entries), setter), _key(job.lab, setter)]
    shown = [one for one in entries if not one.losses or loses_something(one.losses)]
    used = sum(block.height for block in blocks) + BETWEEN
    blocks += _shown(EntrySetter(job, paper, setter), shown, layout.room, (used, high))
    rest = [one for one in entries if one.losses and not loses_something(one.losses)]
    return [*map(FlowPart, blocks), *(_rest_parts(job, rest, setter) if rest else [])]


def _shown(
    entries_of: EntrySetter,
    entries: Sequence[ProofedEntry],
    room: float,
    sizes: tuple[float, float],
) -> Iterator[Block]:
    """Yield the entries; one that would be alone on its page is drawn larger to fill it.

    ``sizes`` are how much of the first page is taken, and how high mounts are at most.
    """
    begun, high = sizes
    small = [entries_of.block(entry, high) for entry in entries]
    used = begun
    for entry, block, following in zip(entries, small, [*small, None][1:], strict=True):
        if used + BETWEEN + block.height > room:
            used = 0.0
        gap = BETWEEN if used else 0.0
        least = following.height if following else _LEAST_TABLE
        is_alone = used in (0.0, begun) and used + gap + block.height + BETWEEN + least > room
        if is_alone and entry.losses:
            large = entries_of.block(entry, high, is_large=True)
            block = large if used + gap + large.height <= room else block
        used += gap + block.height
        yield block


def _rest_parts(job: Job, entries: Sequence[ProofedEntry], setter: Setter) -> list[FlowPart]:
    """The table of the entries that lose nothing."""
    columns = Columns(setter, _COLUMNS)
    words = f"These lose nothing: all of the image stays within {job.lab.loss:g}"
    title = setter.paragraph(words, TITLE, setter.width)
    heads = ("entry", "title", "step", "largest", "average", "out of gamut")
    rows = [_rest_row(entry, columns) for entry in entries]
    first, *others = table_parts(columns.head(heads), rows)
    return [FlowPart(stacked([title, first.block], 8), 18), *others]


def _rest_row(entry: ProofedEntry, columns: Columns) -> Block:
    loss = most_lost(entry.losses)
    return columns.row(
        [
            (entry.plan.entry.number, STRONG),
            (entry.plan.entry.title, BODY),
            (typeset(entry.printed.words), BODY),
            (f"{loss.largest:.1f}", STRONG),
            (f"{loss.mean:.1f}", BODY),
            (percent(loss.beyond_share), STRONG),
        ],
        most=4,
    )


def _masthead(made_of: str, medium: Medium, count: int, setter: Setter) -> Block:
    left = [
        (counted(count, "entry", "entries"), BODY),
        (made_of, ASIDE),
        (f"Profile: {medium.name}", ASIDE),
    ]
    right = [(ON_SCREENS, STRONG), (_HOW, BODY)]
    if medium.white is None:
        right.append((_NO_PAPER, BODY))
    return opening_block("Soft proof", left, right, setter)


def _key(lab: Lab, setter: Setter) -> Block:
    """Three small fields across the page, and what each of them means."""
    fields = (
        (_PALE, 0, "Pale: the profile holds this colour."),
        (BEYOND, 1, f"Hatched: out of gamut by over {SEEN:g}."),
        (LOST, 2, f"Crossed: the file loses more than {lab.loss:g}."),
    )
    pitch = third(setter) + GUTTER
    return side_by_side([_field(setter, pitch, *field) for field in fields], pitch)


def _field(setter: Setter, pitch: float, fill: Colour, ways: int, words: str) -> Block:
    marks: list[Mark] = [rectangle(0, 0, _WIDE, _HIGH, fill)]
    if ways > 0:
        marks += _lines(rising=True)
    if ways > 1:
        marks += _lines(rising=False)
    start = _WIDE + 7
    text = setter.paragraph(words, ASIDE, pitch - start - GUTTER)
    drop = max(0.0, (_HIGH - text.height) / 2)
    return Block(max(_HIGH, text.height), (*marks, *text.at(start, drop)))


def _lines(*, rising: bool) -> list[Line]:
    """Lines at 45° within a field."""
    found = []
    x = -_HIGH + _PITCH / 2
    while x < _WIDE:
        low, high = max(0.0, x), min(_WIDE, x + _HIGH)
        start, end = (low, low - x), (high, high - x)  # from the foot up
        if rising:
            start, end = (start[0], _HIGH - start[1]), (end[0], _HIGH - end[1])
        found.append(Line(start, end, _LINE, LINES))
        x += _PITCH
    return found
