"""Specks: candidates that are closed and alone on calm ground, by a score, the surest first."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.lightness_levels import BLOCK_MM, Level, block_roughness
from proofs.inspection.marks import Area, Mark, MarkKind
from proofs.inspection.speck_candidates import (
    BLOCK,
    Candidates,
    Floats,
    candidates_of,
    joined,
    strongest_alone,
)
from proofs.inspection.speck_crowds import crowd_taken
from proofs.inspection.speck_features import middle_roughness, speck_features, speck_grounds
from proofs.inspection.speck_score import speck_scores
from proofs.inspection.speck_shapes import Shapes, isolation, shapes_of
from proofs.records.inspections import SpeckLimits

_LARGEST_MM = 1.0  # the radius of the largest
_SPREADS = ((0.7, 1.0), (0.7, 1.0, 1.4), (1.0, 1.4))  # of the first levels, and of all others
_GATE = 2.0  # times the roughness of calm ground; beyond it the score finds nothing either
_LEAST_CONTRAST = 1.0  # L*
_SAME_PLACE = 1.3  # radii, and two pixels: nearer shapes are the same thing


@dataclass(frozen=True, slots=True)
class SpeckShapes:
    """The shapes of a picture that may be specks, and the roughness of the ground around each.

    ``area_mm2`` is that of the whole picture.
    """

    shapes: Shapes
    grounds: Floats
    area_mm2: float


def level_count(px_per_mm: float) -> int:
    """Return how many levels it takes to see the largest specks."""
    largest = _LARGEST_MM * px_per_mm / (1.4 * np.sqrt(2))
    return max(2, 1 + int(np.ceil(np.log2(max(largest, 2.0)))))


def speck_shapes(
    levels: Sequence[Level], limits: SpeckLimits, px_per_mm: float, rows: int
) -> SpeckShapes:
    """Return the shapes that stand out of calm ground, each thing once."""
    block = max(1, round(BLOCK_MM * px_per_mm / 2))
    roughness = block_roughness(levels[1].lightness, block)
    middle = middle_roughness(roughness)
    gate = _GATE * limits.most_texture_l
    parts: list[Candidates] = []
    least = np.sqrt(limits.least_area_mm2 / np.pi) * px_per_mm
    for n, level in enumerate(levels):
        spreads = _SPREADS[min(n, len(_SPREADS) - 1)]
        wanted = tuple(s for s in spreads if s * np.sqrt(2) * level.scale >= 0.7 * least)
        if wanted:
            busy = _busy(level, middle, 2 * block, gate)
            parts.append(candidates_of(level, busy, wanted, max(1, rows // level.scale)))
    shapes = shapes_of(levels, strongest_alone(joined(parts)))
    grounds = speck_grounds(shapes, roughness, 2 * block)
    calm = (grounds[:, 0] < gate) & (np.abs(shapes.contrast) > _LEAST_CONTRAST)
    shapes, grounds = shapes.only(calm), grounds[calm]
    once = _each_once(shapes)
    area_mm2 = levels[0].lightness.size / px_per_mm**2
    return SpeckShapes(shapes.only(once), grounds[once], area_mm2)


def _busy(
    level: Level, roughness: NDArray[np.float32], block_px: int, gate: float
) -> NDArray[np.bool_]:
    """The blocks of a level whose middle is on rough ground; of the coarse levels none is."""
    down, across = (-(-side // BLOCK) for side in level.lightness.shape)
    if level.scale > 2:
        return np.zeros((down, across), np.bool_)
    middle = (np.arange(max(down, across)) * BLOCK + BLOCK // 2) * level.scale // block_px
    rows = np.minimum(middle[:down], roughness.shape[0] - 1)
    columns = np.minimum(middle[:across], roughness.shape[1] - 1)
    return np.asarray(roughness[rows][:, columns] > gate)


def _each_once(shapes: Shapes) -> NDArray[np.int64]:
    """Which shapes to keep where several have moved onto the same thing: the most closed one."""
    closed = 1 - np.clip(isolation(shapes), 0, 0.95)
    merit = np.abs(shapes.contrast) * closed**2 * np.sqrt(shapes.radius)
    order = np.lexsort((shapes.x, shapes.y, -merit))
    reach = _SAME_PLACE * float(shapes.radius.max(initial=1.0)) + 2
    taken: dict[tuple[int, int], list[int]] = {}
    kept = []
    x, y, radius = shapes.x.tolist(), shapes.y.tolist(), shapes.radius.tolist()
    for n in order.tolist():
        column, row = int(x[n] // reach), int(y[n] // reach)
        near = (
            k
            for i in (row - 1, row, row + 1)
            for j in (column - 1, column, column + 1)
            for k in taken.get((i, j), ())
        )
        if all(
            np.hypot(x[n] - x[k], y[n] - y[k]) >= _SAME_PLACE * max(radius[n], radius[k]) + 2
            for k in near
        ):
            kept.append(n)
            taken.setdefault((row, column), []).append(n)
    return np.array(sorted(kept), dtype=np.int64)


def specks(found: SpeckShapes, limits: SpeckLimits, px_per_mm: float) -> list[Mark]:
    """Return the marks among the shapes that are sure enough."""
    shapes = found.shapes
    scores = speck_scores(speck_features(shapes, found.grounds, px_per_mm))
    area = np.pi * (shapes.radius / px_per_mm) ** 2
    is_mark = _confidence(scores) >= limits.least_confidence
    is_mark &= area >= 0.7 * limits.least_area_mm2
    is_mark &= area <= 1.6 * limits.most_area_mm2  # the rims of soft ones are wide
    crowd = crowd_taken(
        shapes, scores, is_mark, limits, px_per_mm=px_per_mm, area_mm2=found.area_mm2
    )
    confidence = _confidence(scores - crowd)
    is_mark &= confidence >= limits.least_confidence
    marks = []
    for n in np.flatnonzero(is_mark).tolist():
        radius = float(shapes.radius[n]) / px_per_mm
        x, y = (float(v[n] + 0.5) / px_per_mm for v in (shapes.x, shapes.y))
        marks.append(
            Mark(
                MarkKind.SPECK,
                Area(x - radius, y - radius, 2 * radius, 2 * radius),
                contrast=float(shapes.contrast[n]),
                confidence=float(confidence[n]),
                area_mm2=float(area[n]),
            )
        )
    return marks


def _confidence(scores: Floats) -> Floats:
    return np.asarray(1 / (1 + np.exp(-np.clip(scores, -30, 30))))
