"""The report of a run of test strips as a JSON record.

Documented in the manual under ``json-report``. Lengths are in mm to six decimals.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.lengths import NM_PER_INCH, NM_PER_MM
from proofs.pixel_areas import Area
from proofs.plan.checks.outcomes import Outcome, Tones
from proofs.plan.entry.planning import PlannedPicture
from proofs.plan.sheets.strip_packing import StripPiece, StripSheet
from proofs.plan.sheets.strip_sheet import StripFrame
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.json_report import JsonValue, finding_record, record_head, tones_record


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
        "sheet_mm": _size(frame.sheet.width, frame.sheet.height, frame.ppi),
        "ppi": frame.ppi,
        "corner_marks_mm": _area(frame.marks, frame.ppi),
        "sheets": [{"file": s.file, "sha256": s.sha256} for s in sheets],
        "entries": [_entry(entry, frame, sheets) for entry in entries],
    }


def _entry(
    entry: StripOutcome, frame: StripFrame, sheets: Sequence[FinishedSheet]
) -> dict[str, JsonValue]:
    outcome, plan = entry.outcome, entry.outcome.plan
    variants = plan.variants if plan else ()
    return {
        "number": outcome.entry.number,
        "title": outcome.entry.title,
        "status": outcome.status,
        "findings": [finding_record(finding) for finding in outcome.findings],
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
    crops = [_place(file, piece, frame) for file, piece in found if not piece.is_whole]
    wholes = [_place(file, piece, frame) for file, piece in found if piece.is_whole]
    return {
        "step": variant.step,
        "density": variant.density,
        "crops": crops,
        "wholes": wholes,
    }


def _picture(part: PlannedPicture, crop: Area | None) -> dict[str, JsonValue]:
    return {
        "file": part.file,
        "print_px": {"width": part.pixels.width, "height": part.pixels.height},
        "crop_px": _crop(crop) if crop else None,
    }


def _place(file: str, piece: StripPiece, frame: StripFrame) -> dict[str, JsonValue]:
    return {"file": file, "picture": piece.picture + 1, **_area(piece.area, frame.ppi)}


def _area(area: Area, ppi: int) -> dict[str, JsonValue]:
    return {
        "left_mm": _mm(area.left, ppi),
        "top_mm": _mm(area.top, ppi),
        "width_mm": _mm(area.width, ppi),
        "height_mm": _mm(area.height, ppi),
    }


def _crop(crop: Area) -> dict[str, JsonValue]:
    return {"left": crop.left, "top": crop.top, "width": crop.width, "height": crop.height}


def _size(width: int, height: int, ppi: int) -> dict[str, JsonValue]:
    return {"width": _mm(width, ppi), "height": _mm(height, ppi)}


def _mm(pixels: int, ppi: int) -> float:
    return round(pixels * NM_PER_INCH / ppi / NM_PER_MM, 6)
