"""Catalogue copies of a run: one per picture, named by the rules; a fault stops only its own."""

import io
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from PIL import Image

from proofs.commands.delivery.catalogue import catalogue_tasks, make_copy
from proofs.errors import UsageError
from proofs.outside.picture_folder import picture_path
from proofs.outside.pixels.prints.catalogue_copies import CatalogueCopy
from proofs.plan.checks.outcomes import Outcome
from proofs.records.rules import CatalogueRule, Rules
from proofs.run.inputs import read_inputs
from proofs.run.preflight import check_entries
from proofs.run.workers import Trouble, Workers
from tests.command import gradient, write_entries
from tests.workbench import SHIPPED, a_job, some_rules

RULE = CatalogueRule(240, 160, 50_000, 60, "{category}_{number}-{title}")
JOB = a_job(rules=some_rules(catalogue=RULE))


def checked(folder: Path, *rows: str) -> tuple[Outcome, ...]:
    write_entries(folder, "file,title,category,top_edge,crop", *rows)
    entries = read_inputs([folder]).table.entries
    return check_entries(JOB, entries, folder, missing_glyphs=lambda text: "")


def made(outcomes: tuple[Outcome, ...], folder: Path) -> dict[str, CatalogueCopy | Trouble]:
    """Return each copy, or what stopped it, by the name of its file."""
    tasks = catalogue_tasks(JOB, outcomes, partial(picture_path, folder))
    results = Workers(1).ordered_results(make_copy, tasks)
    return {
        task.name: result if isinstance(result, Trouble) else result.copy
        for task, result in results
    }


def size_of(copy: CatalogueCopy | Trouble) -> tuple[int, int]:
    assert isinstance(copy, CatalogueCopy)
    return Image.open(io.BytesIO(copy.content)).size


def test_every_picture_has_one_copy_by_the_rules(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 600, 400)
    gradient(tmp_path / "b.jpg", 600, 400, seed=1)
    outcomes = checked(tmp_path, "a.jpg,Old Pier,Sea,,", "b.jpg,OLD PIER,Sea,,")
    copies = made(outcomes, tmp_path)
    assert list(copies) == ["catalogue/Sea_1-Old-Pier.jpg", "catalogue/Sea_2-OLD-PIER.jpg"]
    assert [size_of(copy) for copy in copies.values()] == [(240, 160), (240, 160)]
    sizes = [len(copy.content) for copy in copies.values() if isinstance(copy, CatalogueCopy)]
    assert max(sizes) <= 50_000


def test_a_copy_is_turned_and_cropped_like_its_print(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 600, 400)
    outcomes = checked(tmp_path, "a.jpg,Pier,,left,1x1 centre")
    (copy,) = made(outcomes, tmp_path).values()
    assert size_of(copy) == (160, 160)


def test_every_picture_on_a_board_has_its_own_copy(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 600, 400)
    gradient(tmp_path / "b.jpg", 400, 400, seed=1)
    outcomes = checked(tmp_path, "a.jpg | b.jpg,Pair,,,")
    sizes = {name: size_of(copy) for name, copy in made(outcomes, tmp_path).items()}
    assert sizes == {"catalogue/1-Pair.jpg": (240, 160), "catalogue/1-Pair-2.jpg": (160, 160)}


def test_an_entry_without_a_plan_has_no_copy(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 600, 400)
    outcomes = checked(tmp_path, "a.jpg,Pier,,,", "missing.jpg,Gone,,,")
    assert [
        task.entry.number
        for task in catalogue_tasks(JOB, outcomes, partial(picture_path, tmp_path))
    ] == ["1"]


def test_a_damaged_picture_is_reported_and_the_others_go_on(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 600, 400)
    gradient(tmp_path / "b.jpg", 600, 400)
    whole = (tmp_path / "a.jpg").read_bytes()
    (tmp_path / "a.jpg").write_bytes(whole[: len(whole) // 3])
    outcomes = checked(tmp_path, "a.jpg,One,,,", "b.jpg,Two,,,")
    damaged, good = made(outcomes, tmp_path).values()
    assert isinstance(damaged, Trouble)
    assert damaged.code == "input-truncated"
    assert str(tmp_path) not in damaged.reason
    assert isinstance(good, CatalogueCopy)


@pytest.mark.parametrize("rules", [None, some_rules()])
def test_rules_without_copies_are_refused(tmp_path: Path, rules: Rules | None) -> None:
    with pytest.raises(UsageError, match=r"the table \[catalogue\] of the rules"):
        catalogue_tasks(replace(JOB, rules=rules), (), partial(picture_path, tmp_path))


@pytest.mark.parametrize("name", SHIPPED.names("rules"))
def test_the_shipped_rules_ask_for_a_screen_size_of_2_mb_at_most(name: str) -> None:
    # Common practice, no source.
    rule = SHIPPED.rules(name).catalogue
    assert rule is not None
    assert (rule.width_px, rule.most_bytes) == (1920, 2_000_000)
    assert rule.height_px in (1080, 1200)
