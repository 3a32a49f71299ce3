"""What decides whether a traced line is a hair or a scratch, and no part of the subject."""

import numpy as np

from proofs.inspection.line_tracing import Floats, Lines

_REPEAT_MM = 25.0
_REPEAT_TURN = 0.2  # radians: lines that run alike


def line_features(lines: Lines, px_per_mm: float) -> Floats:
    """Return the features by which lines are scored, one row for each line."""
    contrast = np.log(np.maximum(np.abs(lines.contrast), 0.1))
    clear = contrast - np.log(lines.noise)
    company = np.log(lines.company + 1e-3)
    width = np.minimum(lines.width, 13)
    step, scatter = np.minimum(lines.step, 3), np.minimum(lines.scatter, 3)
    columns = [
        contrast,
        *_hinges(contrast, 0.7, 1.4),
        clear,
        *_hinges(clear, 0.7, 1.4),
        np.log(np.maximum(lines.strength, 0.5)),
        lines.constant,
        *_hinges(lines.constant, 0.6, 0.8),
        step,
        *_hinges(step, 0.3, 0.8),
        scatter,
        *_hinges(scatter, 0.5),
        width,
        *_hinges(width, 4.0),
        company,
        *_hinges(company, -5.0, -4.0),
        np.log(lines.length / px_per_mm),
        lines.bend,
        _repeats(lines, px_per_mm),
        *_profile_columns(lines),
    ]
    return np.stack(columns, axis=1) if len(lines) else np.zeros((0, len(columns)))


def _profile_columns(lines: Lines) -> list[Floats]:
    """What the profiles across each line show, within limits, some of it as logarithms."""
    body, varying = np.clip(lines.body, 0, 12), np.clip(lines.varying, 0, 1.5)
    weakest = np.clip(lines.weakest, -2, 1)
    columns = [
        body,
        *_hinges(body, 3.0, 5.0),
        np.clip(lines.skirt, -1, 1),
        np.clip(lines.lobe, -2, 1),
        varying,
        *_hinges(varying, 0.25, 0.5),
        weakest,
        *_hinges(weakest, 0.3, 0.6),
    ]
    for values in (lines.bumps, lines.dips):
        size = np.log(np.clip(values, 0.05, 5))
        columns += [size, *_hinges(size, -1.0, -0.3)]
    for values in (lines.ridge, lines.trough):
        size = np.log(np.clip(values, 0.03, 3))
        columns += [size, *_hinges(size, -1.5, -0.7)]
    return [
        *columns,
        np.log(np.clip(lines.ground_along, 0.02, 3)),
        np.log(np.clip(lines.ground_across, 0.02, 4)),
    ]


def _hinges(values: Floats, *bends: float) -> list[Floats]:
    """The part of the values above each bend."""
    return [np.maximum(values - bend, 0) for bend in bends]


def _repeats(lines: Lines, px_per_mm: float) -> Floats:
    """How many others near each line run alike and are as strong: as in architecture or grass."""
    order = np.argsort((lines.top + lines.bottom) / 2, kind="stable")
    x = ((lines.left + lines.right) / 2)[order]
    y = ((lines.top + lines.bottom) / 2)[order]
    size, length, angle = np.abs(lines.contrast)[order], lines.length[order], lines.angle[order]
    reach = _REPEAT_MM * px_per_mm
    first = np.searchsorted(y, y - reach, side="left")
    end = np.searchsorted(y, y + reach, side="right")
    found = np.zeros(len(lines))
    for n in range(len(lines)):
        some = slice(first[n], end[n])
        near = np.hypot(x[some] - x[n], y[some] - y[n]) < reach
        turn = np.abs(angle[some] - angle[n]) % np.pi
        near &= np.minimum(turn, np.pi - turn) < _REPEAT_TURN
        near &= (size[some] > 0.5 * size[n]) & (length[some] > 0.5 * length[n])
        found[order[n]] = near.sum() - 1
    return np.log1p(found)
