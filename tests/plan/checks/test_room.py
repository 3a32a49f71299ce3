"""What tolerances leave, in a word: by the least that is left of all limits."""

import pytest

from proofs.findings import Finding, Severity
from proofs.lengths import Length, inches, millimetres
from proofs.plan.checks.checking import check
from proofs.plan.checks.room import Room, least_room, room_of
from proofs.plan.entry.planning import plan_entry
from proofs.records.rules import VisibleRule
from tests.workbench import a_job, an_entry, facts, some_rules


@pytest.mark.parametrize(
    ("left", "word"),
    [("0.1", Room.JUST), ("0.249", Room.JUST), ("0.25", Room.ENOUGH), ("1", Room.AMPLE)],
)
def test_the_word_follows_from_what_is_left(left: str, word: Room) -> None:
    assert room_of(millimetres(left)) is word


def test_the_least_of_all_limits_counts() -> None:
    found = [Finding("a", Severity.MET, "", left=millimetres(n)) for n in ("4", "0.2", "0.6")]
    assert least_room(found) is Room.JUST
    assert least_room([Finding("board", Severity.MET, "")]) is None


def test_a_limit_states_what_tolerances_leave_of_it() -> None:
    rules = some_rules(visible=VisibleRule(longest_least=inches(10)))
    job = a_job(rules=rules)
    findings = check(job, plan_entry(job, an_entry("long 12 in"), facts(3000, 2000)))
    left: dict[str, Length | None] = {finding.code: finding.left for finding in findings}
    # 11 3/4 in are seen where 10 in are asked for; each of two cuts may take 1 mm of them.
    assert left["longest-side"] == inches("1.75") - millimetres(2)
    # The print is as long as it is: no tolerance bears on its pixels.
    assert left["resolution"] is None
