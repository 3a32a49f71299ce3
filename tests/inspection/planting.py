"""Defects planted with a seed into pictures of 8-bit sRGB, with what is really there afterwards.

Only the pixels of a defect change, and defects keep 5 mm from one another, so that none hides
or weakens its neighbour. Contrasts are those of the finished codes, at their strongest.
CIELAB is that of scikit-image.
"""

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import pyvips
from numpy.typing import NDArray
from skimage.color import lab2rgb, rgb2lab

Codes = NDArray[np.uint8]
Floats = NDArray[np.float64]

APART_MM = 5.0


@dataclass(frozen=True, slots=True)
class Planted:
    """A defect: its middle and its path in pixels, its size on paper, its L* and its ground's T.

    ``kind`` is ``speck``, ``hair``, ``scratch`` or ``streak``; ``form`` says what it looks like.
    """

    kind: str
    form: str
    x: float
    y: float
    contrast: float
    texture: float
    area_mm2: float = 0.0
    length_mm: float = 0.0
    width_mm: float = 0.0
    path: tuple[tuple[float, float], ...] = ()


def lightness(codes: Codes) -> NDArray[np.float32]:
    """Return the L* of a picture in sRGB, by the library's own CIELAB."""
    image = pyvips.Image.new_from_array(codes, interpretation="srgb")
    return np.asarray(image.colourspace("lab")[0].numpy(), np.float32)


def texture_map(codes: Codes, ppi: int) -> NDArray[np.float32]:
    """Return T: the RMS of L* about its Gaussian mean of 0.5 mm, averaged by one of 1 mm."""
    mm = ppi / 25.4
    tones = pyvips.Image.new_from_array(lightness(codes))
    rough = (tones - tones.gaussblur(0.5 * mm, precision="float")) ** 2
    return np.asarray(np.sqrt(np.maximum(rough.gaussblur(mm, precision="float").numpy(), 0)))


@dataclass
class Planter:
    """Plants defects into a copy of a picture."""

    codes: Codes
    ppi: int
    seed: int
    planted: list[Planted] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.codes = self.codes.copy()
        self.texture = texture_map(self.codes, self.ppi)
        self.random = np.random.default_rng(self.seed)
        self._taken = np.zeros(tuple(side // 8 + 1 for side in self.codes.shape[:2]), bool)

    @property
    def px_per_mm(self) -> float:
        return self.ppi / 25.4

    def specks(self, count: int) -> None:
        """Plant specks of all sizes and contrasts, half of them on calm ground."""
        for n in range(count):
            area = math.exp(self.random.uniform(math.log(0.008), math.log(3.1)))
            contrast = self._contrast(3, 30)
            form = ("hard", "soft", "ring")[int(self.random.integers(3))]
            self.speck(area, contrast, form, calm=n % 2 == 0)

    def speck(
        self, area_mm2: float, contrast: float, form: str = "hard", *, calm: bool = True
    ) -> None:
        """Plant one speck at a place drawn by chance."""
        radius = math.sqrt(area_mm2 / math.pi) * self.px_per_mm
        place = self._free_place(radius * 2.2 + 3, calm=calm)
        if place is None:
            return
        x, y = place
        stretch = float(self.random.uniform(1, 1.35))
        turn = float(self.random.uniform(0, math.pi))
        reach = math.ceil(radius * 2.6 * stretch + 3)
        rows, columns = self._box(x, y, reach)
        v, u = np.mgrid[rows, columns]
        along = (u - x) * math.cos(turn) + (v - y) * math.sin(turn)
        across = (v - y) * math.cos(turn) - (u - x) * math.sin(turn)
        distance = np.hypot(along / stretch, across * stretch) / 1
        mask = speck_mask(distance, radius, form)
        seen = self._change(rows, columns, mask * contrast)
        here = float(self.texture[round(y), round(x)])
        self.planted.append(Planted("speck", form, x, y, seen, here, area_mm2=area_mm2))

    def hairs(self, count: int, lengths_mm: tuple[float, float] = (3, 25)) -> None:
        """Plant bent hairs of lengths between two."""
        for _ in range(count):
            length = math.exp(self.random.uniform(*np.log(lengths_mm)))
            bend = float(self.random.normal(0, 1.2)) / length
            self.line("hair", length, self._contrast(2.5, 25), bend=bend)

    def scratches(self, count: int) -> None:
        """Plant straight scratches, 10 to 60 mm long."""
        for _ in range(count):
            self.line("scratch", float(self.random.uniform(10, 60)), self._contrast(2.5, 25))

    def line(self, kind: str, length_mm: float, contrast: float, *, bend: float = 0.0) -> None:
        """Plant one line; ``bend`` is how much its direction turns, in radians a millimetre."""
        width = float(self.random.uniform(0.05, 0.18)) * self.px_per_mm
        for _ in range(30):
            path = self._path(length_mm * self.px_per_mm, bend / self.px_per_mm)
            if path is not None and self._is_free(path):
                break
        else:
            return
        low, high = path.min(axis=0).astype(int) - 4, path.max(axis=0).astype(int) + 5
        rows, columns = slice(low[1], high[1]), slice(low[0], high[0])
        v, u = np.mgrid[rows, columns]
        points = np.stack([u, v], axis=-1).reshape(-1, 2).astype(np.float64)
        distance = np.full(len(points), np.inf)
        for one, other in itertools.pairwise(path):
            near = np.abs(points - (one + other) / 2).max(axis=1) < np.abs(other - one).max() + 6
            distance[near] = np.minimum(distance[near], _to_segment(points[near], one, other))
        cover = np.clip(width / 2 + 0.5 - distance, 0, min(1.0, width)).reshape(u.shape)
        self._take(path, self.px_per_mm * APART_MM)
        middle = path[len(path) // 2]
        calm = [float(self.texture[round(y), round(x)]) for x, y in path]
        seen = self._change(rows, columns, cover * contrast, along=path)
        self.planted.append(
            Planted(
                kind,
                "bent" if bend else "straight",
                float(middle[0]),
                float(middle[1]),
                seen,
                float(np.percentile(calm, 75)),
                length_mm=length_mm,
                width_mm=width / self.px_per_mm,
                path=tuple((float(x), float(y)) for x, y in path),
            )
        )

    def streak(self, contrast: float | None = None, *, part: float = 1.0) -> None:
        """Plant a scanner's streak along a column or a row, over the whole or a part of it."""
        upright = bool(self.random.integers(2))
        contrast = contrast or self._contrast(1.5, 8)
        width = float(self.random.uniform(0.07, 0.34)) * self.px_per_mm
        height, across = self.codes.shape[:2]
        length, side = (height, across) if upright else (across, height)
        place = float(self.random.uniform(30, side - 30))
        first = int(self.random.uniform(0, (1 - part) * length)) if part < 1 else 0
        end = first + round(part * length)
        at = np.arange(math.floor(place - width), math.ceil(place + width) + 1)
        cover = np.clip(width / 2 + 0.5 - np.abs(at - place), 0, min(1.0, width))
        lines, along = slice(int(at[0]), int(at[-1]) + 1), slice(first, end)
        rows, columns = (along, lines) if upright else (lines, along)
        mask = np.broadcast_to(cover, (end - first, len(cover)))
        ground = float(np.percentile(self.texture[rows, columns], 75))
        seen = self._change(rows, columns, (mask if upright else mask.T) * contrast, typical=True)
        ends = ((place, float(first)), (place, float(end)))
        path = ends if upright else tuple((y, x) for x, y in ends)
        middle = path[0][0] / 2 + path[1][0] / 2, path[0][1] / 2 + path[1][1] / 2
        self.planted.append(
            Planted(
                "streak",
                "whole" if part == 1 else "part",
                *middle,
                seen,
                ground,
                length_mm=(end - first) / self.px_per_mm,
                width_mm=width / self.px_per_mm,
                path=path,
            )
        )

    def _contrast(self, least: float, most: float) -> float:
        size = math.exp(self.random.uniform(math.log(least), math.log(most)))
        return size if self.random.integers(2) else -size

    def _free_place(self, reach: float, *, calm: bool) -> tuple[float, float] | None:
        height, width = self.codes.shape[:2]
        frame = reach + 12
        if min(height, width) <= 2 * frame:
            return None
        for _ in range(200):
            x = float(self.random.uniform(frame, width - frame))
            y = float(self.random.uniform(frame, height - frame))
            if calm and self.texture[round(y), round(x)] > 0.75:
                continue
            spot = np.array([[x, y]])
            if self._is_free(spot):
                self._take(spot, self.px_per_mm * APART_MM + reach)
                return x, y
        return None

    def _path(self, length: float, bend: float) -> Floats | None:
        height, width = self.codes.shape[:2]
        steps = max(8, round(length / 6))
        turn = self.random.uniform(0, 2 * math.pi) + bend * np.linspace(0, length, steps)
        moves = np.stack([np.cos(turn), np.sin(turn)], axis=1) * length / steps
        shape = np.concatenate([[[0, 0]], np.cumsum(moves, axis=0)])
        low, high = shape.min(axis=0), shape.max(axis=0)
        room = np.array([width, height]) - (high - low) - 40
        if room.min() <= 0:
            return None
        return np.asarray(shape - low + 20 + self.random.uniform(0, 1, 2) * room)

    def _is_free(self, path: Floats) -> bool:
        cells = (path // 8).astype(int)
        return not self._taken[cells[:, 1], cells[:, 0]].any()

    def _take(self, path: Floats, reach: float) -> None:
        v, u = np.mgrid[: self._taken.shape[0], : self._taken.shape[1]]
        for x, y in path:
            self._taken |= np.hypot(u * 8 + 4 - x, v * 8 + 4 - y) < reach

    def _box(self, x: float, y: float, reach: int) -> tuple[slice, slice]:
        height, width = self.codes.shape[:2]
        return (
            slice(max(0, round(y) - reach), min(height, round(y) + reach + 1)),
            slice(max(0, round(x) - reach), min(width, round(x) + reach + 1)),
        )

    def _change(
        self,
        rows: slice,
        columns: slice,
        change: Floats,
        *,
        along: Floats | None = None,
        typical: bool = False,
    ) -> float:
        """Change the L* of a patch; return the contrast that is really there afterwards."""
        patch = self.codes[rows, columns]
        before = rgb2lab(patch)
        after = before.copy()
        after[..., 0] = np.clip(before[..., 0] + change, 0, 100)
        changed = np.rint(lab2rgb(after) * 255).astype(np.uint8)
        touched = np.abs(change) > 1e-6
        self.codes[rows, columns][touched] = changed[touched]
        difference = rgb2lab(self.codes[rows, columns])[..., 0] - before[..., 0]
        if along is not None:
            x, y = (np.rint(along).astype(int) - [columns.start, rows.start]).T
            near = [
                difference[max(0, v - 1) : v + 2, max(0, u - 1) : u + 2].ravel()
                for u, v in zip(x, y, strict=True)
            ]
            return float(np.median([part[np.abs(part).argmax()] for part in near]))
        if typical:
            axis = 1 if rows.stop - rows.start > columns.stop - columns.start else 0
            strongest = np.take_along_axis(
                difference, np.abs(difference).argmax(axis=axis, keepdims=True), axis=axis
            )
            return float(np.median(strongest))
        return float(difference.ravel()[np.abs(difference).argmax()])


def speck_mask(distance: Floats, radius: float, form: str) -> Floats:
    """Return how much of a speck's contrast is at each distance from its middle."""
    if form == "hard":
        return np.clip(radius + 0.5 - distance, 0, min(1.0, 2 * radius))
    if form == "soft":
        # As dust on a sensor: a disc out of focus, whose rim falls off over half of its width.
        across = np.clip(distance / radius - 0.5, 0, 1)
        return np.asarray((1 + np.cos(np.pi * across)) / 2 * min(1.0, 2 * radius))
    rim = np.clip(radius + 0.5 - distance, 0, min(1.0, 2 * radius))
    return np.asarray(rim * (0.55 + 0.45 * np.clip(distance / radius, 0, 1) ** 2))


def _to_segment(points: Floats, one: Floats, other: Floats) -> Floats:
    way = other - one
    share = np.clip(((points - one) @ way) / max(float(way @ way), 1e-9), 0, 1)
    return np.asarray(np.hypot(*(points - one - share[:, None] * way).T))


def planted_picture(codes: Codes, ppi: int, seed: int) -> tuple[Codes, list[Planted]]:
    """Return a picture with up to 60 specks, 7 hairs, 4 scratches and perhaps a streak."""
    planter = Planter(codes, ppi, seed)
    if planter.random.integers(2):
        planter.streak()
    planter.scratches(4)
    planter.hairs(7)
    planter.specks(60)
    return planter.codes, planter.planted


def of_kind(planted: list[Planted], *kinds: str) -> Iterator[Planted]:
    """Yield the defects of some kinds."""
    return (defect for defect in planted if defect.kind in kinds)
