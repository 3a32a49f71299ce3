"""Hairs and scratches: traced lines by a score, their pieces joined, the surest first."""

from dataclasses import replace

import numpy as np

from proofs.inspection.lightness_levels import Level
from proofs.inspection.line_features import line_features
from proofs.inspection.line_response import LONG, SHORT, line_pixels
from proofs.inspection.line_score import line_scores
from proofs.inspection.line_tracing import Lines, traced_lines
from proofs.inspection.marks import Area, Mark, MarkKind
from proofs.records.inspections import LineLimits

PASSES = (
    # Averaged over, the shortest in pixels of the half size, and how strong most of its pixels
    # are. The shorter average finds what is short or bent, but only where it is strong.
    (SHORT, 8, 2.2),
    (LONG, 14, 1.4),
)
_GAP_MM = 2.0  # between the pieces of one line
_TURN = 0.5  # radians between them


def lines(level: Level, half: Level, limits: LineLimits, px_per_mm: float, rows: int) -> list[Mark]:
    """Return the marks of a picture at full and at half size, ``rows`` rows at a time."""
    marks: list[tuple[Mark, float]] = []
    by_length = line_pixels(half.lightness, max(1, rows // half.scale))
    for pixels, (length, least_px, strength) in zip(by_length, PASSES, strict=True):
        found = traced_lines(level.lightness, pixels, least_px, strength, px_per_mm)
        scores = line_scores(line_features(found, px_per_mm), length)
        confidence = 1 / (1 + np.exp(-np.clip(scores, -30, 30)))
        for n in np.flatnonzero(confidence >= limits.least_confidence).tolist():
            marks.append((_mark(found, n, float(confidence[n]), px_per_mm), float(found.angle[n])))
    joined = _joined(marks)
    return [mark for mark in joined if (mark.length_mm or 0) >= limits.least_length_mm]


def _mark(found: Lines, n: int, confidence: float, px_per_mm: float) -> Mark:
    left, top, right, bottom = (
        float(v[n]) / px_per_mm for v in (found.left, found.top, found.right, found.bottom)
    )
    width = max(1.0, float(found.width[n])) / px_per_mm
    return Mark(
        MarkKind.LINE,
        Area(
            left + (0.5 / px_per_mm) - width / 2,
            top + (0.5 / px_per_mm) - width / 2,
            right - left + width,
            bottom - top + width,
        ),
        contrast=float(found.contrast[n]),
        confidence=confidence,
        length_mm=float(found.length[n]) / px_per_mm,
        width_mm=width,
    )


def _joined(marks: list[tuple[Mark, float]]) -> list[Mark]:
    """The marks, with pieces that continue one another as one, the surest first."""
    order = sorted(marks, key=lambda m: (-m[0].confidence, m[0].area.top, m[0].area.left))
    result: list[tuple[Mark, float]] = []
    for mark, angle in order:
        for n, (other, other_angle) in enumerate(result):
            turn = abs(angle - other_angle) % np.pi
            if (
                mark.contrast * other.contrast > 0
                and min(turn, np.pi - turn) <= _TURN
                and _gap(mark.area, other.area) <= _GAP_MM
            ):
                result[n] = (_union(other, mark), other_angle)
                break
        else:
            result.append((mark, angle))
    return [mark for mark, _ in result]


def _gap(one: Area, other: Area) -> float:
    across = max(one.left, other.left) - min(one.left + one.width, other.left + other.width)
    down = max(one.top, other.top) - min(one.top + one.height, other.top + other.height)
    return max(across, down)


def _union(sure: Mark, piece: Mark) -> Mark:
    left, top = min(sure.area.left, piece.area.left), min(sure.area.top, piece.area.top)
    right = max(m.area.left + m.area.width for m in (sure, piece))
    bottom = max(m.area.top + m.area.height for m in (sure, piece))
    length = max(
        sure.length_mm or 0, piece.length_mm or 0, float(np.hypot(right - left, bottom - top))
    )
    return replace(sure, area=Area(left, top, right - left, bottom - top), length_mm=length)
