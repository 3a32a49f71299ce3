"""What a run keeps of the files that are there."""

from hypothesis import given
from hypothesis import strategies as st

from proofs.plan.making.keeping import Counts, counts_of, keeping

names, keys = st.sampled_from("abcde"), st.sampled_from(["", "1", "2", "3"])
tables = st.dictionaries(names, keys)


@given(wanted=tables, there=tables)
def test_every_file_kept_has_the_content_wanted(
    wanted: dict[str, str], there: dict[str, str]
) -> None:
    keeps = keeping(wanted, there)
    earlier = {name: name for name in keeps.in_place} | {**keeps.renamed, **keeps.copied}
    assert all(wanted[name] and there[before] == wanted[name] for name, before in earlier.items())


@given(wanted=tables, there=tables)
def test_whatever_is_there_in_any_place_is_kept(
    wanted: dict[str, str], there: dict[str, str]
) -> None:
    can_be = {name for name, key in wanted.items() if key and key in there.values()}
    assert keeping(wanted, there).names == can_be


@given(wanted=tables, there=tables)
def test_no_file_is_moved_twice_or_from_where_it_is_wanted(
    wanted: dict[str, str], there: dict[str, str]
) -> None:
    keeps = keeping(wanted, there)
    moved = list(keeps.renamed.values())
    assert len(moved) == len(set(moved))
    assert not keeps.in_place & set(moved)


def test_two_files_that_change_places_are_both_renamed() -> None:
    keeps = keeping({"a": "2", "b": "1"}, {"a": "1", "b": "2"})
    assert keeps.renamed == {"a": "b", "b": "a"}


def test_a_file_wanted_twice_is_copied_once() -> None:
    assert keeping({"a": "1", "b": "1"}, {"a": "1"}).copied == {"b": "a"}
    assert keeping({"b": "1", "c": "1"}, {"a": "1"}).renamed == {"b": "a"}
    assert keeping({"b": "1", "c": "1"}, {"a": "1"}).copied == {"c": "a"}


@given(before=tables, after=tables)
def test_the_counts_add_up_to_all_files(before: dict[str, str], after: dict[str, str]) -> None:
    counts = counts_of(before, after)
    assert counts.made + counts.kept + counts.renamed == len(after)


def test_what_is_the_same_is_kept() -> None:
    assert counts_of({"a": "1"}, {"a": "1"}) == Counts(kept=1)
