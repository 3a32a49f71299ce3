"""Light and texture: the tools for every demo scene.

Scenes work in linear light, where mist, reflections and lamps simply add up as they do in
front of a lens.  Only `develop` maps the result to the tones of a print.
"""

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

Array = npt.NDArray[np.floating[Any]]
Random = np.random.Generator
Shape = tuple[int, int]
Colour = tuple[float, float, float]


def rgb(red: float, green: float, blue: float) -> Array:
    """Three numbers, in single precision: double would only make whole pictures slower."""
    return np.array((red, green, blue), np.float32)


def tint(red: float, green: float, blue: float) -> Array:
    """Turn a colour as seen on a screen (0 to 255) into linear light."""
    return rgb((red / 255) ** 2.2, (green / 255) ** 2.2, (blue / 255) ** 2.2)


def step(low: float, high: float, value: Array) -> Array:
    """Rise smoothly from 0 at `low` to 1 at `high` (which may be the smaller one)."""
    t: Array = np.clip((value - low) / (high - low), 0, 1)
    return t * t * (3 - 2 * t)


def mix(first: Array, second: Array, share: Array | float) -> Array:
    """Blend two colours or pictures; a `share` without channels is spread over all three."""
    if isinstance(share, np.ndarray) and (
        share.ndim == 1 or (share.ndim == 2 and 2 not in (first.ndim, second.ndim))
    ):
        share = share[..., None]
    return first + (second - first) * share


def ramp(position: Array, stops: Sequence[tuple[float, Array]]) -> Array:
    """Colour gradient through `stops` of (position, linear colour)."""
    places = [place for place, _ in stops]
    channels = [np.interp(position, places, [float(c[k]) for _, c in stops]) for k in range(3)]
    return np.stack(channels, axis=-1).astype(np.float32)


def frame(shape: Shape) -> tuple[Array, Array]:
    """Rows and columns as a column and a row that numpy broadcasts when needed."""
    rows = np.arange(shape[0], dtype=np.float32)[:, None]
    return rows, np.arange(shape[1], dtype=np.float32)[None, :]


def resize(
    field: Array,
    shape: Shape,
    box: tuple[float, float, float, float] | None = None,
    how: Image.Resampling = Image.Resampling.BICUBIC,
) -> Array:
    """Resample a field or a colour picture to `shape`, staying in floating point."""
    if field.ndim == 3:
        return np.stack([resize(field[..., k], shape, box, how) for k in range(3)], axis=-1)
    image = Image.fromarray(np.ascontiguousarray(field, dtype=np.float32))
    return np.asarray(image.resize((shape[1], shape[0]), how, box=box), dtype=np.float32)


def noise(rng: Random, shape: Shape, cell: tuple[float, float]) -> Array:
    """Smooth noise whose blobs are about `cell` (rows, columns) pixels across."""
    down, across = shape[0] / cell[0], shape[1] / cell[1]
    grid = rng.standard_normal((math.ceil(down) + 4, math.ceil(across) + 4), dtype=np.float32)
    return resize(grid, shape, box=(1.5, 1.5, 1.5 + across, 1.5 + down))


def octaves(
    rng: Random, shape: Shape, cell: tuple[float, float], count: int = 6, gain: float = 0.5
) -> Array:
    """Layers of noise, each half the size and `gain` times the strength of the one before."""
    total = np.zeros(shape, np.float32)
    for k in range(count):
        size = (max(cell[0] / 2**k, 1.5), max(cell[1] / 2**k, 1.5))
        total += gain**k * noise(rng, shape, size)
    return total / math.sqrt(sum(gain ** (2 * k) for k in range(count)))


def tile(rng: Random, size: int = 1024, fall: float = 1.8, smallest: float = 0.0) -> Array:
    """Endless cloud-like texture: white noise whose fine detail is damped in the spectrum.

    `smallest` (pixels) leaves out finer detail, for textures that are seen from afar.
    """
    along = np.fft.fftfreq(size)
    radius = np.hypot(along[:, None], along[None, :])
    radius[0, 0] = 1
    weight = radius**-fall * np.exp(-((radius * smallest) ** 2))
    weight[0, 0] = 0
    made = np.fft.ifft2(np.fft.fft2(rng.standard_normal((size, size))) * weight).real
    texture: Array = (made / made.std()).astype(np.float32)
    return texture


def lookup(texture: Array, rows: Array, columns: Array) -> Array:
    """Sample an endless texture (its side a power of two) between its pixels."""
    size = texture.shape[0]
    rows, columns = np.broadcast_arrays(rows, columns)
    top, left = np.floor(rows), np.floor(columns)
    down, across = (rows - top).astype(np.float32), (columns - left).astype(np.float32)
    r0, c0 = top.astype(np.int64) & (size - 1), left.astype(np.int64) & (size - 1)
    r1, c1 = (r0 + 1) & (size - 1), (c0 + 1) & (size - 1)
    flat = texture.ravel()
    upper = flat[r0 * size + c0] * (1 - across) + flat[r0 * size + c1] * across
    lower = flat[r1 * size + c0] * (1 - across) + flat[r1 * size + c1] * across
    result: Array = upper * (1 - down) + lower * down
    return result


def _convolve(field: Array, kernel: Array, axis: int) -> Array:
    reach = len(kernel) // 2
    pad = [(0, 0)] * field.ndim
    pad[axis] = (reach, reach)
    padded, total = np.pad(field, pad, mode="edge"), np.zeros_like(field)
    for k, weight in enumerate(kernel):
        part = [slice(None)] * field.ndim
        part[axis] = slice(k, k + field.shape[axis])
        total += weight * padded[tuple(part)]
    return total


def blur(field: Array, down: float, across: float | None = None) -> Array:
    """Gaussian blur; wide blurs use a reduced copy, with no visible difference."""
    across = down if across is None else across
    size = field.shape[:2]
    cut = (max(1, int(down / 2)), max(1, int(across / 2)))
    small = (max(2, round(size[0] / cut[0])), max(2, round(size[1] / cut[1])))
    work = resize(field, small, how=Image.Resampling.BOX) if cut != (1, 1) else field
    for axis, sigma in enumerate((down / cut[0], across / cut[1])):
        if sigma > 0.2:
            at = np.arange(-math.ceil(3 * sigma), math.ceil(3 * sigma) + 1)
            kernel = np.exp(-0.5 * (at / sigma) ** 2).astype(np.float32)
            work = _convolve(work, kernel / kernel.sum(), axis)
    return resize(work, (size[0], size[1])) if cut != (1, 1) else work


def cutout(shape: Shape, outlines: Sequence[Sequence[tuple[float, float]]]) -> Array:
    """Coverage (0 to 1) of polygons given as (column, row) points, antialiased."""
    over = 3
    columns = [c for outline in outlines for c, _ in outline]
    left, right = max(0, int(min(columns)) - 1), min(shape[1], int(max(columns)) + 3)
    cover = np.zeros(shape, np.float32)
    if right <= left:
        return cover
    sheet = Image.new("L", ((right - left) * over, shape[0] * over))
    pen = ImageDraw.Draw(sheet)
    for outline in outlines:
        pen.polygon([((c - left) * over, r * over) for c, r in outline], fill=255)
    cover[:, left:right] = np.asarray(sheet.reduce(over), np.float32) / 255
    return cover


def vignette(shape: Shape, strength: float) -> Array:
    """Gentle fall-off of a lens towards the corners."""
    rows, columns = frame(shape)
    across = (columns / shape[1] - 0.5) ** 2 + (rows / shape[0] - 0.5) ** 2
    return 1 - strength * np.clip(across * 2, 0, 1)


def develop(
    light: Array,
    rng: Random,
    *,
    exposure: float = 1.0,
    glow: float = 0.08,
    contrast: float = 0.25,
    corners: float = 0.3,
    grain: float = 0.012,
) -> Array:
    """Make a print of linear light: halation, shoulder, contrast, corners, grain; 0 to 1."""
    shape = (light.shape[0], light.shape[1])
    spread = blur(np.minimum(light, 4), max(shape) / 90)
    light = (light * (1 - glow) + spread * glow) * exposure
    light = light * vignette(shape, corners).reshape(*shape, *[1] * (light.ndim - 2))
    tone = np.clip(1 - np.exp(-np.maximum(light, 0) * 1.25), 0, 1) ** (1 / 2.2)
    tone = mix(tone, tone * tone * (3 - 2 * tone), contrast)
    speck = blur(rng.standard_normal(shape, dtype=np.float32), 0.8) * 2.2 * grain
    # Film grain shows most in the middle tones, hardly at all in clear white.
    middle = tone.mean(axis=-1) if tone.ndim == 3 else tone
    speck = speck * (0.35 + 2.2 * middle * (1 - middle))
    return np.clip(tone + (speck[..., None] if tone.ndim == 3 else speck), 0, 1)
