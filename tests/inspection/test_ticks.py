"""A tick takes off the nearest mark in its reach, in the same picture, and no other."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.inspection.marks import Area, Mark, MarkKind
from proofs.inspection.ticks import LEAST_REACH, reach, tick_for, ticked
from proofs.lengths import Edge
from proofs.records.spotted import Tick, TickWord, read_ticks, tick_line
from tests.looks import SHA256, a_hair, a_speck, along, looked_at
from tests.workbench import a_job, a_plan

SIZE = (300.0, 200.0)
PLAN = a_plan(a_job(), "12x8 in")


def tick_at(x: float, y: float, word: TickWord = TickWord.SPOTTED) -> Tick:
    return Tick("1", x / SIZE[0], y / SIZE[1], word)


@pytest.mark.parametrize(
    ("away", "is_ticked"), [(0.0, True), (1.99, True), (2.01, False), (30.0, False)]
)
def test_a_speck_is_ticked_within_two_millimetres_of_its_middle(
    away: float, is_ticked: bool
) -> None:
    speck = a_speck(100, 50, 0.5)
    found = ticked([speck], [tick_at(100.25 + away, 50.25)], SIZE)
    assert found == ({0: TickWord.SPOTTED} if is_ticked else {})


def test_a_long_mark_is_reached_from_a_tenth_of_its_length() -> None:
    assert reach(a_speck(0, 0)) == LEAST_REACH
    assert reach(along(Edge.TOP, SIZE, width=3)) == 30


def test_one_tick_takes_off_one_mark_the_nearest() -> None:
    near, far = a_speck(100, 50), a_speck(101, 50)
    assert ticked([far, near], [tick_at(100.25, 50.25)], SIZE) == {1: TickWord.SPOTTED}


def test_a_tick_takes_off_a_lost_tone_at_all_steps() -> None:
    area = Area(10, 10, 20, 20)
    tones = [Mark(MarkKind.BLOCKED, area, 0, 1, area_mm2=300, step=s) for s in "ABC"]
    other = Mark(MarkKind.CLIPPED, area, 0, 1, area_mm2=300, step="A")
    assert set(ticked([*tones, other], [tick_at(20, 20)], SIZE)) == {0, 1, 2}


@given(left=st.floats(0, 280), top=st.floats(0, 180), word=st.sampled_from(TickWord))
def test_the_line_to_paste_takes_off_the_mark_that_it_was_made_of(
    left: float, top: float, word: TickWord
) -> None:
    hair = a_hair(left, top)
    tick = tick_for(hair, word, SIZE, entry=("7", 1), sha256=SHA256)
    header = "number,picture,left,top,word,fingerprint\n"
    (read,) = read_ticks((header + tick_line(tick)).encode(), "spotted.csv")
    assert ticked([hair], [read], SIZE) == {0: word}
    assert read.is_of(SHA256)


def test_a_ticked_mark_stays_away_while_picture_and_place_are_the_same() -> None:
    speck = a_speck(100, 50)
    tick = looked_at(PLAN, speck).tick(speck)
    (seen,) = looked_at(PLAN, speck, ticks=(tick,)).marks
    assert (seen.word, seen.is_open, seen.number) == (TickWord.SPOTTED, False, None)


def test_a_mark_that_has_moved_is_to_be_looked_at_again() -> None:
    tick = looked_at(PLAN, a_speck(100, 50)).tick(a_speck(100, 50))
    (seen,) = looked_at(PLAN, a_speck(105, 50), ticks=(tick,)).marks
    assert seen.is_open
    assert seen.number == 1


def test_a_mark_in_another_version_of_the_picture_is_to_be_looked_at_again() -> None:
    speck = a_speck(100, 50)
    of_another = replace(looked_at(PLAN, speck).tick(speck), fingerprint="f" * 12)
    assert looked_at(PLAN, speck, ticks=(of_another,)).marks[0].is_open
    of_any = replace(of_another, fingerprint="")
    assert not looked_at(PLAN, speck, ticks=(of_any,)).marks[0].is_open


@pytest.mark.parametrize(("number", "picture"), [("2", 1), ("1", 2)])
def test_a_tick_of_another_picture_takes_nothing_off(number: str, picture: int) -> None:
    speck = a_speck(100, 50)
    tick = replace(looked_at(PLAN, speck).tick(speck), number=number, picture=picture)
    assert looked_at(PLAN, speck, ticks=(tick,)).marks[0].is_open
