"""What two exhibitions can share of a picture, by hand."""

import datetime
from dataclasses import replace

import pytest

from proofs.lengths import millimetres
from proofs.plan.season.exhibitions import Away, Exhibition, season_pictures
from proofs.plan.season.sharing import Reuse, alike_mounts, reuses
from tests.plan.season.seasons import JUNE, MAY, SPRING, SUMMER, at
from tests.workbench import LAB, PAPER, a_job, a_mount

JOB = a_job()


def between(first: Exhibition, second: Exhibition) -> Reuse:
    (found,) = reuses(season_pictures([first, second]))
    return found


def test_one_mount_serves_two_exhibitions_one_after_the_other() -> None:
    found = between(
        at("spring", "pier", away=SPRING, chosen="B"), at("summer", "pier", away=SUMMER, chosen="B")
    )
    assert (found.print_differs, found.mount_differs, found.clash) == ((), (), None)
    assert (found.shares_print, found.shares_mount, found.is_open) == (True, True, False)


def test_two_exhibitions_on_one_day_clash() -> None:
    late = replace(SUMMER, first=JUNE)
    found = between(at("spring", "pier", away=SPRING), at("summer", "pier", away=late))
    assert found.clash == (JUNE, JUNE)
    assert not found.shares_print


def test_without_days_nothing_is_said_of_a_clash() -> None:
    found = between(at("spring", "pier", away=SPRING), at("some day", "pier"))
    assert (found.clash, found.has_dates, found.shares_print) == (None, False, False)


@pytest.mark.parametrize(
    ("other", "print_differs"),
    [
        (at("summer", "pier", away=SUMMER, size="long 11 in"), ("size",)),
        (at("summer", "pier", away=SUMMER, crop="3x2 centre"), ()),  # nothing is cut off 3:2
        (at("summer", "pier", away=SUMMER, crop="5x4 centre"), ("crop", "size")),
        (at("summer", "pier", away=SUMMER, chosen="C"), ("density",)),
        (
            at("summer", "pier", away=SUMMER, job=a_job(paper=replace(PAPER, title="Cotton"))),
            ("paper",),
        ),
        # 300 or 360 ppi: on paper both are 12 x 8 in.
        (at("summer", "pier", away=SUMMER, job=a_job(lab=replace(LAB, ppi=360))), ()),
    ],
)
def test_a_print_is_shared_if_crop_size_paper_and_density_are_alike(
    other: Exhibition, print_differs: tuple[str, ...]
) -> None:
    found = between(at("spring", "pier", away=SPRING), other)
    assert found.print_differs == print_differs
    assert found.shares_print is not bool(print_differs)


@pytest.mark.parametrize(
    ("changes", "mount_differs"),
    [
        ({"mat_colour": "black"}, ("mats",)),
        ({"backing": millimetres(6)}, ("backing",)),
        ({"overlap": millimetres(5)}, ("opening",)),
        ({"title": "Another name of the same mount"}, ()),
    ],
)
def test_a_mount_is_shared_if_its_boards_and_openings_are_alike(
    changes: dict[str, object], mount_differs: tuple[str, ...]
) -> None:
    other = a_job(mount=a_mount(**changes))
    found = between(at("spring", "pier", away=SPRING), at("summer", "pier", away=SUMMER, job=other))
    assert found.mount_differs == mount_differs
    assert found.shares_print


def test_a_board_with_another_picture_on_it_is_another_mount() -> None:
    spring = at("spring", "pier | reeds", away=SPRING, size="long 6 in")
    found = between(spring, at("summer", "pier", away=SUMMER, size="long 6 in"))
    assert "pictures" in found.mount_differs


def test_each_two_of_three_exhibitions_are_compared() -> None:
    three = [at(name, "pier", away=SPRING) for name in ("one", "two", "three")]
    assert len(reuses(season_pictures(three))) == 3


def test_a_picture_entered_twice_at_one_exhibition_is_not_compared_with_itself() -> None:
    assert reuses(season_pictures([at("spring", "pier", "pier")])) == ()


@pytest.mark.parametrize(
    ("aways", "needed"),
    [
        ((SPRING, SUMMER), 2),  # each has two entries, one exhibition after the other
        ((SPRING, SPRING), 4),
        ((SPRING, Away(JUNE, JUNE, False)), 4),  # on 1 June
        ((SPRING, None), 4),  # without a day it may be at any time
    ],
)
def test_mounts_alike_are_needed_as_often_as_they_are_away_at_once(
    aways: tuple[Away | None, Away | None], needed: int
) -> None:
    spring = at("spring", "pier", "reeds", away=aways[0])
    summer = at("summer", "dunes", "huts", away=aways[1])
    (found,) = alike_mounts([spring, summer])
    assert [showing.exhibition.name for showing in found.showings] == ["spring"] * 2 + [
        "summer"
    ] * 2
    assert found.needed == needed


def test_mounts_of_one_exhibition_alone_are_not_listed() -> None:
    small = at("summer", "dunes", size="long 11 in")
    assert alike_mounts([at("spring", "pier", "reeds"), small]) == ()


def test_the_days_of_the_examples_do_not_meet() -> None:
    assert SPRING.shared(SUMMER) is None
    assert SPRING.first == MAY
    assert SUMMER.first - SPRING.last == datetime.timedelta(days=1)
