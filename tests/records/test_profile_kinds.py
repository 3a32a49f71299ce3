"""All faults of a profile are noted at once, and none that only follows from another."""

import copy
import datetime
import json
import random
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.errors import ProfileError
from proofs.records.faults import Fault
from proofs.records.profile_kinds import READERS, noted
from proofs.records.tables import Table
from tests.workbench import SHIPPED

CASES = json.loads((Path(__file__).parents[1] / "cases" / "profiles.json").read_text("utf-8"))
FILES = [(kind, SHIPPED.path(kind, name)) for kind in READERS for name in SHIPPED.names(kind)]
IDS = [f"{kind}/{path.stem}" for kind, path in FILES]
NEVER = datetime.time(12)
"""A value that no key takes."""
ODD: tuple[Any, ...] = (
    *(NEVER, "", "0 mm", "3 in", -1, 10**6, True, [], ["x"], {}, [{}], "overlap"),
    {"kind": "float"},
)

every_profile = pytest.mark.parametrize(("kind", "path"), FILES, ids=IDS)


def faults(kind: str, values: dict[str, Any]) -> tuple[Fault, ...]:
    """All that the reader of a kind has against these values."""
    return noted(lambda table: READERS[kind](table, "own"), values)[1]


def raised(kind: str, values: dict[str, Any]) -> str:
    """What a reader raises for these values, without the name of the file; blank for nothing."""
    try:
        READERS[kind](Table(values, "own.toml"), "own")
    except ProfileError as error:
        return str(error).removeprefix("own.toml: ")
    return ""


def leaves(values: dict[str, Any], path: str = "") -> Iterator[tuple[str, dict[str, Any], str]]:
    """Each value that is no table: its path, the table that holds it, and its key."""
    for key, value in values.items():
        at = f"{path}.{key}" if path else key
        if isinstance(value, dict):
            yield from leaves(value, at)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for n, part in enumerate(value, 1):
                yield from leaves(part, f"{at}[{n}]")
        else:
            yield at, values, key


def content(path: Path) -> dict[str, Any]:
    """The values of a shipped profile, to be changed."""
    return tomllib.loads(path.read_text("utf-8"))


@every_profile
def test_a_shipped_profile_has_no_faults(kind: str, path: Path) -> None:
    assert faults(kind, content(path)) == ()


@every_profile
def test_one_value_that_cannot_be_read_is_one_fault_whatever_rests_on_it(
    kind: str, path: Path
) -> None:
    for n, (at, _, _) in enumerate(leaves(content(path))):
        values = content(path)
        _, holder, key = list(leaves(values))[n]
        holder[key] = NEVER
        assert [fault.path for fault in faults(kind, values)] == [at]


@every_profile
def test_values_that_cannot_be_read_are_all_noted(kind: str, path: Path) -> None:
    values = content(path)
    spoilt = list(leaves(values))
    for _, holder, key in spoilt:
        holder[key] = NEVER
    assert {fault.path for fault in faults(kind, values)} == {at for at, _, _ in spoilt}


@every_profile
def test_mistyped_keys_are_all_noted_with_the_keys_that_are_meant(kind: str, path: Path) -> None:
    values = content(path)
    wanted = set()
    for at, holder, key in list(leaves(values)):
        if not at.startswith("papers."):  # those are the lab's own words
            holder[f"{key}x"] = holder.pop(key)
            wanted.add((f"{at}x", f"unknown key; did you mean {key!r}?"))
    assert {(fault.path, fault.words) for fault in faults(kind, values)} == wanted


@pytest.mark.parametrize("case", CASES["faults"], ids=lambda case: f"{case[0]}: {case[1]}")
def test_the_fault_that_stops_a_reader_is_among_those_that_it_notes(case: list[str]) -> None:
    kind, _, line, instead, *_ = case
    values = tomllib.loads(CASES["good"][kind].replace(line, instead, 1))
    # Where an unknown key is meant for a missing one, only the unknown one is noted.
    missing, _, mistyped = raised(kind, values).partition(": found nothing, but an unknown key ")
    key = mistyped.split("'")[1] if mistyped else ""
    table = missing.rpartition(".")[0]
    meant = f"{table}.{key}" if table else key
    said = [str(fault) for fault in faults(kind, values)]
    assert raised(kind, values) in said or any(fault.startswith(f"{meant}: ") for fault in said)


@given(seed=st.integers(0, 10**9))
def test_faults_are_noted_just_where_a_reader_raises(seed: int) -> None:
    rng = random.Random(seed)
    kind, path = rng.choice(FILES)
    values = content(path)
    other = content(rng.choice([p for k, p in FILES if k == kind]))
    for key in rng.sample(sorted(other), rng.randint(0, len(other))):
        values[key] = copy.deepcopy(other[key])
    for _, holder, key in rng.sample(list(leaves(values)), rng.randint(0, 2)):
        holder[rng.choice([key, f"{key}s"])] = rng.choice(ODD)
        if rng.random() < 0.3:
            del holder[key]
    assert bool(faults(kind, values)) == bool(raised(kind, values))


def test_what_a_misread_kind_of_window_would_forbid_is_no_fault() -> None:
    values = content(SHIPPED.path("mounts", "reveal-white"))
    values["window"]["kind"] = "revel"
    values["spacer"] = "1/8 in"
    assert [fault.path for fault in faults("mounts", values)] == ["window.kind"]


def test_limits_that_contradict_each_other_are_noted_beside_other_faults() -> None:
    values = {"title": "T", "source": "S", "unit": "cm"} | {
        "visible": {"longest_least": "10 in", "longest_most": "9 in"},
        "border": [{"least": "1 in"}, {"least": "x"}],
    }
    assert [fault.path for fault in faults("rules", values)] == [
        *("unit", "border[2].least", "visible.longest_most"),
    ]
