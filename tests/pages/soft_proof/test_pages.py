"""The pages of a soft proof as values; their layout is our own, no outside source."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from proofs.lengths import inches
from proofs.pages.drawing import Page, Placed, Shape
from proofs.pages.flow import PageLayout
from proofs.pages.soft_proof.entry import PaperShown, ProofedEntry
from proofs.pages.soft_proof.pages import BEYOND, LOST, ON_SCREENS, soft_proof_pages
from proofs.plan.delivery.soft_proofs import (
    ColourLoss,
    Medium,
    PrintedStep,
    loss_findings,
    printed_step,
)
from proofs.records.job import Job
from tests.pages.marks_on_pages import measure, overlapping, points_of, texts_of, words_of
from tests.pages.outcomes import LONG_TITLE, planned
from tests.workbench import a_job, a_mount, a_reveal, facts, no_window

RAG = PaperShown(Medium("Soft rag", (95.25, 0.5, -1.75), 17.04), (240, 240, 243))
SCREEN = PaperShown(Medium("A screen's own colours as one profile calls them " * 4))
# By the share of the image that loses more than 4: none, 1 % within the limit of 2 %, and 25 %.
LITTLE, SOME, MUCH = (
    ColourLoss(0.004, 0.0, 0.31, 3.2),
    ColourLoss(0.05, 0.01, 0.5, 6.1),
    ColourLoss(0.31, 0.25, 2.62, 18.44),
)
LONG: dict[str, Any] = {
    "number": "2026-A-0017-and-still-longer-than-that",
    "title": LONG_TITLE,
    "category": "People and places, section two of the open part " * 3,
}
JOB = a_job()
NOT_CHOSEN = PrintedStep(0.2, "", "no step chosen: as delivered")


def proofed(
    loss: ColourLoss | None, job: Job = JOB, size: str = "long 10 in", **cells: Any
) -> ProofedEntry:
    photo = cells.pop("photo", None)
    plan = planned(job, size, photo=photo, **cells)
    losses = (loss,) if loss else ()
    found = loss_findings(job.lab, RAG.medium, f"step {plan.printed.step}", losses)
    number = plan.entry.number
    names = (f"{number}-0", f"{number}-1", f"{number}-2")
    problem = "" if loss else "This picture is not shown: the file ends early " * 9
    return ProofedEntry(plan, printed_step(plan), losses, found, names, problem)


def pages_of(
    entries: list[ProofedEntry], paper: PaperShown = RAG, size: str = "a4", job: Job = JOB
) -> tuple[Page, ...]:
    return soft_proof_pages(job, paper, entries, PageLayout(size, measure))


UPRIGHT, PANORAMA = facts(2400, 3600), facts(6000, 1500)
CASES: dict[str, Callable[[], list[ProofedEntry]]] = {
    "none": lambda: [],
    "one": lambda: [proofed(LITTLE)],
    "seven": lambda: [proofed(MUCH, number=str(n)) for n in range(7)],
    "long cells": lambda: [proofed(MUCH, **LONG), proofed(LITTLE, **LONG)],
    "a word without end": lambda: [proofed(MUCH, title="x" * 900)],
    "not chosen": lambda: [replace(proofed(MUCH, **LONG), printed=NOT_CHOSEN)],
    "upright": lambda: [proofed(MUCH, photo=UPRIGHT, number=str(n)) for n in range(5)],
    "a panorama": lambda: [proofed(SOME, size="long 16 in", photo=PANORAMA)],
    "larger than the board": lambda: [proofed(SOME, size="long 30 in")],
    "paper seen": lambda: [proofed(SOME, a_job(mount=a_reveal(inches("1/2"))))],
    "no window": lambda: [proofed(SOME, a_job(mount=no_window()))],
    "black": lambda: [proofed(SOME, a_job(mount=a_mount(mat_colour="black")))],
    "not shown": lambda: [proofed(None, **LONG), proofed(LITTLE)],
}


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("paper", [RAG, SCREEN])
@pytest.mark.parametrize("case", CASES)
def test_nothing_leaves_the_page_and_nothing_lies_over_anything(
    case: str, paper: PaperShown, size: str
) -> None:
    pages = pages_of(CASES[case](), paper, size)
    assert [pair for page in pages for pair in overlapping(page)] == []
    outside = [
        point
        for page in pages
        for point in points_of(page)
        if not (30 <= point[0] <= page.width - 30 and 20 <= point[1] <= page.height - 20)
    ]
    assert outside == []


@pytest.mark.parametrize("case", CASES)
def test_nothing_reaches_into_the_foot_of_the_page(case: str) -> None:
    pages = pages_of(CASES[case]())
    lowest = [t.text for p in pages for t in texts_of([p]) if t.y > p.height - 42]
    assert len(lowest) == 2 * len(pages)
    assert lowest.count(ON_SCREENS) == len(pages)


def test_every_entry_shows_its_three_mounts_with_their_figures() -> None:
    pages = pages_of([proofed(MUCH, number="17", chosen=0.1)])
    words = words_of(pages)
    placed = [m.name for page in pages for m in page.marks if isinstance(m, Placed)]
    assert placed == ["17-0", "17-1", "17-2"]
    wanted = ("On a screen", "On the paper", "Out of gamut", "+0.10 D; chosen")
    assert all(caption in words for caption in wanted)
    figures = ("L* 95.2, a* 0.5, b* −1.8", "L* 17.0", "31 % of the image", "25 % of the image")
    assert all(figure in words for figure in figures)
    assert "18.4 average 2.6" in words
    assert "Loses more than 4; limit 2 %" in words


def test_a_loss_above_the_limit_is_told_with_its_remedy() -> None:
    words = words_of(pages_of([proofed(MUCH)]))
    assert "Warning Step B: 25.0 % of the image loses more than 4 CIEDE2000" in words
    assert "Fix: look at these colours on a test strip" in words
    assert "Within the limit" not in words


def test_a_loss_within_the_limit_is_said_to_be() -> None:
    words = words_of(pages_of([proofed(SOME)]))
    assert "Within the limit All but 1 % of the image stays within 4." in words


def test_a_very_small_loss_is_not_called_none() -> None:
    tiny = replace(SOME, beyond_share=0.0002)
    assert "less than 0.1 % of the image" in words_of(pages_of([proofed(tiny)]))


def test_entries_that_lose_nothing_are_listed_and_not_shown() -> None:
    entries = [proofed(MUCH, number="17"), proofed(LITTLE, number="18", title="Calm")]
    pages = pages_of(entries)
    placed = {m.name for page in pages for m in page.marks if isinstance(m, Placed)}
    assert placed == {"17-0", "17-1", "17-2"}
    assert "18 Calm step B, 0 D; no step chosen: the plain picture 3.2 0.3 0.4 %" in words_of(pages)
    hardly = replace(LITTLE, lost_share=0.0004)
    assert "These lose nothing" in words_of(pages_of([proofed(hardly)]))
    assert "These lose nothing" not in words_of(
        pages_of([proofed(replace(SOME, lost_share=0.0006))])
    )


def test_without_a_paper_no_white_and_no_black_are_made_up() -> None:
    words = words_of(pages_of([proofed(SOME)], SCREEN))
    assert "has no paper white and no darkest tone" in words
    assert words.count("not in this profile") == 2
    assert "In the lab's file" in words
    assert "L*" not in words


def test_paper_seen_round_a_picture_has_the_papers_white_on_its_own_mount_alone() -> None:
    job = a_job(mount=a_reveal(inches("1/2")))
    (page,) = pages_of([proofed(SOME, job)], job=job)
    fills = [m.fill for m in page.marks if isinstance(m, Shape)]
    assert fills.count(RAG.colour) == 1


def test_the_key_holds_the_tones_that_are_laid_over_the_picture() -> None:
    (page,) = pages_of([proofed(LITTLE)])
    fills = [m.fill for m in page.marks if isinstance(m, Shape)]
    assert BEYOND in fills
    assert LOST in fills


def test_of_several_pictures_the_figures_are_those_of_the_one_that_loses_most() -> None:
    one = proofed(LITTLE)
    several = replace(one, losses=(LITTLE, MUCH, LITTLE))
    words = words_of(pages_of([several]))
    assert "18.4 average 2.6 of picture 2, which loses most" in words
    assert "which loses most" not in words_of(pages_of([one]))


def test_a_picture_that_could_not_be_proofed_says_why() -> None:
    assert "not shown: the file ends early" in words_of(pages_of([proofed(None)]))
