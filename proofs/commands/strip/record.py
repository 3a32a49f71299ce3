"""The report of a run of test strips as a JSON record.

Documented in the manual under ``json-report``. Lengths are in mm to six decimals.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.lengths import NM_PER_INCH, NM_PER_MM
from proofs.pixel_areas import Area
from proofs.plan.checks.outcomes import Outcome, Tones, size_on_paper
from proofs.plan.entry.planning import PlannedPicture
from proofs.plan.sheets.strip_packing import StripPiece, StripSheet
from proofs.plan.sheets.strip_sheet import StripFrame
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.json_report import (
    JsonValue,
    area_record,
    outcome_record,
    paper_record,
    pixels_record,
    record_head,
    size_record,
    tones_record,
)


@dataclass(frozen=True, slots=True)
class StripOutcome:
    """One entry after a run of test strips.

    ``crops`` are the parts shown of its pictures; None if one failed, and then ``tones`` is
    empty.
    """

    outcome: Outcome
    crops: tuple[Area | None, ...] = ()
    tones: tuple[Tones, ...] = ()


@dataclass(frozen=True, slots=True)
class FinishedSheet:
    """One sheet's file with its SHA-256, which is None if it could not be made."""

    file: str
    sheet: StripSheet
    sha256: str | None


def strip_report(
    job: Job,
    frame: StripFrame,
    sheets: Sequence[FinishedSheet],
    entries: Sequence[StripOutcome],
    *,
    sharpen: Sharpening | None,
) -> dict[str, JsonValue]:
    """Return the whole report; ``sharpen`` is the sharpening asked for."""
    return {
        **record_head(),
        "paper": job.paper.name,
        "lab": job.lab.name,
        "sharpening": job.sharpening(sharpen),
        "sheet_mm": size_record(size_on_paper(frame.sheet, frame.ppi)),
        "ppi": frame.ppi,
        "corner_marks_mm": _area(frame.marks, frame.ppi),
        "sheets": [{"file": s.file, "paper": s.sheet.paper, "sha256": s.sha256} for s in sheets],
        "entries": [
            _entry(entry, frame, sheets) | paper_record(job, entry.outcome.plan, sharpen)
            for entry in entries
        ],
    }


def _entry(
    entry: StripOutcome, frame: StripFrame, sheets: Sequence[FinishedSheet]
) -> dict[str, JsonValue]:
    outcome, plan = entry.outcome, entry.outcome.plan
    variants = plan.variants if plan else ()
    return {
        **outcome_record(outcome),
        "pictures": [
            _picture(part, crop)
            for part, crop in zip(plan.parts if plan else (), entry.crops, strict=False)
        ],
        "steps": [
            _step(variant, outcome, frame, sheets)
            | {"chosen": bool(plan and variant == plan.chosen)}
            | tones_record(entry.tones[n] if entry.tones else None)
            for n, variant in enumerate(variants)
        ],
    }


def _step(
    variant: Variant, outcome: Outcome, frame: StripFrame, sheets: Sequence[FinishedSheet]
) -> dict[str, JsonValue]:
    found = [
        (sheet.file, piece)
        for sheet in sheets
        for piece in sheet.sheet.pieces
        if (piece.entry, piece.step) == (outcome.entry.number, variant.step)
    ]
    return {
        "step": variant.step,
        "density": variant.density,
        "crops": [_place(file, piece, frame) for file, piece in found if not piece.is_whole],
        "wholes": [_place(file, piece, frame) for file, piece in found if piece.is_whole],
    }


def _picture(part: PlannedPicture, crop: Area | None) -> dict[str, JsonValue]:
    return {
        "file": part.file,
        "print_px": pixels_record(part.pixels),
        "crop_px": area_record(crop) if crop else None,
    }


def _place(file: str, piece: StripPiece, frame: StripFrame) -> dict[str, JsonValue]:
    return {"file": file, "picture": piece.picture + 1, **_area(piece.area, frame.ppi)}


def _area(area: Area, ppi: int) -> dict[str, JsonValue]:
    return {f"{side}_mm": _mm(pixels, ppi) for side, pixels in area_record(area).items()}


def _mm(pixels: int, ppi: int) -> float:
    return round(pixels * NM_PER_INCH / ppi / NM_PER_MM, 6)
