"""All straight cuts of a job by their setting, so that blade and stop are reset least often."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from proofs.lengths import Edge, Length
from proofs.plan.cutting.cut_lines import CutLine
from proofs.plan.cutting.mount_kinds import MountKind
from proofs.records.mounts import BevelKind, WindowShape


@dataclass(frozen=True, slots=True)
class SettingUse:
    """One mat of a kind of mount that needs a setting: its edges, and the number of cuts."""

    kind: int
    mat: int
    edges: tuple[Edge, ...]
    cuts: int


@dataclass(frozen=True, slots=True)
class Setting:
    """A position of the stop, and everything that is cut at it.

    Mats of different thickness or bevel need another setting of the blade, so they never share one.
    """

    bevel: BevelKind
    thickness: Length
    at: Length
    uses: tuple[SettingUse, ...]


def settings(kinds: Sequence[MountKind]) -> tuple[Setting, ...]:
    """Return the settings of all straight cuts of a job, in the order with the fewest changes.

    Mats that exist already have none.
    """
    uses: dict[tuple[BevelKind, Length, Length], list[SettingUse]] = defaultdict(list)
    for kind in kinds:
        by_scale = kind.mount.shape == WindowShape.RECTANGLE and not kind.is_ready_cut
        for mat in kind.mats if by_scale else ():
            edges: dict[Length, list[CutLine]] = defaultdict(list)
            for line in mat.lines:
                edges[line.at].append(line)
            for at, lines in edges.items():
                cuts = len(kind.entries) * sum(len(line.strokes) for line in lines)
                use = SettingUse(kind.number, mat.place, tuple(line.edge for line in lines), cuts)
                uses[kind.mount.bevel, mat.thickness, at].append(use)
    return tuple(Setting(*key, tuple(held)) for key, held in sorted(uses.items()))
