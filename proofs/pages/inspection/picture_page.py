"""The page of a picture with something to see: the whole, the crops, the findings to tick."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from proofs.findings import Finding, Severity
from proofs.inspection.inspected import (
    FLAWS,
    FRAMES,
    TONES,
    InspectedEntry,
    InspectedPicture,
    SeenMark,
)
from proofs.inspection.look_crops import (
    CROP_SIDE,
    OVERVIEW_POINTS,
    look_stem,
    overview_name,
)
from proofs.inspection.look_findings import share_range, tone_shares
from proofs.inspection.mark_words import contrast_words, on_paper, size_words, what, where
from proofs.pages.drawing import Anchor, Block, across, side_by_side, stacked
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.inspection.crops import crop_rows
from proofs.pages.inspection.results import findings_on
from proofs.pages.inspection.whole_picture import ROOM, PictureShown, whole_picture
from proofs.pages.table import Columns, table_parts, tick_box
from proofs.pages.typography import (
    ALARM,
    ASIDE,
    BODY,
    CAPTION,
    FIGURE_STRONG,
    GUTTER,
    STRONG,
    TITLE,
    Setter,
    Words,
)
from proofs.pages.wording import counted, sentence
from proofs.records.job import Job
from proofs.records.spotted import SPOTTED_COLUMNS, tick_line

_CLOSE, _APART = 5.0, 9.0
_HEADS = ("", "No", "Look at these", "From the left", "From the top", "Size", "Sure")
_SHARES = (10.0, 16.0, 130.0, 86.0, 86.0, 120.0, 28.0)
_IN_TABLE = (
    "marks",
    "searched",
    "bare-areas",
    "blocked-areas",
)  # codes of findings that the page shows in other ways
_LEAST_HIGH = 100.0  # of the whole picture
_TIGHT = 2.0  # above and below the words of a row: a page holds fourteen
_SPARE = 6.0
_TITLE_FROM = 40.0  # the left edge of titles, behind their numbers
_MOST_SURE = 99.0  # per cent: nobody has looked yet
_FIGURES = 14.0  # room for the number of a line to paste


def anchor_of(entry: InspectedEntry, n: int) -> str:
    """Return the name of the anchor of a picture's page."""
    return f"look-{entry.stem}-{n}"


def picture_parts(
    job: Job, entry: InspectedEntry, picture: InspectedPicture, layout: PageLayout
) -> tuple[FlowPart, ...]:
    """Return the parts of a picture's page; the whole picture takes the room that is left."""
    setter = layout.setter
    below = [*_crops(job, entry, picture, setter), *_table(picture, setter)]
    below += [*_meaning(entry, picture, setter), *_to_paste(picture, setter)]
    head = FlowPart(_head(entry, picture, setter), 0, keeps_next=True)
    taken = head.block.height + _APART + sum(part.gap + part.block.height for part in below)
    left = layout.room - taken
    trial = _whole(entry, picture, setter, _LEAST_HIGH)  # numbers beside it take room too
    high = min(left - (trial.height - _LEAST_HIGH) - _SPARE, OVERVIEW_POINTS[1])
    whole = trial if high < _LEAST_HIGH else _whole(entry, picture, setter, high)
    return (head, FlowPart(whole, _APART), *below)


def _head(entry: InspectedEntry, picture: InspectedPicture, setter: Setter) -> Block:
    own, several = entry.outcome.entry, len(picture.plan.parts) > 1
    title = f"{own.title}, picture {picture.n + 1}" if several else own.title
    start = max(_TITLE_FROM, min(setter.wide(own.number, FIGURE_STRONG), setter.column) + GUTTER)
    number = setter.paragraph(own.number, FIGURE_STRONG, start - GUTTER, most=1)
    words = setter.paragraph(title, TITLE, setter.width - start, most=3)
    anchor = Anchor(0, -20, anchor_of(entry, picture.n), f"{own.number} · {title}")
    block = across([number.lowered(2), words], (0, start))
    return Block(block.height, (anchor, *block.marks))


def _whole(entry: InspectedEntry, picture: InspectedPicture, setter: Setter, high: float) -> Block:
    """The whole picture, and beside it what was measured."""
    width, height = picture.size_mm
    scale = min(OVERVIEW_POINTS[0] / width, high / height)
    name = overview_name(look_stem(entry.stem, picture.plan, picture.n))
    drawn = PictureShown(picture, name, (width * scale, height * scale))
    facts = setter.stack(list(_facts(picture)), setter.column, gap=1.5, most=4)
    start = max(3 * setter.pitch, 2 * ROOM + OVERVIEW_POINTS[0])
    return across([whole_picture(drawn, setter), facts], (0, start))


def _facts(picture: InspectedPicture) -> Iterator[Words]:
    found, part = picture.look.inspection, picture.part
    yield "Image on paper", CAPTION
    yield str(picture.plan.layout.pictures[picture.n].image.size), BODY
    yield "Calm enough to be searched for specks", CAPTION
    yield f"{found.searched_share * 100:.0f} % of it", STRONG
    yield "Width of its sharpest edges", CAPTION
    width = found.edge_width_mm
    yield ("too few clear edges" if width is None else str(on_paper(width))), BODY
    if found.sharpest:
        yield where(found.sharpest), CAPTION
    yield "Its own pixels", CAPTION
    quality = part.facts.jpeg_quality
    saved = f", JPEG quality {quality}" if quality else ""
    yield f"{part.own_ppi:.0f} per inch{saved}", BODY


def _crops(
    job: Job, entry: InspectedEntry, picture: InspectedPicture, setter: Setter
) -> list[FlowPart]:
    rows = crop_rows(picture, look_stem(entry.stem, picture.plan, picture.n), job.lab.ppi, setter)
    if not rows:
        return []
    words = (
        f"At life size, {CROP_SIDE} of the print, with lines outside that point to the mark; right"
        " of each the same with its contrast raised."
    )
    caption = setter.paragraph(words, CAPTION, setter.width)
    return [FlowPart(caption, _APART, keeps_next=True), *(FlowPart(row, 4) for row in rows)]


def _table(picture: InspectedPicture, setter: Setter) -> list[FlowPart]:
    columns = Columns(setter, _SHARES, _TIGHT)
    cells = [
        setter.paragraph(text, CAPTION, width, most=2)
        for text, width in zip(_HEADS, columns.widths, strict=True)
    ]
    head = Block(max(cell.height for cell in cells) + 2, across(cells, columns.lefts).marks)
    rows = [columns.row(_row(picture, seen), most=3) for seen in picture.numbered]
    parts = table_parts(head, rows, gap=_APART)
    more = len(picture.of(FLAWS)) - sum(s.mark.kind in FLAWS for s in picture.numbered)
    if more > 0:
        words = f"And {counted(more, 'more mark')}, less sure; inspection.json lists all."
        parts.append(FlowPart(setter.paragraph(words, ASIDE, setter.width), _CLOSE))
    return parts


def _row(picture: InspectedPicture, seen: SeenMark) -> Sequence[Words | Block]:
    mark, shares = seen.mark, tone_shares(picture)
    size = share_range(shares[mark.kind]) if mark.kind in TONES else size_words(mark)
    named = sentence(what(mark))
    if mark.kind not in (*FRAMES, *TONES):
        named += f", {contrast_words(mark)}"
    sure = f"{min(mark.confidence * 100, _MOST_SURE):.0f} %" if mark.kind in FLAWS else ""
    left, top = (str(on_paper(mm)) for mm in mark.area.centre)
    return (
        tick_box(),
        (str(seen.number), STRONG),
        (named, BODY),
        (left, BODY),
        (top, BODY),
        (size, BODY),
        (sure, BODY),
    )


def _meaning(entry: InspectedEntry, picture: InspectedPicture, setter: Setter) -> list[FlowPart]:
    """What the marks mean for the entry, and what else is to be decided."""
    found = [_by_itself(f) for f in findings_on(entry, picture) if f.code not in _IN_TABLE]
    blocks = [_finding(finding, setter) for finding in found if finding.severity >= Severity.NOTE]
    return [FlowPart(block, _APART if n == 0 else 3) for n, block in enumerate(blocks)]


def _by_itself(finding: Finding) -> Finding:
    """A finding on the page of its picture, which needs no words for which one it is."""
    which, _, rest = finding.message.partition(": ")
    return replace(finding, message=rest) if which.startswith("picture ") and rest else finding


def _finding(finding: Finding, setter: Setter) -> Block:
    is_grave = finding.severity >= Severity.AT_RISK
    word = finding.severity.word.replace("-", " ").capitalize()
    style = ALARM if is_grave else STRONG
    head = setter.paragraph(word, style if finding.severity > Severity.NOTE else ASIDE, 60)
    words = f"{sentence(finding.message)}."
    if finding.remedy:
        words += f" {sentence(finding.remedy)}."
    return across([head, setter.paragraph(words, BODY, setter.width - 64)], (0, 64))


def _to_paste(picture: InspectedPicture, setter: Setter) -> list[FlowPart]:
    """The lines that tick marks off, in as many columns as hold them whole."""
    lines = [(str(s.number), tick_line(picture.tick(s.mark))) for s in picture.numbered]
    widest = max(setter.wide(line, CAPTION) for _, line in lines) + _FIGURES + GUTTER
    count = max(1, int((setter.width + GUTTER) / widest))
    each = -(-len(lines) // count)
    blocks = [
        stacked([_numbered(*line, setter) for line in lines[n : n + each]])
        for n in range(0, len(lines), each)
    ]
    words = (
        "Lines for spotted.csv, next to the entries, below a first line"
        f" {','.join(SPOTTED_COLUMNS)}. Write spotted for what you retouch on the print, meant for"
        " what belongs to the picture."
    )
    caption = setter.paragraph(words, CAPTION, setter.width)
    columns = side_by_side(blocks, (setter.width + GUTTER) / count)
    return [FlowPart(stacked([caption, columns], 3), _APART)]


def _numbered(number: str, line: str, setter: Setter) -> Block:
    words = setter.paragraph(line, CAPTION, setter.width - _FIGURES)
    return across([setter.paragraph(number, CAPTION, _FIGURES), words], (0, _FIGURES))
