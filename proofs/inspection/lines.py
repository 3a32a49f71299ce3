"""Hairs and scratches: traced lines by a score, their pieces joined, the surest first."""

import functools
import math
from dataclasses import dataclass, replace

import numpy as np

from proofs.inspection.lightness_levels import Level
from proofs.inspection.line_features import line_features
from proofs.inspection.line_response import LONG, SHORT, line_pixels
from proofs.inspection.line_score import line_scores
from proofs.inspection.line_tracing import Lines, traced_lines
from proofs.inspection.marks import Area, Mark, MarkKind, Point
from proofs.records.inspections import LineLimits

PASSES = (
    # Averaged over, the shortest in pixels of the half size, and how strong most of its pixels
    # are. The shorter average finds what is short or bent, but only where it is strong.
    (SHORT, 8, 2.2),
    (LONG, 14, 1.4),
)
_GAP_MM = 2.0  # between the pieces of one line
_TURN = 0.5  # radians between them
_LEAST_PIECE = 0.5  # confidence of a piece
_TWICE = 0.7  # added to the score of a line of which there are several pieces


@dataclass(frozen=True, slots=True)
class _Piece:
    """A mark that may be a piece of a longer line: its ends in millimetres, its angle."""

    mark: Mark
    ends: tuple[Point, Point]
    angle: float


def lines(level: Level, half: Level, limits: LineLimits, px_per_mm: float, rows: int) -> list[Mark]:
    """Return the marks of a picture at full and at half size, ``rows`` rows at a time."""
    pieces: list[_Piece] = []
    by_length = line_pixels(half.lightness, max(1, rows // half.scale))
    for pixels, (length, least_px, strength) in zip(by_length, PASSES, strict=True):
        found = traced_lines(level.lightness, pixels, least_px, strength, px_per_mm)
        scores = line_scores(line_features(found, px_per_mm), length)
        confidence = 1 / (1 + np.exp(-np.clip(scores, -30, 30)))
        least = min(_LEAST_PIECE, limits.least_confidence)
        for n in np.flatnonzero(confidence >= least).tolist():
            pieces.append(_piece(found, n, float(confidence[n]), px_per_mm))
    return [
        mark
        for mark in _joined(pieces)
        if mark.confidence >= limits.least_confidence
        and (mark.length_mm or 0) >= limits.least_length_mm
    ]


def _piece(found: Lines, n: int, confidence: float, px_per_mm: float) -> _Piece:
    mark, angle = _mark(found, n, confidence, px_per_mm), float(found.angle[n])
    (x, y), half = mark.area.centre, (mark.length_mm or 0) / 2
    right, down = half * math.cos(angle), half * math.sin(angle)
    return _Piece(mark, ((x - right, y - down), (x + right, y + down)), angle)


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


def _joined(pieces: list[_Piece]) -> list[Mark]:
    """The marks, with pieces that continue one another as one, the surest first.

    What is found twice, by both passes or in several pieces, is surer.
    """
    order = sorted(pieces, key=lambda p: (-p.mark.confidence, p.mark.area.top, p.mark.area.left))
    whole: list[list[_Piece]] = []
    for piece in order:
        own = next((w for w in whole if any(_continues(piece, other) for other in w)), None)
        if own is None:
            whole.append([piece])
        else:
            own.append(piece)
    return [_whole([piece.mark for piece in own]) for own in whole]


def _whole(marks: list[Mark]) -> Mark:
    """One mark for the pieces of a line, the surest first."""
    whole = functools.reduce(_union, marks)
    if len(marks) == 1:
        return whole
    odds = (1 - whole.confidence) * math.exp(-_TWICE)
    return replace(whole, confidence=whole.confidence / (whole.confidence + odds))


def _continues(one: _Piece, other: _Piece) -> bool:
    """Whether two pieces are of one line: alike, and the end of one near the other."""
    turn = abs(one.angle - other.angle) % math.pi
    if one.mark.contrast * other.mark.contrast <= 0 or min(turn, math.pi - turn) > _TURN:
        return False
    away = [_to_segment(end, *other.ends) for end in one.ends]
    return min(*away, *(_to_segment(end, *one.ends) for end in other.ends)) <= _GAP_MM


def _to_segment(point: Point, start: Point, end: Point) -> float:
    """The distance of a point from a straight line that ends."""
    right, down = end[0] - start[0], end[1] - start[1]
    along = (point[0] - start[0]) * right + (point[1] - start[1]) * down
    share = min(max(along / max(right * right + down * down, 1e-12), 0.0), 1.0)
    return math.dist(point, (start[0] + share * right, start[1] + share * down))


def _union(sure: Mark, piece: Mark) -> Mark:
    left, top = min(sure.area.left, piece.area.left), min(sure.area.top, piece.area.top)
    right = max(m.area.left + m.area.width for m in (sure, piece))
    bottom = max(m.area.top + m.area.height for m in (sure, piece))
    length = max(
        sure.length_mm or 0, piece.length_mm or 0, float(np.hypot(right - left, bottom - top))
    )
    return replace(sure, area=Area(left, top, right - left, bottom - top), length_mm=length)
