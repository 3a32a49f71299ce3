"""The cuts to make as a JSON record: ``cuts.json`` of ``proofs mount``.

Documented in the manual under ``json-cuts``. Lengths are in mm to six decimals; the position of
a cut is also given as the text that the cutting guide prints.
"""

from collections.abc import Sequence

from proofs.lengths import NM_PER_MM, Length
from proofs.plan.bench.materials import Material, MaterialList
from proofs.plan.bench.nesting import Nesting
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.cut_lines import CutLine
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import MatSheet, MountKind, overrun
from proofs.plan.cutting.opening_limits import MountLimits, OpeningLimits
from proofs.plan.cutting.settings import Setting, settings
from proofs.records.job import Job
from proofs.run.json_report import (
    JsonValue,
    bench_record,
    in_mm,
    outcome_record,
    record_head,
    shelf_record,
    size_record,
)

SCHEMA = 2  # since openings pass as pairs of sides


def cut_record(
    job: Job, kinds: Sequence[MountKind], left_out: Sequence[Outcome], boards: MaterialList
) -> dict[str, JsonValue]:
    """Return the whole record; ``left_out`` are the entries that are not cut."""
    marks, offset = marks_of(job), job.cutter.scale_offset
    return {
        **record_head(),
        "schema": SCHEMA,
        "rules": job.rules.name if job.rules else None,
        "cutter": job.cutter.name,
        "unit": marks.unit,
        "step_mm": in_mm(marks.step),
        "scale_offset_mm": in_mm(offset),
        "mounts": [_kind(job, kind, marks) for kind in kinds],
        "settings": [_setting(setting, marks, offset) for setting in settings(kinds)],
        "boards": [_material(material) for material in boards.materials],
        "shelf": [shelf_record(board) | {"left": count} for board, count in boards.left],
        "left_out": [outcome_record(outcome) for outcome in left_out],
    }


def _material(material: Material) -> dict[str, JsonValue]:
    kind, bought = material.kind, material.bought
    return {
        "use": kind.use,
        "colour": kind.colour,
        "core_colour": kind.core or None,
        "thickness_mm": in_mm(kind.thickness),
        "taken": [{"for": one.piece.label, "line": one.board.line} for one in material.taken],
        "cut_down": [
            {"line": cut.board.line, "sheets": _sheets(cut.nesting)} for cut in material.from_shelf
        ],
        "bought": [
            {"sheet_mm": size_record(nesting.stock.sheet), "sheets": _sheets(nesting)}
            for nesting in bought.nestings
        ],
        "too_large": [piece.label for piece in bought.too_large],
        "price": None if bought.price is None else float(bought.price),
    }


def _sheets(nesting: Nesting) -> list[JsonValue]:
    """What is cut from each sheet, and where on it."""
    return [
        [
            {
                "for": one.piece.label,
                "size_mm": size_record(one.area.size),
                "from_left_mm": in_mm(one.area.place.x),
                "from_top_mm": in_mm(one.area.place.y),
            }
            for one in sheet
        ]
        for sheet in nesting.sheets
    ]


def _kind(job: Job, kind: MountKind, marks: Marks) -> dict[str, JsonValue]:
    return {
        "mount": kind.number,
        "count": len(kind.entries),
        "profile": kind.mount.name,
        "board_mm": size_record(kind.board),
        "ready_cut": kind.is_ready_cut,
        "bevel": kind.mount.bevel if kind.mats else None,
        "shape": kind.mount.shape if kind.mats else None,
        "mats": [_mat(job, kind, mat, marks) for mat in kind.mats],
        "passes": [_passes(limits) for limits in kind.limits.windows],
        "longest_sides_together_mm": _together(kind.limits),
        "entries": [bench_record(bench) for bench in kind.entries],
    }


def _mat(job: Job, kind: MountKind, mat: MatSheet, marks: Marks) -> dict[str, JsonValue]:
    return {
        "board_mm": size_record(mat.board),
        "colour": mat.colour,
        "core_colour": mat.core_colour,
        "thickness_mm": in_mm(mat.thickness),
        "overrun_mm": in_mm(overrun(job, kind.mount, mat)),
        "openings": [
            {
                "back_opening_mm": size_record(cut.back.size),
                "face_opening_mm": size_record(cut.face.size),
            }
            for cut in mat.cuts
        ],
        "cuts": [cut for line in mat.lines for cut in _cuts(line, marks)],
    }


def _passes(limits: OpeningLimits) -> dict[str, JsonValue]:
    area = limits.least_square_nm
    return {
        "least_mm": [size_record(size) for size in limits.least],
        "most_mm": [size_record(size) for size in limits.most],
        "least_area_mm2": None if area is None else area / NM_PER_MM**2,
    }


def _together(limits: MountLimits) -> dict[str, JsonValue]:
    least, most = limits.sides_least, limits.sides_most
    return {
        "least": None if least is None else in_mm(least),
        "most": None if most is None else in_mm(most),
    }


def _cuts(line: CutLine, marks: Marks) -> list[JsonValue]:
    return [
        {
            "edge": stroke.edge,
            "at_mm": in_mm(stroke.at),
            "at": marks.with_unit(stroke.at),
            "start_mm": in_mm(stroke.start),
            "end_mm": in_mm(stroke.end),
        }
        for stroke in line.strokes
    ]


def _setting(setting: Setting, marks: Marks, offset: Length) -> dict[str, JsonValue]:
    return {
        "bevel": setting.bevel,
        "mat_thickness_mm": in_mm(setting.thickness),
        "at_mm": in_mm(setting.at),
        "at": marks.with_unit(setting.at),
        "scale_mm": in_mm(setting.at + offset),
        "uses": [
            {"mount": use.kind, "mat": use.mat + 1, "edges": list(use.edges), "cuts": use.cuts}
            for use in setting.uses
        ],
    }
