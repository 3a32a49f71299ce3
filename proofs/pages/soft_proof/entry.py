"""One entry of a soft proof: its print on its mount as it is, on its paper, and what is lost."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.findings import Finding
from proofs.pages.drawing import Block, side_by_side, stacked
from proofs.pages.facts import Fact, Lines, facts_block
from proofs.pages.headings import captioned, entry_head
from proofs.pages.mount_drawing import cut_from, mount_drawing
from proofs.pages.typography import (
    ALARM,
    ASIDE,
    BODY,
    CAPTION,
    FIGURE_STRONG,
    GUTTER,
    STRONG,
    Setter,
    rule,
)
from proofs.pages.wording import sentence, typeset
from proofs.plan.delivery.soft_proofs import ColourLoss, Medium, PrintedStep
from proofs.plan.entry.mockup import PAPER, Colour
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

_CAPTIONS = ("On a screen", "On the paper", "Out of gamut")
_WITHOUT_PAPER = "In the lab's file"
NO_MOCKUPS = ("", "", "")


@dataclass(frozen=True, slots=True)
class ProofedEntry:
    """One entry to show.

    ``losses`` are those of its pictures, in their order. ``mockups`` names its mock-ups: as it is,
    on its paper, and with what is lost; they are blank if it loses nothing. If it could not be
    proofed, ``losses`` is empty and ``problem`` says why.
    """

    plan: Plan
    printed: PrintedStep
    losses: tuple[ColourLoss, ...] = ()
    findings: tuple[Finding, ...] = ()
    mockups: tuple[str, str, str] = NO_MOCKUPS
    problem: str = ""


@dataclass(frozen=True, slots=True)
class PaperShown:
    """What all entries share: the profile as a medium, and its paper white in sRGB."""

    medium: Medium
    colour: Colour = PAPER


@dataclass(frozen=True, slots=True)
class EntrySetter:
    """Sets the entries of one soft proof."""

    job: Job
    paper: PaperShown
    setter: Setter

    def block(self, entry: ProofedEntry, high: float, *, is_large: bool = False) -> Block:
        """Return an entry with its mounts in a row, at most so high.

        ``is_large`` has them in two rows instead, twice as high, with the figures at their side.
        """
        setter = self.setter
        head = entry_head(entry.plan.entry, setter, typeset(entry.printed.words))
        name = stacked([rule(setter.width), head], 6)
        if not entry.losses:
            problem = setter.paragraph(entry.problem, BODY, setter.span(3), most=8)
            return stacked([name, problem.indented(setter.pitch)], 6)
        wide = setter.span(2) if is_large else third(setter)
        mounts = _mounts(self.paper, entry, wide, 2 * high if is_large else high, setter)
        facts, pitch = _facts(self.job, self.paper.medium, entry.losses, setter), wide + GUTTER
        rows = [side_by_side(mounts, pitch), side_by_side(facts, pitch)]
        if is_large:
            rows = [
                side_by_side(mounts[:2], pitch),
                side_by_side([mounts[2], stacked(facts, 8)], pitch),
            ]
        return stacked([name, *rows, _verdict(self.job, entry, setter)], 8)


def _mounts(
    paper: PaperShown, entry: ProofedEntry, wide: float, high: float, setter: Setter
) -> list[Block]:
    """The three mounts with their captions, as large as this width and height allow."""
    board = entry.plan.layout.board
    scale = max(board.width.points / wide, board.height.points / high)
    captions = list(_CAPTIONS)
    if paper.medium.white is None:
        captions[1] = _WITHOUT_PAPER
    papers = (PAPER, paper.colour, PAPER)
    return [
        stacked(
            [
                mount_drawing(entry.plan, scale, cut_from(entry.plan, mockup), paper=colour),
                setter.paragraph(caption, CAPTION, wide),
            ],
            3,
        )
        for mockup, colour, caption in zip(entry.mockups, papers, captions, strict=True)
    ]


def _facts(job: Job, medium: Medium, losses: Sequence[ColourLoss], setter: Setter) -> list[Block]:
    """The figures, in the order of the drawings that they belong to."""
    lab, loss = job.lab, most_lost(losses)
    white = black = "not in this profile"
    if medium.white is not None:
        lightness, a, b = medium.white
        white = typeset(f"L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}")
    if medium.darkest is not None:
        black = f"L* {medium.darkest:.1f}"
    largest: Lines = ((f"{loss.largest:.1f}", FIGURE_STRONG), (f"average {loss.mean:.1f}", ASIDE))
    if len(losses) > 1:
        n = losses.index(loss) + 1
        largest = (*largest, (f"of picture {n}, which loses most", ASIDE))
    limit = f"Loses more than {lab.loss:g}; limit {percent(lab.lost_share)}"
    columns = (
        (Fact("Largest loss of colour", largest),),
        (Fact("Paper white", ((white, BODY),)), Fact("Darkest tone", ((black, BODY),))),
        (
            Fact("Out of gamut", ((_share(loss.beyond_share), FIGURE_STRONG),)),
            Fact(limit, ((_share(loss.lost_share), FIGURE_STRONG),)),
        ),
    )
    return [facts_block(setter, column) for column in columns]


def most_lost(losses: Sequence[ColourLoss]) -> ColourLoss:
    """Return the figures of the picture of an entry that loses most."""
    return max(losses, key=lambda loss: (loss.lost_share, loss.beyond_share, loss.largest))


def third(setter: Setter) -> float:
    """Return the width of a third of the type area."""
    return (setter.width - 2 * GUTTER) / 3


def percent(share: float) -> str:
    """Return a share in per cent; a little is never called nothing."""
    if 0 < share < 0.0005:
        return "less than 0.1 %"
    return f"{share * 100:.1f} %".replace(".0 %", " %")


def _share(share: float) -> str:
    return f"{percent(share)} of the image"


def _verdict(job: Job, entry: ProofedEntry, setter: Setter) -> Block:
    """The finding in words, or that there is none."""
    if entry.findings:
        word, style = entry.findings[0].severity.word.capitalize(), ALARM
        lines = [_in_words(finding) for finding in entry.findings]
    else:
        word, style = "Within the limit", STRONG
        lost = most_lost(entry.losses).lost_share
        all_but = f"All but {percent(lost)}" if lost else "All"
        lines = [f"{all_but} of the image stays within {job.lab.loss:g}."]
    return captioned((word, style), [(line, BODY) for line in lines], setter, most=8)


def _in_words(finding: Finding) -> str:
    words = sentence(finding.message)
    return f"{words}. Fix: {finding.remedy}" if finding.remedy else words
