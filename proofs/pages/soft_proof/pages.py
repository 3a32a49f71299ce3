"""The pages of a soft proof: each print on its mount as it is, on its paper, and what is lost."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.findings import Finding
from proofs.pages.drawing import Block, Line, Mark, Page, rectangle, side_by_side, stacked
from proofs.pages.facts import Fact, Lines, facts_block
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.headings import captioned, entry_head, opening_block
from proofs.pages.mount_drawing import cut_from, fitting_scale, mount_drawing
from proofs.pages.typography import ALARM, ASIDE, BODY, CAPTION, GUTTER, STRONG, Setter, rule
from proofs.pages.wording import counted, sentence, typeset
from proofs.plan.delivery.soft_proofs import SEEN, ColourLoss, Medium, PrintedStep
from proofs.plan.entry.mockup import PAPER, Colour
from proofs.plan.entry.planning import Plan, papers_of
from proofs.records.job import Job
from proofs.records.labs import Lab

_PALE: Colour = (216, 216, 216)
BEYOND: Colour = (128, 128, 128)
LOST: Colour = (40, 40, 40)
LINES: Colour = (255, 255, 255)

_WIDE, _HIGH = 26.0, 15.0  # of a field, in points
_PITCH, _LINE = 5.0, 1.0

ON_SCREENS = "A screen can only suggest this: judge by a test strip."

_ROW_HEIGHT = 190.0  # room for the drawings of an entry, in points
_CAPTIONS = ("On a screen", "On the paper", "Out of gamut")
_WITHOUT_PAPER = "In the lab's file"

_HOW = (
    "On a screen: the step that is printed, with a screen's white and black. On the paper: the"
    " lab's file through the lab's profile, with the paper white and the darkest tone in it; the"
    " mat stays as it is, for comparison. Differences are CIEDE2000: 1 is about the least that an"
    " eye sees side by side. Colours outside sRGB are measured, but cannot be shown here."
)
_NO_PAPER = (
    "This profile describes a screen or a working space, not a paper: it has no paper white and"
    " no darkest tone, so none are shown. Ask the lab for the profile of its paper."
)


@dataclass(frozen=True, slots=True)
class ProofedEntry:
    """One entry to show.

    ``losses`` are those of its pictures, in their order. ``mockups`` names its mock-ups: as it is,
    on its paper, and with what is lost. If it could not be proofed, ``losses`` is empty and
    ``problem`` says why.
    """

    plan: Plan
    printed: PrintedStep
    losses: tuple[ColourLoss, ...] = ()
    findings: tuple[Finding, ...] = ()
    mockups: tuple[str, str, str] = ("", "", "")
    problem: str = ""


@dataclass(frozen=True, slots=True)
class PaperShown:
    """What all entries share: the profile as a medium, and its paper white in sRGB."""

    medium: Medium
    colour: Colour = PAPER


def soft_proof_pages(
    job: Job, paper: PaperShown, entries: Sequence[ProofedEntry], layout: PageLayout
) -> tuple[Page, ...]:
    """Return the pages of the soft proof."""
    setter = layout.setter
    papers = papers_of(entry.plan for entry in entries) or (job.paper.title,)
    made_of = f"{', '.join(papers)}; {job.lab.title}"
    blocks = [_masthead(made_of, paper.medium, len(entries), setter), _key(job.lab, setter)]
    blocks += [_entry(job, paper, entry, setter) for entry in entries]
    return layout.pages(map(FlowPart, blocks), ON_SCREENS)


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
    pitch = _third(setter) + GUTTER
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


def _entry(job: Job, paper: PaperShown, entry: ProofedEntry, setter: Setter) -> Block:
    head = entry_head(entry.plan.entry, setter, typeset(entry.printed.words))
    name = stacked([rule(setter.width), head], 6)
    if not entry.losses:
        problem = setter.paragraph(entry.problem, BODY, setter.span(3), most=8)
        return stacked([name, problem.indented(setter.pitch)], 6)
    mounts = _mounts(paper, entry, setter)
    facts = _facts(job, paper.medium, entry.losses, setter)
    return stacked([name, mounts, facts, _verdict(job, entry, setter)], 8)


def _mounts(paper: PaperShown, entry: ProofedEntry, setter: Setter) -> Block:
    """The three mounts side by side, as large as a third of the page allows."""
    third = _third(setter)
    scale = fitting_scale(entry.plan.layout.board, 1, third, _ROW_HEIGHT)
    captions = list(_CAPTIONS)
    if paper.medium.white is None:
        captions[1] = _WITHOUT_PAPER
    papers = (PAPER, paper.colour, PAPER)
    cells = [
        stacked(
            [
                mount_drawing(entry.plan, scale, cut_from(entry.plan, mockup), paper=colour),
                setter.paragraph(caption, CAPTION, third),
            ],
            3,
        )
        for mockup, colour, caption in zip(entry.mockups, papers, captions, strict=True)
    ]
    return side_by_side(cells, third + GUTTER)


def _facts(job: Job, medium: Medium, losses: Sequence[ColourLoss], setter: Setter) -> Block:
    """The figures, each below the drawing that it belongs to."""
    lab, loss = job.lab, _most(losses)
    white = black = "not in this profile"
    if medium.white is not None:
        lightness, a, b = medium.white
        white = typeset(f"L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}")
    if medium.darkest is not None:
        black = f"L* {medium.darkest:.1f}"
    largest: Lines = ((f"{loss.largest:.1f}", STRONG), (f"average {loss.mean:.1f}", ASIDE))
    if len(losses) > 1:
        n = losses.index(loss) + 1
        largest = (*largest, (f"of picture {n}, which loses most", ASIDE))
    limit = f"Loses more than {lab.loss:g}; limit {_percent(lab.lost_share)}"
    columns = (
        (Fact("Largest loss of colour", largest),),
        (Fact("Paper white", ((white, BODY),)), Fact("Darkest tone", ((black, BODY),))),
        (
            Fact("Out of gamut", ((_share(loss.beyond_share), STRONG),)),
            Fact(limit, ((_share(loss.lost_share), STRONG),)),
        ),
    )
    return side_by_side(
        [facts_block(setter, column) for column in columns], _third(setter) + GUTTER
    )


def _most(losses: Sequence[ColourLoss]) -> ColourLoss:
    return max(losses, key=lambda loss: (loss.lost_share, loss.beyond_share, loss.largest))


def _third(setter: Setter) -> float:
    return (setter.width - 2 * GUTTER) / 3


def _percent(share: float) -> str:
    """A share in per cent; a little is never called nothing."""
    if 0 < share < 0.0005:
        return "less than 0.1 %"
    return f"{share * 100:.1f} %".replace(".0 %", " %")


def _share(share: float) -> str:
    return f"{_percent(share)} of the image"


def _verdict(job: Job, entry: ProofedEntry, setter: Setter) -> Block:
    """The finding in words, or that there is none."""
    if entry.findings:
        word, style = entry.findings[0].severity.word.capitalize(), ALARM
        lines = [_in_words(finding) for finding in entry.findings]
    else:
        word, style = "Within the limit", STRONG
        lost = _most(entry.losses).lost_share
        all_but = f"All but {_percent(lost)}" if lost else "All"
        lines = [f"{all_but} of the image stays within {job.lab.loss:g}."]
    return captioned((word, style), [(line, BODY) for line in lines], setter, most=8)


def _in_words(finding: Finding) -> str:
    words = sentence(finding.message)
    return f"{words}. Fix: {finding.remedy}" if finding.remedy else words
