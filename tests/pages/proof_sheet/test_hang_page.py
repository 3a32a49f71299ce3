"""The last page of the proof sheet: all mounts on a wall. Looks have no outside source."""

import pytest

from proofs.pages.drawing import Anchor, Link, Page, Placed
from proofs.pages.flow import PageLayout
from proofs.pages.proof_sheet.hang_page import hang_block, hung_entries
from proofs.pages.proof_sheet.sheet import proof_sheet
from proofs.plan.checks.outcomes import Outcome
from tests.pages.marks_on_pages import measure, overlapping, points_of, texts_of, words_of
from tests.pages.outcomes import LONG_TITLE, an_outcome, planned, without_mockups
from tests.pages.proof_sheet.cases import BLACK, JOB, MANY_NOTES, MANY_STEPS, UPRIGHT, several

LAYOUT = PageLayout("a4", measure)
WITHIN = 0.011  # points; places are in hundredths


def wall_of(outcomes: list[Outcome], height: float = 700.0) -> Page:
    """The wall alone, as a page of its own."""
    setter = LAYOUT.setter
    block = hang_block(hung_entries(outcomes), setter, height)
    return Page(setter.width, height, block.marks)


def pictures_of(page: Page) -> list[Placed]:
    return [mark for mark in page.marks if isinstance(mark, Placed)]


def mixed(count: int) -> list[Outcome]:
    """Entries of three categories; every other board is black, every third is upright."""
    jobs = [JOB, BLACK]
    return [
        an_outcome(
            jobs[n % 2],
            planned(
                jobs[n % 2],
                photo=UPRIGHT if n % 3 == 0 else None,
                number=str(n + 1),
                title=LONG_TITLE if n % 4 == 0 else f"Picture {n + 1}",
                category=("Open", "Nature", "Mono")[n * 3 // count],
                bracket=(0.0,),
            ),
        )
        for n in range(count)
    ]


@pytest.mark.parametrize("count", [2, 7, 31, 300])
@pytest.mark.parametrize("height", [700.0, 340.0])
def test_nothing_leaves_the_wall_and_no_words_overlap(count: int, height: float) -> None:
    page = wall_of(mixed(count), height)
    assert len(pictures_of(page)) == count
    assert list(overlapping(page)) == []
    points = list(points_of(page))
    assert min(min(point) for point in points) >= 0
    assert max(x for x, _ in points) <= page.width + WITHIN
    assert max(y for _, y in points) == pytest.approx(height, abs=WITHIN)


def test_all_mounts_are_at_one_scale_and_none_lies_on_another() -> None:
    placed = pictures_of(wall_of(mixed(31)))
    areas = {round(p.width * p.height) for p in placed}
    assert max(areas) - min(areas) <= 1  # all are 16 x 20 in, upright or not
    assert [
        (a.name, b.name)
        for n, a in enumerate(placed)
        for b in placed[:n]
        if a.x < b.x + b.width
        and b.x < a.x + a.width
        and a.y < b.y + b.height
        and b.y < a.y + a.height
    ] == []


def test_each_mount_leads_to_its_page_and_carries_its_number_and_title() -> None:
    pages = proof_sheet(JOB, mixed(7), LAYOUT)
    links = [m.target for m in pages[-1].marks if isinstance(m, Link)]
    anchors = [m.name for page in pages[1:-1] for m in page.marks if isinstance(m, Anchor)]
    assert links == anchors
    words = words_of(pages[-1:])
    assert all(f"{n + 1} Picture {n + 1}" in words for n in range(7) if n % 4)
    assert all(name in words for name in ("The hang", "Open", "Nature", "Mono"))


def test_captions_are_as_large_as_all_others() -> None:
    # The user's own sizes: captions 7.5 pt, body text at least 9 pt.
    assert {t.size for t in texts_of([wall_of(mixed(31))])} <= {7.5, 9, 13}


def test_an_entry_alone_hangs_on_its_own_page_only() -> None:
    assert len(proof_sheet(JOB, several(1), LAYOUT)) == 2
    assert "The hang" not in words_of(proof_sheet(JOB, several(1), LAYOUT))


def test_entries_without_a_mock_up_do_not_hang() -> None:
    shown, lost = several(3), [without_mockups(outcome) for outcome in several(2)]
    assert len(hung_entries([*lost, *shown])) == 3
    assert hung_entries(lost) == ()


def test_the_wall_takes_the_half_that_a_last_compact_page_leaves_free() -> None:
    pages = proof_sheet(JOB, several(3), LAYOUT, compact=True)
    assert len(pages) == 3
    words = words_of(pages[-1:])
    assert ("Picture 3" in words, "The hang" in words) == (True, True)


def test_findings_without_room_come_after_the_wall() -> None:
    much = [
        an_outcome(
            JOB, planned(JOB, bracket=MANY_STEPS, number=n, title=LONG_TITLE), findings=MANY_NOTES
        )
        for n in "12"
    ]
    words = words_of(proof_sheet(JOB, much, LAYOUT))
    assert words.index("The hang") < words.index("More findings")
