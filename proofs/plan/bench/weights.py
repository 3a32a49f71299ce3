"""The weight of mounts, accurate enough to choose a parcel and to lift it safely.

All three densities are common practice, no source: weigh a board of your own and write its
weight into the mount's profile.
"""

import math
from collections.abc import Sequence

from proofs.lengths import ZERO, Length, Size, millimetres
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import Mount

_SOLID, _FOAM, _PAPER = 650.0, 120.0, 1000.0  # kilograms per cubic metre
_FOAM_FROM = millimetres(3)  # backings of solid board are thinner
_NM2_PER_M2 = 10**18
_GRAMS_PER_POUND = 453.59237  # exact since the yard and pound agreement of 1959


def mat_weight(mount: Mount) -> float:
    """Return the grams per square metre of a mount's mat, by default those of solid board."""
    return _own_or_usual(mount.mat_weight, mount.mat, _SOLID)


def backing_weight(mount: Mount) -> float:
    """Return the grams per square metre of a mount's backing.

    By default a backing of 3 mm or more has a core of foam.
    """
    usual = _FOAM if mount.backing >= _FOAM_FROM else _SOLID
    return _own_or_usual(mount.backing_weight, mount.backing, usual)


def mount_grams(plan: Plan, paper: Length, sheets: Sequence[Size]) -> float:
    """Return the grams of a finished mount with its prints on ``sheets``, without what is cut out.

    ``paper`` is the paper's thickness.
    """
    board, mount = plan.layout.board, plan.mount
    prints = sum(sheet.square_nm for sheet in sheets) * paper.mm * _PAPER
    backing = board.square_nm * backing_weight(mount)
    usual = [_own_or_usual(None, mat.thickness, _SOLID) for mat in mount.mats]
    weights = [mat_weight(mount), *usual[1:]]
    mats = sum(_cut_mat(plan, n) * weights[n] for n in range(len(mount.mats)))
    return (mats + backing + prints) / _NM2_PER_M2


def _cut_mat(plan: Plan, number: int) -> float:
    """The area of a mat in square nanometres, less its openings."""
    share = math.pi / 4 if plan.layout.pictures[0].is_oval else 1.0
    cut_out = sum(window[number].back.size.square_nm for window in plan.layout.windows)
    return mat_board(plan.layout.board, number).size.square_nm - share * cut_out


def _own_or_usual(own: float | None, thickness: Length, density: float) -> float:
    if own is not None or thickness <= ZERO:
        return own or 0.0
    return thickness.mm * density


def in_weights(grams: float) -> str:
    """Return a weight in both units, for people: in grams below a kilogram.

    The pounds are those of the rounded grams, with so many digits that other grams are always
    other pounds.

    >>> in_weights(276), in_weights(23_040)
    ('0.62 lb (280 g)', '50.7 lb (23 kg)')
    """
    tens = round(grams, -1)
    if tens < 1000:
        return f"{_plain(tens / _GRAMS_PER_POUND, 2)} lb ({tens:.0f} g)"
    hundreds = round(grams, -2)
    return f"{_plain(hundreds / _GRAMS_PER_POUND, 1)} lb ({_plain(hundreds / 1000, 1)} kg)"


def _plain(number: float, digits: int) -> str:
    """A number with at most this many digits behind the point."""
    return f"{number:.{digits}f}".rstrip("0").removesuffix(".")
