"""Fits the scores of specks and lines, and prints their weights.

    python -m tests.bench.inspection_fit [FOLDER] [--inches 7 10 12 15]

Specks and lines are planted into the pictures that may be tuned on. A logistic score of the
features is fitted to them, against everything that stands out in the same pictures as they are.
Left out are pictures of stars, for which there is the count of a kind, and what stands alone so
clearly that nobody could tell it from dust. Those in use were fitted with FOLDERs of more
photographs: those of specks at 7 inches, those of lines at 7, 10, 12 and 15, since an enlarged
picture has softer lines. The weights go into `proofs/inspection/speck_score.py` and
`proofs/inspection/line_score.py`; a change of a feature asks for new ones.
"""

import argparse
import itertools
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.lightness_levels import levels_of
from proofs.inspection.line_features import line_features
from proofs.inspection.line_response import line_pixels
from proofs.inspection.line_tracing import Lines, traced_lines
from proofs.inspection.lines import PASSES
from proofs.inspection.speck_features import speck_features
from proofs.inspection.speck_shapes import Shapes, isolation
from proofs.inspection.specks import level_count, speck_shapes
from proofs.outside.profiles import profile_folders
from tests.bench.prints import PPI, print_pictures
from tests.inspection.planting import Codes, Planted, Planter, lightness, planted_picture

MM = PPI / 25.4
SEEDS = (1, 2)
LINE_SEEDS = (101, 102, 103)
STARRY = ("hubble", "moon", "green_fire")
ROWS = 256
MOST_SPECKS, MOST_LINES = 1500, 600  # how much one picture without defects weighs at the most
# Of the weight of all rows; a tenth leaves a third more false marks in other pictures.
SPECK_RIDGE, LINE_RIDGE = 1e-4, 1e-3

Floats = NDArray[np.float64]


@dataclass
class Rows:
    """Features of what was planted and of what was there, and how much each row weighs."""

    features: list[Floats] = field(default_factory=list)
    planted: list[Floats] = field(default_factory=list)
    weight: list[Floats] = field(default_factory=list)

    def add(self, features: Floats, *, is_planted: bool, weight: float = 1.0) -> None:
        """Add some rows."""
        self.features.append(features)
        self.planted.append(np.full(len(features), float(is_planted)))
        self.weight.append(np.full(len(features), weight))

    def fitted(self, ridge: float) -> tuple[float, Floats]:
        """Return the start and the weights of the logistic score."""
        features = np.concatenate(self.features)
        middle, spread = features.mean(axis=0), features.std(axis=0) + 1e-9
        start, weights = _logistic(
            (features - middle) / spread,
            np.concatenate(self.planted),
            np.concatenate(self.weight),
            share=ridge,
        )
        return start - float((middle * weights / spread).sum()), weights / spread


def _logistic(
    features: Floats, planted: Floats, weight: Floats, *, share: float
) -> tuple[float, Floats]:
    """Newton's method with step halving, on standardised features."""
    rows = np.hstack([np.ones((len(features), 1)), features])
    ridge = np.full(rows.shape[1], share * weight.sum())
    ridge[0] = 0
    weights = np.zeros(rows.shape[1])

    def loss(tried: Floats) -> float:
        score = rows @ tried
        misfit = weight @ (np.logaddexp(0, score) - planted * score)
        return float(misfit + 0.5 * (ridge * tried) @ tried)

    for _ in range(200):
        likely = 1 / (1 + np.exp(-np.clip(rows @ weights, -30, 30)))
        slope = rows.T @ (weight * (planted - likely)) - ridge * weights
        curve = (rows * (weight * np.maximum(likely * (1 - likely), 1e-9))[:, None]).T @ rows
        step = np.linalg.solve(curve + np.diag(ridge + 1e-7), slope)
        before = loss(weights)
        while loss(weights + step) > before and np.abs(step).max() > 1e-6:
            step = step / 2
        weights = weights + step
        if before - loss(weights) < 1e-6 * abs(before):
            break
    return float(weights[0]), weights[1:]


def add_specks(rows: Rows, codes: Codes, planted: list[Planted]) -> None:
    """Add the shapes of a picture: the planted ones, or all if nothing was planted."""
    limits = profile_folders(None).inspection("usual").specks
    found = speck_shapes(levels_of(lightness(codes), level_count(MM)), limits, MM, ROWS)
    shapes = found.shapes
    features = speck_features(shapes, found.grounds, MM)
    if planted:
        rows.add(features[list(_planted_shapes(shapes, planted))], is_planted=True)
        return
    alone = (isolation(shapes) < 0.15) & (np.abs(shapes.contrast) > 7)
    use = ~(alone & (shapes.ray < 0.1) & (shapes.elongation < 1.8))
    weight = min(1.0, MOST_SPECKS / max(1, len(shapes)))
    rows.add(features[use], is_planted=False, weight=weight)


def _planted_shapes(shapes: Shapes, planted: list[Planted]) -> Iterator[int]:
    """The number of the shape that each planted speck has, on ground where it may be seen."""
    merit = np.abs(shapes.contrast) * (1 - np.clip(isolation(shapes), 0, 0.95)) ** 2
    for speck in planted:
        if speck.kind != "speck" or speck.texture > 1.5 or abs(speck.contrast) < 3:
            continue
        reach = max(3.0, 0.7 * np.sqrt(speck.area_mm2 / np.pi) * MM)
        near = np.flatnonzero(np.hypot(shapes.x - speck.x, shapes.y - speck.y) < reach)
        if len(near):
            yield int(near[merit[near].argmax()])


def add_lines(rows: list[Rows], codes: Codes, planted: list[Planted]) -> None:
    """Add the lines of a picture, of each pass: the planted ones, or all if none was planted."""
    levels = levels_of(lightness(codes), 2)
    by_length = line_pixels(levels[1].lightness, ROWS // 2)
    for own, pixels, (_, least_px, strength) in zip(rows, by_length, PASSES, strict=True):
        lines = traced_lines(levels[0].lightness, pixels, least_px, strength, MM)
        features = line_features(lines, MM)
        if planted:
            own.add(features[_is_planted(lines, planted)], is_planted=True)
        else:
            weight = min(1.0, MOST_LINES / max(1, len(lines)))
            own.add(features, is_planted=False, weight=weight)


def _is_planted(lines: Lines, planted: list[Planted]) -> NDArray[np.bool_]:
    """Which lines are pieces of planted ones, on ground where they may be seen."""
    found = np.zeros(len(lines), np.bool_)
    for line in planted:
        if line.texture >= 1.5 or abs(line.contrast) < 2:
            continue
        path = np.array(line.path)
        low, high = path.min(axis=0) - 2 * MM, path.max(axis=0) + 2 * MM
        inside = (lines.left >= low[0]) & (lines.right <= high[0])
        inside &= (lines.top >= low[1]) & (lines.bottom <= high[1])
        inside &= np.sign(lines.contrast) == np.sign(line.contrast)
        for n in np.flatnonzero(inside):
            near = (path >= np.array([lines.left[n], lines.top[n]]) - MM / 2).all(axis=1)
            near &= (path <= np.array([lines.right[n], lines.bottom[n]]) + MM / 2).all(axis=1)
            found[n] |= near.mean() >= min(0.15, 1.8 / line.length_mm)
    return found


def show(words: str, rows: Rows, ridge: float) -> None:
    """Print fitted weights as they stand in the module."""
    start, weights = rows.fitted(ridge)
    print(f"\n{words}\n_START = {start:.4g}")
    print("\n".join(f"    {weight:.4g}," for weight in weights))


def main() -> None:
    """Plant, look, fit and print."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path)
    parser.add_argument(
        "--inches", type=float, nargs="+", default=[10.0], help="the long sides of the prints"
    )
    asked = parser.parse_args()
    specks, lines = Rows(), [Rows() for _ in PASSES]
    sized = (print_pictures(asked.folder, inches, None) for inches in asked.inches)
    for picture in itertools.chain.from_iterable(sized):
        if not picture.is_tuned or any(word in picture.name for word in STARRY):
            continue
        print(picture.name, flush=True)
        add_specks(specks, picture.codes, [])
        add_lines(lines, picture.codes, [])
        for seed in SEEDS:
            add_specks(specks, *planted_picture(picture.codes, PPI, seed))
        for seed in LINE_SEEDS:
            planter = Planter(picture.codes, PPI, seed)
            planter.hairs(10, (5, 10))
            planter.hairs(6)
            planter.scratches(4)
            add_lines(lines, planter.codes, planter.planted)
    show("specks", specks, SPECK_RIDGE)
    for own, (length, _, _) in zip(lines, PASSES, strict=True):
        show(f"lines averaged along {length} pixels", own, LINE_RIDGE)


if __name__ == "__main__":
    main()
