"""The report of a run or a check as a JSON record, and the parts that all records share.

Documented in the manual under ``json-report``. Lengths are in mm to six decimals. A record holds
no times and no absolute paths, so the same pictures always give the same record.
"""

import json
from collections import Counter
from collections.abc import Sequence

from proofs import __version__
from proofs.findings import Finding, Status
from proofs.lengths import Borders, Edge, Length, PixelSize, Size
from proofs.pixel_areas import Area
from proofs.plan.checks.outcomes import Outcome, PrintFile, StepOutcome, Tones
from proofs.plan.cutting.mount_kinds import BenchEntry
from proofs.plan.entry.board import Picture
from proofs.plan.entry.planning import Plan, PlannedPicture
from proofs.plan.entry.trims import picture_trims
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.records.shelf import ShelfBoard

SCHEMA = 1
JsonValue = object


def report(
    job: Job, outcomes: Sequence[Outcome], *, with_variants: bool, sharpen: Sharpening | None = None
) -> dict[str, JsonValue]:
    """Return the whole report; ``with_variants`` is False for a check, which makes none.

    ``sharpen`` is the sharpening asked for; None means what suits the paper and the lab.
    """
    counts = Counter(outcome.status for outcome in outcomes)
    return {
        **record_head(),
        "rules": job.rules.name if job.rules else None,
        "mount": job.mounts[0].name,
        "paper": job.paper.name,
        "lab": job.lab.name,
        "cutter": job.cutter.name,
        "sharpening": job.sharpening(sharpen),
        "counts": {status: counts[status] for status in Status},
        "entries": [
            _entry(outcome, with_variants) | paper_record(job, outcome.plan, sharpen)
            for outcome in outcomes
        ],
    }


def record_head() -> dict[str, JsonValue]:
    """Return the keys that open a record: its schema, the program and its version."""
    return {"schema": SCHEMA, "program": "proofs", "version": __version__}


def json_file(record: JsonValue) -> bytes:
    """Return a record as the content of a JSON file, in UTF-8.

    What UTF-8 cannot hold, such as part of a name that is not text, is written as ``\\u``.
    """
    text = json.dumps(record, indent=2, ensure_ascii=False) + "\n"
    return text.encode("utf-8", "backslashreplace")


def _entry(outcome: Outcome, with_variants: bool) -> dict[str, JsonValue]:
    entry, plan = outcome.entry, outcome.plan
    record: dict[str, JsonValue] = {
        "number": entry.number,
        "title": entry.title,
        "category": entry.category,
        "status": outcome.status,
        **(_mount(plan) if plan else _no_mount()),
        "findings": findings_record(outcome.findings),
        "pictures": _pictures(plan) if plan else [],
    }
    if with_variants:
        record["variants"] = [_step(step, len(entry.pictures)) for step in outcome.steps]
    record["mockups"] = {
        "front": [step.mockup for step in outcome.steps if step.mockup],
        "back": outcome.mockup_back,
    }
    return record


def paper_record(job: Job, plan: Plan | None, sharpen: Sharpening | None) -> dict[str, JsonValue]:
    """Return the paper of an entry: its profile, the lab's name of it, and the sharpening for it.

    All values are null for an entry without a plan, and the name if the lab lists none.
    """
    on_paper = job.with_paper(plan.paper) if plan else None
    return {
        "paper": plan.paper.name if plan else None,
        "lab_paper": (plan.lab_paper or None) if plan else None,
        "sharpening": on_paper.sharpening(sharpen) if on_paper else None,
    }


def _mount(plan: Plan) -> dict[str, JsonValue]:
    layout = plan.layout
    return {
        "board_mm": size_record(layout.board),
        "borders_back_mm": borders_record(layout.borders_back),
        "borders_face_mm": borders_record(layout.borders_face),
        "thickness_mm": in_mm(plan.thickness),
    }


def _no_mount() -> dict[str, JsonValue]:
    keys = ("board_mm", "borders_back_mm", "borders_face_mm", "thickness_mm")
    return dict.fromkeys(keys)


def _pictures(plan: Plan) -> list[JsonValue]:
    pairs = zip(plan.parts, plan.layout.pictures, strict=True)
    return [_picture(part, picture) for part, picture in pairs]


def _picture(part: PlannedPicture, picture: Picture) -> dict[str, JsonValue]:
    return {
        "file": part.file,
        "sheet_mm": size_record(part.sheet),
        "edge_to_edge": part.edge is not None,
        "image_mm": size_record(picture.image.size),
        "sight_size_mm": size_record(picture.sight.size),
        "hidden_mm": borders_record(picture.hidden),
        "given_opening_mm": size_record(part.image.opening.size if part.image.opening else None),
        "print_mm": size_record(picture.paper_edge.size if picture.paper_edge else None),
        "back_opening_mm": size_record(picture.back.size if picture.back else None),
        "face_opening_mm": size_record(picture.face.size if picture.face else None),
        "mats": [
            {
                "back_opening_mm": size_record(cut.back.size),
                "face_opening_mm": size_record(cut.face.size),
            }
            for cut in picture.cuts
        ],
        "ppi_at_print_size": round(part.own_ppi, 3),
    }


def _step(step: StepOutcome, pictures: int) -> dict[str, JsonValue]:
    return {
        "step": step.variant.step,
        "density": step.variant.density,
        "chosen": step.is_chosen,
        **tones_record(step.tones),
        "pictures": [_print_file(made) for made in step.print_files or (None,) * pictures],
    }


def _print_file(made: PrintFile | None) -> dict[str, JsonValue]:
    return {
        "file": made.file if made else None,
        "width_px": made.pixels.width if made else None,
        "height_px": made.pixels.height if made else None,
        "ppi": made.ppi if made else None,
        "icc": made.icc if made else None,
        "measured_visible_mm": size_record(made.measured_sight if made else None),
        "sha256": made.sha256 if made else None,
    }


def tones_record(tones: Tones | None) -> dict[str, JsonValue]:
    """Return the measured tones of a step; all values are null if they were not measured."""
    return {
        "density_asked": tones.density_asked if tones else None,
        "density_reached": round(tones.density_reached, 4) if tones else None,
        "blocked_share": round(tones.blocked_share, 6) if tones else None,
        "bare_share": round(tones.bare_share, 6) if tones else None,
    }


def outcome_record(outcome: Outcome) -> dict[str, JsonValue]:
    """Return an entry by its number and title, with its status and its findings."""
    return {
        "number": outcome.entry.number,
        "title": outcome.entry.title,
        "status": outcome.status,
        "findings": findings_record(outcome.findings),
    }


def bench_record(bench: BenchEntry) -> dict[str, JsonValue]:
    """Return one entry at the bench: its prints, and the findings on their openings."""
    images = [picture.image for picture in bench.plan.layout.pictures]
    cuts = picture_trims(bench.plan)
    return {
        "number": bench.plan.entry.number,
        "title": bench.plan.entry.title,
        "measured": bench.is_measured,
        "prints": [
            {
                "image_mm": size_record(image.size),
                "from_left_mm": in_mm(image.place.x),
                "from_top_mm": in_mm(image.place.y),
                "trimmed_mm": size_record(trim.edge.size) if trim else None,
                "trimmed_from_left_mm": in_mm(trim.edge.place.x) if trim else None,
                "trimmed_from_top_mm": in_mm(trim.edge.place.y) if trim else None,
            }
            for image, trim in zip(images, cuts, strict=True)
        ],
        "findings": findings_record(bench.findings),
    }


def findings_record(findings: Sequence[Finding]) -> list[JsonValue]:
    """Return these findings."""
    return [
        {
            "code": finding.code,
            "severity": finding.severity.word,
            "message": finding.message,
            "measured": _rounded(finding.measured),
            "limit": _rounded(finding.limit),
            "unit": finding.unit,
            "remedy": finding.remedy or None,
        }
        for finding in findings
    ]


def shelf_record(board: ShelfBoard) -> dict[str, JsonValue]:
    """Return a row of the shelf."""
    return {
        "line": board.line,
        "kind": board.kind,
        "size_mm": size_record(board.size),
        "opening_mm": size_record(board.opening),
        "colour": board.colour,
        "core_colour": board.core,
        "thickness_mm": in_mm(board.thickness),
        "count": board.count,
    }


def size_record(size: Size | None) -> dict[str, float] | None:
    """Return a size in mm, or null if there is none."""
    return {"width": in_mm(size.width), "height": in_mm(size.height)} if size else None


def pixels_record(pixels: PixelSize) -> dict[str, int]:
    """Return a size in pixels."""
    return {"width": pixels.width, "height": pixels.height}


def area_record(area: Area) -> dict[str, int]:
    """Return an area in pixels."""
    return {"left": area.left, "top": area.top, **pixels_record(area.size)}


def borders_record(borders: Borders) -> dict[str, float]:
    """Return a width for each side, in mm."""
    return {side: in_mm(getattr(borders, side)) for side in Edge}


def in_mm(length: Length) -> float:
    """Return a length in mm, to six decimals."""
    return round(length.mm, 6)


def _rounded(value: float | str | None) -> float | str | None:
    return round(value, 6) if isinstance(value, float) else value
