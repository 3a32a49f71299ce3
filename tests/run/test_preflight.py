"""A whole run is checked from headers, and every entry gets an outcome."""

import time
from pathlib import Path

import pytest
from PIL import Image

from proofs.plan.checks.outcomes import Outcome
from proofs.run.inputs import ProfileNames, read_inputs
from proofs.run.preflight import check_entries
from tests.command import gradient, proofs, write_entries


def outcomes_of(folder: Path) -> tuple[Outcome, ...]:
    inputs = read_inputs([folder])
    entries = inputs.table.entries
    job, _ = inputs.source.job(entries)
    return check_entries(job, entries, folder, missing_glyphs=snowmen)


def snowmen(text: str) -> str:
    return "".join(c for c in text if c == "☃")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    gradient(tmp_path / "a.jpg", 300, 200)
    return tmp_path


def codes(outcome: Outcome) -> list[str]:
    return [finding.code for finding in outcome.findings]


def test_a_picture_without_a_profile_is_reported_and_read_as_srgb(folder: Path) -> None:
    assert "profile-missing" in codes(outcomes_of(folder)[0])


def test_a_title_that_cannot_be_printed_is_reported_with_its_characters(folder: Path) -> None:
    write_entries(folder, "file,title", "a.jpg,Snow ☃")
    finding = next(f for f in outcomes_of(folder)[0].findings if f.code == "missing-glyph")
    assert "☃ (U+2603)" in finding.message


def test_the_same_file_and_title_twice_give_a_warning(folder: Path) -> None:
    write_entries(folder, "file,title", "a.jpg,Pier", "a.jpg,pier")
    found = [codes(outcome) for outcome in outcomes_of(folder)]
    assert all({"same-file", "same-title"} <= set(listed) for listed in found)


def test_a_picture_outside_the_folder_is_refused(folder: Path, tmp_path: Path) -> None:
    write_entries(folder, "file", "../b.jpg", "/etc/passwd")
    assert [o.status for o in outcomes_of(folder)] == ["not-understood", "not-understood"]


@pytest.mark.parametrize("name", [".", "[", "sub"])
def test_a_row_that_names_no_picture_is_unreadable_and_no_pattern(folder: Path, name: str) -> None:
    (folder / "sub").mkdir()
    write_entries(folder, "file", name, "a.jpg")
    nothing, known = outcomes_of(folder)
    assert nothing.status == "unreadable"
    assert nothing.findings[0].message.startswith(f"{name}: ")
    assert known.plan is not None


def test_an_unknown_mount_stops_only_its_own_entry(folder: Path) -> None:
    write_entries(folder, "file,mount", "a.jpg,gold-frame", "a.jpg,overlap-black")
    unknown, known = outcomes_of(folder)
    assert unknown.status == "not-understood"
    assert known.plan is not None


def test_a_chosen_letter_that_is_no_step_is_not_understood(folder: Path) -> None:
    write_entries(folder, "file,bracket,chosen", "a.jpg,0; 0.1,C")
    outcome = outcomes_of(folder)[0]
    assert outcome.status == "not-understood"
    assert outcome.findings[0].remedy
    assert outcome.findings[0].remedy == "the steps are A (0), B (+0.10)"


def test_a_bracket_from_a_light_that_is_not_named_is_not_understood(folder: Path) -> None:
    write_entries(folder, "file,bracket", "a.jpg,from light", "a.jpg,0; 0.3")
    asking, written = outcomes_of(folder)
    assert asking.status == "not-understood"
    assert asking.findings[0].remedy
    assert "--light" in asking.findings[0].remedy
    assert written.plan is not None


def test_a_light_sets_blank_brackets_and_those_that_ask_for_it(folder: Path) -> None:
    write_entries(folder, "file,bracket", "a.jpg,From Light", "a.jpg,", "a.jpg,0; 0.3")
    inputs = read_inputs([folder], ProfileNames(light="500 lx"))
    entries = inputs.table.entries
    job, _ = inputs.source.job(entries)
    outcomes = check_entries(job, entries, folder, missing_glyphs=snowmen)
    plans = [outcome.plan for outcome in outcomes]
    steps = [[v.density for v in plan.variants] for plan in plans if plan]
    assert steps == [[-0.05, 0.0, 0.05], [-0.05, 0.0, 0.05], [0.0, 0.3]]


def test_a_print_too_long_for_its_format_is_refused_before_any_work(folder: Path) -> None:
    # The side of a JPEG is a 16-bit number (ITU-T T.81, from memory); 2999 mm at 600 ppi are
    # 70 843 pixels.
    lab = (Path(__file__).parents[2] / "profiles/labs/srgb-jpeg-300.toml").read_text()
    (folder / "profiles/labs").mkdir(parents=True)
    (folder / "profiles/labs/srgb-jpeg-300.toml").write_text(lab.replace("ppi = 300", "ppi = 600"))
    Image.new("RGB", (3000, 600)).save(folder / "a.jpg")
    write_entries(folder, "file,size", "a.jpg,long 2999 mm")
    outcome = outcomes_of(folder)[0]
    assert outcome.status == "unreadable"
    assert codes(outcome) == ["output-too-large-for-format"]


def test_three_hundred_headers_are_checked_in_seconds(tmp_path: Path) -> None:
    gradient(tmp_path / "0.jpg", 1200, 800)
    content = (tmp_path / "0.jpg").read_bytes()
    for number in range(1, 300):
        (tmp_path / f"{number}.jpg").write_bytes(content)
    begun = time.perf_counter()
    assert len(outcomes_of(tmp_path)) == 300
    assert time.perf_counter() - begun < 20  # a second or two; a busy machine gets room


def test_check_prints_the_same_record_as_the_report_without_variants(folder: Path) -> None:
    said = proofs("check", folder, "--json")
    assert said.code == 0
    assert '"schema": 1' in said.out
    assert "variants" not in said.out
