"""How finished mounts are packed: face to face in pairs, in a case that just holds them.

The materials between and around the mounts are common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from proofs.lengths import Length, Size, inches, millimetres, total
from proofs.plan.bench.mounting import Mounting
from proofs.records.job import NO_EXHIBITOR, Exhibitor

LIFT_GRAMS = 23_000
"""The most that one person should lift under the best conditions (NIOSH: 51 lb, 23 kg)."""

_SPARE_LEAST, _SPARE_MOST = inches("1/4"), inches("1/2")  # of the case round the boards, each way
_INTERLEAF, _INTERLEAF_GSM = millimetres("0.1"), 40.0
_OUTER, _OUTER_GSM = millimetres(5), 700.0  # stiff sheets, one below and one above the stack
_BLANK, _BLANK_GSM = millimetres("1.4"), 900.0
_NM2_PER_M2 = 10**18


@dataclass(frozen=True, slots=True)
class PackedMount:
    """A finished mount to be packed."""

    number: str
    title: str
    board: Size
    thickness: Length
    grams: float


@dataclass(frozen=True, slots=True)
class PackedPair:
    """Two mounts face to face; without a ``second`` a blank board covers the face of the first."""

    first: PackedMount
    second: PackedMount | None


@dataclass(frozen=True, slots=True)
class Parcel:
    """The stack from the bottom up, and the case that holds it.

    ``stack`` is its height with outer sheets and interleaves, ``grams`` its weight without the
    case. ``home`` is the address for its return.
    """

    pairs: tuple[PackedPair, ...]
    case_least: Size
    case_most: Size
    stack: Length
    grams: float
    home: Exhibitor = NO_EXHIBITOR

    @property
    def is_for_two(self) -> bool:
        """Whether it is heavier than one person should lift."""
        return self.grams > LIFT_GRAMS


def packed_mount(mounting: Mounting) -> PackedMount:
    """Return an entry's mount for packing."""
    plan = mounting.plan
    entry, board = plan.entry, plan.layout.board
    return PackedMount(entry.number, entry.title, board, plan.thickness, mounting.grams)


def parcel_of(mounts: Sequence[PackedMount], home: Exhibitor = NO_EXHIBITOR) -> Parcel:
    """Return a parcel of these mounts, the largest boards at the bottom.

    Only boards of the same size share a pair: the edge of a smaller one would dent the other's
    face. Raises ``ValueError`` if there is nothing to pack.
    """
    if not mounts:
        raise ValueError("there is no mount to pack")
    pairs = tuple(_pairs(mounts))
    board = Size(max(m.board.longest for m in mounts), max(m.board.shortest for m in mounts))
    blanks = [pair.first.board for pair in pairs if pair.second is None]
    leaves = [pair.first.board for pair in pairs]
    stack = total(m.thickness for m in mounts)
    stack += len(leaves) * _INTERLEAF + len(blanks) * _BLANK + 2 * _OUTER
    grams = sum(m.grams for m in mounts) + 2 * _grams(board, _OUTER_GSM)
    grams += sum(_grams(leaf, _INTERLEAF_GSM) for leaf in leaves)
    grams += sum(_grams(blank, _BLANK_GSM) for blank in blanks)
    least, most = _larger(board, _SPARE_LEAST), _larger(board, _SPARE_MOST)
    return Parcel(pairs, least, most, stack, grams, home)


def _pairs(mounts: Sequence[PackedMount]) -> list[PackedPair]:
    by_size = sorted(mounts, key=_largest_first)
    pairs = []
    for _, group in groupby(by_size, key=_largest_first):
        alike = list(group)
        for first in range(0, len(alike), 2):
            second = alike[first + 1] if first + 1 < len(alike) else None
            pairs.append(PackedPair(alike[first], second))
    return pairs


def _largest_first(mount: PackedMount) -> tuple[int, int]:
    return -mount.board.longest.nm, -mount.board.shortest.nm


def _larger(board: Size, spare: Length) -> Size:
    return Size(board.width + spare, board.height + spare)


def _grams(board: Size, grams_per_m2: float) -> float:
    return board.square_nm * grams_per_m2 / _NM2_PER_M2
