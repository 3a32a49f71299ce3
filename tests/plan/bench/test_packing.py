"""Mounts packed in pairs, and the case for them."""

from collections import Counter
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, inches, millimetres
from proofs.measures import read_size
from proofs.plan.bench.mounting import mounting
from proofs.plan.bench.packing import LIFT_GRAMS, PackedMount, packed_mount, parcel_of
from tests.pages.outcomes import planned
from tests.workbench import a_job

SIZES = ("16x20 in", "20x16 in", "40x50 cm", "11x14 in")
parcels = st.lists(st.sampled_from(SIZES), min_size=1, max_size=12).map(
    lambda sizes: [a_parcel(str(n), size) for n, size in enumerate(sizes)]
)


def a_parcel(number: str = "1", size: str = "16x20 in", grams: float = 300.0) -> PackedMount:
    return PackedMount(number, "Old pier", read_size(size), millimetres("6.5"), grams)


def sides(parcel: PackedMount) -> tuple[Length, Length]:
    return parcel.board.longest, parcel.board.shortest


@given(parcels)
def test_every_mount_is_packed_once(mounts: Sequence[PackedMount]) -> None:
    pairs = parcel_of(mounts).pairs
    inside = [m for pair in pairs for m in (pair.first, pair.second) if m]
    assert Counter(inside) == Counter(mounts)


@given(parcels)
def test_only_mounts_of_one_size_lie_face_to_face(mounts: Sequence[PackedMount]) -> None:
    pairs = parcel_of(mounts).pairs
    assert all(sides(p.first) == sides(p.second) for p in pairs if p.second)


@given(parcels)
def test_no_size_leaves_more_than_one_mount_single(mounts: Sequence[PackedMount]) -> None:
    single = Counter(sides(p.first) for p in parcel_of(mounts).pairs if p.second is None)
    assert all(count == 1 for count in single.values())


@given(parcels)
def test_larger_boards_lie_below(mounts: Sequence[PackedMount]) -> None:
    longest = [pair.first.board.longest for pair in parcel_of(mounts).pairs]
    assert longest == sorted(longest, reverse=True)


@given(parcels)
def test_the_case_leaves_a_quarter_to_half_an_inch(mounts: Sequence[PackedMount]) -> None:
    # Common practice, no source.
    packing = parcel_of(mounts)
    long = max(m.board.longest for m in mounts)
    short = max(m.board.shortest for m in mounts)
    assert (packing.case_least.width, packing.case_most.width) == (
        long + inches("1/4"),
        long + inches("1/2"),
    )
    assert (packing.case_least.height, packing.case_most.height) == (
        short + inches("1/4"),
        short + inches("1/2"),
    )


def test_a_stack_holds_mounts_interleaves_blank_boards_and_two_stiff_sheets() -> None:
    # Three mounts of 6.5 mm, two interleaves of 0.1 mm, a blank board of 1.4 mm, two sheets of
    # 5 mm: what lies between is common practice, no source.
    packing = parcel_of([a_parcel(n) for n in "123"])
    assert packing.stack == millimetres("31.1")
    assert packing.grams > 900


def test_two_carry_what_is_above_the_limit_for_one() -> None:
    # NIOSH's limit under the best conditions is 51 lb, 23 kg, as osha.gov quotes it.
    assert pytest.approx(51 * 453.59237, rel=0.01) == LIFT_GRAMS
    assert not parcel_of([a_parcel(grams=22_000)]).is_for_two
    assert parcel_of([a_parcel(grams=23_000)]).is_for_two


def test_a_mount_is_packed_as_it_was_planned() -> None:
    job = a_job()
    plan = planned(job, number="7", title="Low tide")
    one = mounting(job, plan)
    assert packed_mount(one) == PackedMount(
        "7", "Low tide", plan.layout.board, plan.thickness, one.grams
    )


def test_nothing_cannot_be_packed() -> None:
    with pytest.raises(ValueError, match="no mount to pack"):
        parcel_of([])
