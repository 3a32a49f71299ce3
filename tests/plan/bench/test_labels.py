"""The words on a label; all of them made up."""

import math

import pytest

from proofs.findings import Finding, Severity, Status
from proofs.lengths import Edge
from proofs.outside.fonts import load_fonts
from proofs.pages.typography import REGULAR
from proofs.plan.bench.labels import (
    READ_POINTS,
    Label,
    RequiredLine,
    code_text,
    label_of,
    labels_of,
    required_lines,
    top_in_words,
    tops_in_words,
)
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import plan_entry
from proofs.records.job import NO_EXHIBITOR, Exhibitor
from proofs.records.rules import LabelLine, Rules
from tests.workbench import a_job, an_entry, facts, some_rules

SOMEBODY = Exhibitor("A. Maker", "12 Quay Lane")
BOTH = some_rules(label_lines=(LabelLine.NAME, LabelLine.ADDRESS))
FAULT = Finding("not-understood", Severity.UNREADABLE, "line 4: a fault")


def entered(number: str, category: str, *faults: Finding) -> Outcome:
    entry = an_entry(number=number, category=category, faults=faults)
    if faults:
        return Outcome(entry, Status.NOT_UNDERSTOOD, ())
    return Outcome(entry, Status.MET, (), plan_entry(a_job(), entry, facts(300, 200)))


def places(*outcomes: Outcome) -> list[tuple[str, str]]:
    labels = labels_of(outcomes, None, NO_EXHIBITOR)
    return [(each.label.number, each.label.entered) for each in labels]


def test_an_entry_has_its_place_among_those_of_its_category() -> None:
    found = places(entered("1", "Open"), entered("2", "Mono"), entered("3", "open "))
    assert found == [("1", "Open, 1 of 2"), ("2", "Mono, 1 of 1"), ("3", "open , 2 of 2")]


def test_entries_without_a_category_are_counted_together() -> None:
    assert places(entered("1", ""), entered("2", "")) == [("1", "1 of 2"), ("2", "2 of 2")]


def test_an_entry_that_is_not_mounted_keeps_its_place_but_gets_no_label() -> None:
    found = places(entered("1", "Open"), entered("2", "Open", FAULT), entered("3", "Open"))
    assert found == [("1", "Open, 1 of 3"), ("3", "Open, 3 of 3")]


@pytest.mark.parametrize("rules", [None, some_rules()])
def test_nobody_is_named_unless_the_rules_ask(rules: Rules | None) -> None:
    assert required_lines(rules, SOMEBODY) == ()


def test_what_the_rules_ask_for_stands_there_in_the_exhibitors_words() -> None:
    assert required_lines(BOTH, SOMEBODY) == (
        RequiredLine("name", "A. Maker"),
        RequiredLine("address", "12 Quay Lane"),
    )
    only = some_rules(label_lines=(LabelLine.NAME,))
    assert required_lines(only, SOMEBODY) == (RequiredLine("name", "A. Maker"),)


def test_what_is_asked_for_but_unknown_leaves_a_line_to_write_on() -> None:
    assert required_lines(BOTH, NO_EXHIBITOR) == (
        RequiredLine("name", ""),
        RequiredLine("address", ""),
    )


def test_a_title_is_what_was_entered() -> None:
    title = 'Pier,  "Dawn" & <after> \u200fא'
    assert label_of(an_entry(title=title)).title == title


def test_a_code_holds_number_title_and_what_was_entered_and_no_name() -> None:
    label = Label("7", "The pier", "Open", "2 of 4", (RequiredLine("name", "A. Maker"),))
    assert code_text(label) == "7\nThe pier\nOpen, 2 of 4"


def test_large_type_has_capitals_that_are_legible_from_1_m() -> None:
    # NUREG-0700 rev. 2, guideline 1.3.1-4: height = 6.283 x distance x minutes / 21600, and at
    # least 16 minutes. The height of our capitals as the font file states it: 1462 of 2048.
    capital_mm = READ_POINTS / 72 * 25.4 * 1462 / 2048
    assert capital_mm >= 6.283 * 1000 * 16 / 21600


def test_large_type_has_small_letters_that_are_read_with_ease_from_1_m() -> None:
    # Legge and Bigelow, Journal of Vision 11 (2011) 5:8: x-heights of 0.2 degrees and more are
    # read at full speed. The x-height as the font file states it: 1096 of 2048.
    x_height_mm = READ_POINTS / 72 * 25.4 * 1096 / 2048
    assert x_height_mm >= 1000 * math.tan(math.radians(0.2))


def test_those_heights_are_of_the_typeface_in_use() -> None:
    assert load_fonts().own[REGULAR].path.name == "OpenSans-Regular.ttf"


@pytest.mark.parametrize(
    ("edge", "words"),
    [
        (Edge.TOP, ""),
        (Edge.LEFT, "TOP is the file's left edge, turned 90° clockwise"),
        (Edge.RIGHT, "TOP is the file's right edge, turned 90° anticlockwise"),
        (Edge.BOTTOM, "TOP is the file's bottom edge, turned upside down"),
    ],
)
def test_a_turned_picture_is_described_by_its_top_edge(edge: Edge, words: str) -> None:
    assert top_in_words(edge) == words


def test_each_turned_picture_of_a_group_is_described_with_its_place() -> None:
    entry = an_entry("6x6 in | 6x6 in", file="a.jpg | b.jpg", top_edge=Edge.LEFT)
    plan = plan_entry(a_job(), entry, facts(3000, 3000), facts(3000, 3000))
    assert tops_in_words(plan) == (
        "picture 1: TOP is the file's left edge, turned 90° clockwise",
        "picture 2: TOP is the file's left edge, turned 90° clockwise",
    )
