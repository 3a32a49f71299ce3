"""Simulated photographs of a glossy print with a wedge, each drawn from a seed.

The print is that of ``print_and_scan``. The light on it falls off; a hand may throw a soft shadow
(it multiplies the light); lamps and windows may be mirrored in the gloss (their light is added).
Then the camera looks at it at a slight angle, blurs, adds noise, encodes and compresses.
"""

import io
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from proofs.plan.tones.wedge import wedge_size
from tests.inspection.print_and_scan import (
    LARGE,
    PAPER,
    SMALL,
    Picture,
    Scan,
    blurred,
    lamp,
    linear,
    scanned,
    sheet,
    srgb,
)

LEFT_IN, TOP_IN = 1.6, 2.4  # of the wedge on the sheet of ``print_and_scan``
_WHITE_AT_MOST = 0.97  # of full scale: a photographer exposes so that the paper is not burnt out


@dataclass(frozen=True, slots=True)
class Spot:
    """A mirrored light: its strength as a share of white, its middle and spreads in inches."""

    strength: float
    across_in: float
    down_in: float
    wide_in: float
    high_in: float


@dataclass(frozen=True, slots=True)
class Shadow:
    """A hand's shadow: the light it takes, a point on its edge, its way, and the edge's width."""

    depth: float
    across_in: float
    down_in: float
    way: float
    soft_in: float


@dataclass(frozen=True, slots=True)
class Photograph:
    """How a print is photographed. ``tilt`` is by how much two sides of it converge."""

    print: Scan
    spots: tuple[Spot, ...] = ()
    shadows: tuple[Shadow, ...] = ()
    tilt: tuple[float, float] = (0.0, 0.0)
    gamma: float | None = None
    quality: int = 92


def drawn(seed: int) -> Photograph:
    """Return the photograph of this seed: about two in three have a reflection."""
    random = np.random.default_rng(seed)
    taken = Scan(
        width=LARGE if random.random() < 0.7 else SMALL,
        offset=round(random.uniform(-0.10, 0.20), 2),
        turn=random.uniform(-6, 6),
        ppi=int(random.integers(160, 240)),
        noise=random.uniform(0.3, 2.5),
        gradient=random.uniform(0, 0.35),
        gradient_way=random.uniform(0, 360),
        blur=random.uniform(0, 0.9),
        veil=random.uniform(0, 0.02),
        exposure=random.uniform(0.75, 0.95),
        seed=seed,
    )
    spots = tuple(_spot(random, taken) for _ in range(random.choice([0, 1, 1, 1, 2, 3])))
    shadows = tuple(_shadow(random, taken) for _ in range(random.choice([0, 0, 1])))
    return Photograph(
        taken,
        spots,
        shadows,
        tilt=(random.uniform(-0.08, 0.08), random.uniform(-0.08, 0.08)),
        gamma=(None, 2.2)[int(random.integers(2))],
        quality=int(random.integers(80, 97)),
    )


def _place(random: np.random.Generator, taken: Scan) -> tuple[float, float]:
    """A place on the wedge or up to half an inch from it, in inches on the sheet."""
    size = wedge_size(taken.width)
    across = LEFT_IN + random.uniform(-0.3, size.width.inches + 0.3)
    return across, TOP_IN + random.uniform(-0.5, size.height.inches + 0.5)


def _spot(random: np.random.Generator, taken: Scan) -> Spot:
    across, down = _place(random, taken)
    wide = math.exp(random.uniform(math.log(0.12), math.log(1.5)))
    high = wide * math.exp(random.uniform(-0.7, 0.7))
    return Spot(math.exp(random.uniform(math.log(0.01), math.log(0.2))), across, down, wide, high)


def _shadow(random: np.random.Generator, taken: Scan) -> Shadow:
    across, down = _place(random, taken)
    depth, way = random.uniform(0.1, 0.6), random.uniform(0, 2 * math.pi)
    return Shadow(depth, across, down, way, random.uniform(0.1, 0.6))


def photographed(photograph: Photograph) -> NDArray[np.float32]:
    """Return the linear light that a program reads from this photograph."""
    taken = photograph.print
    paper = Image.fromarray((sheet(taken) / PAPER).astype(np.float32))
    paper = paper.resize((paper.width // 2, paper.height // 2), Image.Resampling.BOX)
    light = np.asarray(paper, dtype=np.float64)
    for shadow in photograph.shadows:
        light *= _shade(light.shape, shadow, taken.ppi)
    light *= lamp(light.shape, taken)
    light += taken.veil
    for spot in photograph.spots:
        light += _bell(light.shape, spot, taken.ppi)
    seen = np.asarray(_tilted(_turned(light, taken), photograph.tilt), dtype=np.float64)
    seen = blurred(seen, taken.blur).astype(np.float64) if taken.blur > 0.2 else seen
    scale = min(taken.exposure, _WHITE_AT_MOST / float(np.percentile(seen[::4, ::4], 99.9)))
    return _encoded(np.clip(seen * scale, 0, 1), photograph)


def lamp_over_the_middle(strength: float, scan: Scan) -> Spot:
    """Return a spot over L* 50 of a large wedge, spreading by 80 pixels of a scan at 150 ppi."""
    wide = 80 / 150
    return Spot(strength, LEFT_IN + scan.width.inches / 2, TOP_IN + 0.32, wide, wide)


def codes_with_spot(scan: Scan, spot: Spot) -> NDArray[np.uint8]:
    """Return the 8-bit sRGB grey of a scan with a reflection on it, as a share of full scale."""
    codes = scanned(sheet(scan), scan)
    light = linear(codes) + _bell(codes.shape, spot, scan.ppi)
    return np.rint(srgb(np.clip(light, 0, 1)) * 255).astype(np.uint8)


def _bell(shape: tuple[int, ...], spot: Spot, ppi: int) -> Picture:
    across = (np.arange(shape[1]) / ppi - spot.across_in) / spot.wide_in
    down = (np.arange(shape[0]) / ppi - spot.down_in) / spot.high_in
    bell = np.outer(np.exp(-(down**2) / 2), np.exp(-(across**2) / 2))
    return np.asarray(spot.strength * bell)


def _shade(shape: tuple[int, ...], shadow: Shadow, ppi: int) -> Picture:
    across = (np.arange(shape[1]) / ppi - shadow.across_in) * math.cos(shadow.way)
    down = (np.arange(shape[0]) / ppi - shadow.down_in) * math.sin(shadow.way)
    inside = (across[None, :] + down[:, None]) / shadow.soft_in
    return np.asarray(1 - shadow.depth / (1 + np.exp(np.clip(-6 * inside, -60, 60))))


def _turned(light: Picture, taken: Scan) -> Image.Image:
    made = Image.fromarray(light.astype(np.float32))
    return made.rotate(-taken.turn, Image.Resampling.BILINEAR, expand=True, fillcolor=0.8)


def _tilted(seen: Image.Image, tilt: tuple[float, float]) -> Image.Image:
    """The picture seen at an angle: one side of it is nearer, so that it looks larger."""
    (width, height), (across, down) = seen.size, tilt
    grown = (1 + abs(across) + abs(down)) ** -1
    shares = (grown, 0, 0, 0, grown, 0, grown * across / width, grown * down / height)
    return seen.transform(
        seen.size, Image.Transform.PERSPECTIVE, shares, Image.Resampling.BILINEAR, fillcolor=0.8
    )


def _encoded(light: Picture, photograph: Photograph) -> NDArray[np.float32]:
    """The light after noise, sRGB codes or those of a plain gamma, and JPEG."""
    gamma, taken = photograph.gamma, photograph.print
    codes = 255 * (srgb(light) if gamma is None else light ** (1 / gamma))
    codes += np.random.default_rng(taken.seed + 1).normal(0, 1, codes.shape) * taken.noise
    file = io.BytesIO()
    picture = Image.fromarray(np.clip(np.rint(codes), 0, 255).astype(np.uint8))
    picture.save(file, "JPEG", quality=photograph.quality)
    return linear(np.asarray(Image.open(file)))
