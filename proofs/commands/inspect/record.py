"""The record of an inspection as JSON.

Documented in the manual under ``json-inspection``; ``inspection.schema.json`` beside this module is
its schema. Lengths are in mm to three decimals, from the top left of the image as it hangs.
"""

from collections.abc import Sequence

from proofs.inspection.inspected import InspectedEntry, InspectedPicture, SeenMark
from proofs.inspection.look_crops import crop_names, cropped_marks, look_stem, overview_name
from proofs.inspection.look_findings import tone_shares
from proofs.inspection.marks import Mark, Point
from proofs.inspection.not_seen import NOT_SEEN
from proofs.records.inspections import InspectionProfile
from proofs.records.job import Job
from proofs.records.spotted import tick_line
from proofs.run.json_report import JsonValue, outcome_record, record_head


def inspection_record(
    job: Job, profile: InspectionProfile, entries: Sequence[InspectedEntry]
) -> dict[str, JsonValue]:
    """Return the whole record."""
    return {
        **record_head(),
        "inspection": profile.name,
        "rules": job.rules.name if job.rules else None,
        "ppi": job.lab.ppi,
        "entries": [
            {
                **outcome_record(entry.outcome),
                "pictures": [_picture(entry, picture) for picture in entry.pictures],
            }
            for entry in entries
        ],
        "not_seen": list(NOT_SEEN),
    }


def _picture(entry: InspectedEntry, picture: InspectedPicture) -> dict[str, JsonValue]:
    found, part = picture.look.inspection, picture.part
    width, height = picture.size_mm
    stem = look_stem(entry.stem, picture.plan, picture.n)
    crops = {place: crop_names(stem, place) for place, _ in cropped_marks(picture)}
    return {
        "file": part.file,
        "sha256": picture.look.sha256,
        "image_mm": {"width": _mm(width), "height": _mm(height)},
        "searched_share": round(found.searched_share, 6),
        "edge_width_mm": _mm(found.edge_width_mm),
        "sharpest_mm": _place(found.sharpest) if found.sharpest else None,
        "own_ppi": round(part.own_ppi, 3),
        "jpeg_quality": part.facts.jpeg_quality,
        "exif_turn": part.facts.exif_turn,
        "overview": None if picture.is_calm else overview_name(stem),
        "tones": [
            {"kind": kind, "step": step or None, "share": round(share, 6)}
            for kind, steps in tone_shares(picture).items()
            for step, share in steps.items()
        ],
        "marks": [
            _mark(picture, seen, crops.get(place)) for place, seen in enumerate(picture.marks)
        ],
    }


def _mark(
    picture: InspectedPicture, seen: SeenMark, crops: tuple[str, str] | None
) -> dict[str, JsonValue]:
    mark = seen.mark
    return {
        "number": seen.number,
        "kind": mark.kind,
        **_place(mark.area.centre),
        "area": _area(mark),
        "contrast": round(mark.contrast, 3),
        "confidence": round(mark.confidence, 4),
        "area_mm2": _mm(mark.area_mm2),
        "length_mm": _mm(mark.length_mm),
        "width_mm": _mm(mark.width_mm),
        "side": mark.side,
        "colour": [round(value, 2) for value in mark.colour] if mark.colour else None,
        "step": mark.step,
        "hidden": seen.is_hidden,
        "ticked": seen.word,
        "tick": tick_line(picture.tick(mark)),
        "crop": crops[0] if crops else None,
        "raised": crops[1] if crops else None,
    }


def _place(place: Point) -> dict[str, JsonValue]:
    return {"from_left_mm": _mm(place[0]), "from_top_mm": _mm(place[1])}


def _area(mark: Mark) -> dict[str, JsonValue]:
    area = mark.area
    return {
        **_place((area.left, area.top)),
        "width_mm": _mm(area.width),
        "height_mm": _mm(area.height),
    }


def _mm(value: float | None) -> float | None:
    return None if value is None else round(value, 3) + 0.0
