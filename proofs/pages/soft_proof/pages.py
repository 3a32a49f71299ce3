"""The pages of a soft proof: each print on its mount as it is, on its paper, and what is lost."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.findings import Finding
from proofs.pages.drawing import Block, Page, side_by_side, stacked
from proofs.pages.flow import FlowPart, running_pages, setter_for
from proofs.pages.proof_sheet.columns import Fact, Lines, facts_block
from proofs.pages.proof_sheet.mount import fitting_scale, mount_drawing
from proofs.pages.proof_sheet.verdict import name_block
from proofs.pages.soft_proof.key import key_block
from proofs.pages.typography import (
    ALARM,
    ASIDE,
    BODY,
    CAPTION,
    DISPLAY,
    GUTTER,
    STRONG,
    Measure,
    Setter,
    rule,
    sentence,
)
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.gamut import ColourLoss, Medium
from proofs.plan.delivery.printed_steps import printed_step
from proofs.plan.entry.mockup import PAPER, Colour
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

ON_SCREENS = "A screen only hints at this: a strip on the paper decides."

_ROW_HEIGHT = 190.0  # room for the drawings of an entry, in points
_CAPTIONS = ("As it is", "As the paper shows it", "What is out of reach")
_WITHOUT_PAPER = "As the file holds it"

_HOW = (
    "As it is: the step that is printed, with a screen's white and black. As the paper shows it:"
    " the lab's file through the lab's profile, its paper white and its darkest tone as measured;"
    " the mat stays as it is, for comparison. Differences are CIEDE2000: 1 is about the least that"
    " an eye sees side by side. Colours outside sRGB are measured, but cannot be shown here."
)
_NO_PAPER = (
    "This profile is made for a screen or as a working space, not for a paper: it tells no paper"
    " white and no darkest tone, so none are shown. Ask the lab for the profile of its paper."
)


@dataclass(frozen=True, slots=True)
class ProofedEntry:
    """One entry to show.

    ``losses`` are those of its pictures, in their order. ``mockups`` names its mock-ups: as it is,
    on its paper, and with what is lost. Where it could not be proofed ``losses`` is empty, and
    ``problem`` says why. ``handed_over`` is as for ``printed_step``.
    """

    outcome: Outcome
    plan: Plan
    losses: tuple[ColourLoss, ...]
    findings: tuple[Finding, ...] = ()
    mockups: tuple[str, str, str] = ("", "", "")
    problem: str = ""
    handed_over: float | None = None


@dataclass(frozen=True, slots=True)
class PaperShown:
    """What all entries share: what the profile tells, and its paper white in sRGB."""

    medium: Medium
    colour: Colour = PAPER


def soft_proof_pages(
    job: Job,
    paper: PaperShown,
    entries: Sequence[ProofedEntry],
    *,
    paper_size: str,
    measure: Measure,
) -> tuple[Page, ...]:
    """Return the pages; ``paper_size`` is ``a4`` or ``letter``."""
    setter = setter_for(paper_size, measure)
    blocks = [_masthead(job, paper.medium, len(entries), setter), key_block(job.lab, setter)]
    blocks += [_entry(job, paper, entry, setter) for entry in entries]
    return running_pages(map(FlowPart, blocks), setter, paper=paper_size, title=ON_SCREENS)


def _masthead(job: Job, medium: Medium, count: int, setter: Setter) -> Block:
    half = setter.span(2)
    left = [
        setter.paragraph("Soft proof", DISPLAY, half),
        setter.paragraph("1 entry" if count == 1 else f"{count} entries", BODY, half),
        setter.paragraph(f"{job.paper.title}; {job.lab.title}", ASIDE, half, most=4),
        setter.paragraph(f"Profile: {medium.name}", ASIDE, half, most=3),
    ]
    right = [setter.paragraph(ON_SCREENS, STRONG, half), setter.paragraph(_HOW, BODY, half)]
    if medium.white is None:
        right.append(setter.paragraph(_NO_PAPER, BODY, half))
    told, how = stacked(left, 2), stacked(right, 3)
    return Block(max(told.height, how.height + 9), told.marks + how.at(2 * setter.pitch, 9))


def _entry(job: Job, paper: PaperShown, entry: ProofedEntry, setter: Setter) -> Block:
    aside = printed_step(entry.plan, entry.handed_over).words.replace("-", "−")
    name = stacked([rule(setter.width), name_block(entry.outcome, setter, aside)], 6)
    if not entry.losses:
        said = setter.paragraph(entry.problem, BODY, setter.span(3), most=8)
        return stacked([name, said.indented(setter.pitch)], 6)
    mounts = _mounts(paper, entry, setter)
    facts = _facts(job, paper.medium, entry.losses, setter)
    return stacked([name, mounts, facts, _verdict(job, entry, setter)], 8)


def _mounts(paper: PaperShown, entry: ProofedEntry, setter: Setter) -> Block:
    """The three mounts side by side, as large as a third of the page lets them be."""
    third = _third(setter)
    scale = fitting_scale(entry.plan.layout.board, 1, third, _ROW_HEIGHT)
    captions = list(_CAPTIONS)
    if paper.medium.white is None:
        captions[1] = _WITHOUT_PAPER
    papers = (PAPER, paper.colour, PAPER)
    cells = [
        stacked(
            [
                mount_drawing(entry.plan, scale, mockup, paper=colour),
                setter.paragraph(caption, CAPTION, third),
            ],
            3,
        )
        for mockup, colour, caption in zip(entry.mockups, papers, captions, strict=True)
    ]
    return side_by_side(cells, third + GUTTER)


def _facts(job: Job, medium: Medium, losses: Sequence[ColourLoss], setter: Setter) -> Block:
    """The figures, each below the drawing that it belongs to."""
    lab, loss, told = job.lab, _most(losses), "not told by this profile"
    white, black = told, told
    if medium.white is not None:
        lightness, a, b = medium.white
        white = f"L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}".replace("-", "−")
    if medium.darkest is not None:
        black = f"L* {medium.darkest:.1f}"
    largest: Lines = ((f"{loss.largest:.1f}", STRONG), (f"on average {loss.mean:.1f}", ASIDE))
    if len(losses) > 1:
        n = losses.index(loss) + 1
        largest = (*largest, (f"of picture {n}, which loses most", ASIDE))
    limit = f"Loses more than {lab.loss:g}; limit {_percent(lab.lost_share)}"
    columns = (
        (Fact("Largest loss of colour", largest),),
        (Fact("Paper white", ((white, BODY),)), Fact("Darkest tone", ((black, BODY),))),
        (
            Fact("Out of reach", ((_share(loss.beyond_share), STRONG),)),
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
    return f"{share * 100:.1f} %".replace(".0 %", " %")


def _share(share: float) -> str:
    return f"{_percent(share)} of the image"


def _verdict(job: Job, entry: ProofedEntry, setter: Setter) -> Block:
    """The finding in words, or that there is none."""
    if entry.findings:
        word, style = entry.findings[0].severity.word.capitalize(), ALARM
        told = [_in_words(finding) for finding in entry.findings]
    else:
        word, style = "Within the limit", STRONG
        lost = _most(entry.losses).lost_share
        all_but = f"All but {_percent(lost)}" if lost else "All"
        told = [f"{all_but} of the image keeps within {job.lab.loss:g}."]
    head = setter.paragraph(word, style, setter.column)
    said = stacked([setter.paragraph(words, BODY, setter.span(3), most=8) for words in told])
    return Block(max(head.height, said.height), head.marks + said.at(setter.pitch, 0))


def _in_words(finding: Finding) -> str:
    words = sentence(finding.message)
    return f"{words}. To mend it: {finding.remedy.text}" if finding.remedy else words
