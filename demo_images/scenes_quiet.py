"""Quiet places: boats at anchor in fog, a thorn in the snow."""

import numpy as np
from light import (
    Array,
    Random,
    Shape,
    blur,
    cutout,
    develop,
    frame,
    lookup,
    mix,
    noise,
    octaves,
    ramp,
    resize,
    rgb,
    step,
    tile,
    tint,
)
from PIL import Image, ImageDraw


def _hull_shade(up: Array, along: Array) -> Array:
    """A hull is round: it darkens under its flare and towards the stern, and its planks show."""
    shade = (
        0.50 + 3.2 * np.clip(up, 0, 0.2) + 0.45 * along + 0.25 * np.exp(-(((along - 0.3) * 6) ** 2))
    )
    shade = shade - 0.10 * np.exp(-(((np.mod(up + 0.1 * along**2, 0.028) - 0.014) * 400) ** 2))
    shown: Array = np.clip(shade, 0.2, 1.6)[..., None]
    return shown


def _boat(
    light: Array, at: tuple[float, float], long: float, far: float, colour: Array, mirror: bool
) -> None:
    """Draw a small sailing boat, or its mirror image, in the fog."""
    whole, left = light, max(0, int(at[0] - 0.53 * long))
    light = whole[:, left : int(at[0] + 0.53 * long)]
    shape = (light.shape[0], light.shape[1])
    c, r = at[0] - left, at[1]
    flip = -1 if mirror else 1

    def outline(*points: tuple[float, float]) -> list[tuple[float, float]]:
        return [(c + s * long, r - flip * t * long) for s, t in points]

    t = np.linspace(0, 1, 24)
    sheer = [(float(-0.5 + s), float(0.125 + 0.10 * (s - 0.62) ** 2 + 0.035 * s)) for s in t]
    stem = [(float(0.5 - 0.115 * u**1.6), float(0.175 - 0.185 * u)) for u in t]
    hull = outline(*sheer, *stem, (-0.445, -0.01), (-0.47, 0.02), (-0.492, 0.08))
    belly = outline((-0.5, 0.012), (0.5, 0.012), (0.5, -0.02), (-0.5, -0.02))
    rail = outline(*sheer, *[(s, h - 0.018) for s, h in reversed(sheer)])
    cabin = outline((-0.18, 0.12), (-0.17, 0.20), (0.10, 0.195), (0.17, 0.13))
    glass = outline((-0.13, 0.155), (-0.13, 0.18), (0.06, 0.178), (0.08, 0.155))
    mast = outline((0.10, 0.1), (0.099, 1.22), (0.106, 1.22), (0.116, 0.1))
    boom = outline((0.10, 0.27), (-0.40, 0.29), (-0.40, 0.335), (-0.2, 0.35), (0.10, 0.30))
    stays = [
        outline((a, b), (0.1, 1.20), (0.1, 1.195), (a + 0.004, b))
        for a, b in ((0.49, 0.17), (-0.49, 0.14), (0.02, 0.13), (0.18, 0.14))
    ]
    fog = tint(196, 202, 206) * 0.72
    veil = 1 - np.exp(-far)
    rows, columns = frame(shape)
    up, along = (r - rows) * flip / long, (columns - c) / long
    shade = _hull_shade(up, along)
    strength = 0.62 if mirror else 1.0
    for part, paint, share in (
        ([boom], tint(70, 76, 84), 1.0),
        ([mast], tint(96, 84, 70), 1.0),
        (stays, tint(60, 62, 64), 0.55),
        ([cabin], tint(206, 202, 190), 1.0),
        ([glass], tint(40, 48, 52), 1.0),
        ([hull], colour, 1.0),
        ([], tint(120, 62, 52), 0.8),
        ([rail], tint(186, 168, 140), 1.0),
    ):
        cover = cutout(shape, part or [hull]) * share * strength
        if not part:  # the painted band at the water-line is the lowest strip of the hull
            cover = cover * cutout(shape, [belly])
        light[:] = mix(light, mix(paint * 0.6 * shade, fog, veil), cover)


def boats(rng: Random, shape: Shape) -> Array:
    """Boats at anchor in morning fog; drawn twice as large and then reduced."""
    h, w = shape[0] * 2, shape[1] * 2
    rows, columns = frame((h, w))
    shore = h * 0.50
    away = np.hypot((rows - 0.22 * h), (columns - 0.70 * w)) / h
    light = ramp(
        rows / h + 0 * columns,
        [
            (0, tint(178, 188, 198)),
            (0.45, tint(206, 208, 206)),
            (0.55, tint(202, 205, 204)),
            (1, tint(128, 142, 152)),
        ],
    )
    light = light * 0.72 + tint(255, 236, 200) * (0.30 * np.exp(-away * 2.6))[..., None]
    light = light + tint(255, 240, 210) * (0.5 * step(0.036, 0.026, away))[..., None]
    hills = shore - h * 0.085 * (1 + 0.8 * octaves(rng, (1, w), (1, w / 3), 6, 0.45)[0])
    hills = hills + h * 0.12 * step(0.25, 0.75, columns[0] / w)
    slope = np.clip((rows - hills[None]) / 3, 0, 1) * step(shore + 2, shore - 0.09 * h, rows)
    light = mix(light, tint(150, 160, 166) * 0.72, 0.55 * slope * (rows < shore))
    fleet = [
        ((0.80, 0.535), 0.115, 1.5, tint(90, 96, 104)),
        ((0.13, 0.565), 0.15, 0.95, tint(150, 70, 56)),
        ((0.45, 0.675), 0.33, 0.34, tint(28, 58, 84)),
    ]
    water = light.copy()
    low = np.clip(2 * shore - rows, 0, h - 1).astype(np.int64)
    water = mix(light, light[low[:, 0]], 0.5 * (rows > shore) + 0 * columns)
    for (c, r), long, far, colour in fleet:
        _boat(water, (c * w, r * h), long * w, far, colour, True)
    depth = np.clip((rows - shore) / (h - shore), 0, 1)
    swell = noise(rng, (h, w), (14, 260)) + 0.5 * noise(rng, (h, w), (6, 90))
    shift = swell * (3 + 26 * depth) * depth
    r = np.clip(rows + shift * 0.8, 0, h - 1).astype(np.int64)
    c = np.clip(columns + shift * 1.1, 0, w - 1).astype(np.int64)
    water = blur(water, 2.5, 1.0)[r, c] * (1 + 0.05 * swell * depth)[..., None]
    light = mix(light, water, step(shore - 2, shore + 26, rows) + 0 * columns)
    for (c2, r2), long, far, colour in fleet:
        _boat(light, (c2 * w, r2 * h), long * w, far, colour, False)
    drift = octaves(rng, (h, w), (h / 9, w / 4), 4) * np.exp(-(((rows - shore) / (0.16 * h)) ** 2))
    light = mix(
        light,
        tint(208, 210, 210) * 0.72,
        np.clip(0.25 + 0.3 * drift, 0, 0.7) * np.exp(-(((rows - shore) / (0.10 * h)) ** 2)),
    )
    small = resize(light, shape, how=Image.Resampling.BOX)
    return develop(small, rng, exposure=0.92, glow=0.1, contrast=0.6, corners=0.4, grain=0.009)


def _grow(
    rng: Random,
    pen: ImageDraw.ImageDraw,
    at: tuple[float, float],
    angle: float,
    long: float,
    wide: float,
) -> None:
    """Grow one branch in small crooked steps and let it fork."""
    c, r = at
    parts = 5
    for k in range(parts):
        angle += rng.normal(0, 0.11) + 0.035 * np.cos(angle)  # shoots turn towards the light
        end = (c + np.cos(angle) * long / parts, r - np.sin(angle) * long / parts)
        thick = wide * (1 - 0.34 * k / parts)
        pen.line([(c, r), end], fill=255, width=max(1, round(thick)))
        if thick > 4:
            pen.ellipse(
                [end[0] - thick / 2, end[1] - thick / 2, end[0] + thick / 2, end[1] + thick / 2],
                fill=255,
            )
        (c, r) = end
        if k >= 1 and wide > 2.2 and rng.random() < 0.42:
            side = rng.choice((-1, 1)) * rng.uniform(0.5, 1.1)
            _grow(rng, pen, end, angle + side, long * rng.uniform(0.45, 0.75), thick * 0.5)
    if wide < 1.3:
        return
    spread = rng.uniform(0.25, 0.5)
    for turn in (spread, -spread * rng.uniform(0.6, 1.2)):
        _grow(rng, pen, (c, r), angle + turn, long * rng.uniform(0.68, 0.86), wide * 0.64)


def _thorn_shape(rng: Random, shape: Shape, foot: tuple[float, float]) -> Array:
    """Coverage of the whole tree: a short bole that flares at the ground, and three limbs."""
    h, w = shape
    sheet = Image.new("L", (w * 2, h * 2))
    pen = ImageDraw.Draw(sheet)
    fork, top = (foot[0] * 2 - 0.014 * h, foot[1] * 2 - 0.13 * h), h * 0.0165
    for k in np.linspace(0, 1, 160):
        c, half = foot[0] * 2 + (fork[0] - foot[0] * 2) * k**1.4, top * (1 + 0.9 * (1 - k) ** 5)
        half += 0.04 * top * np.sin(k * 17)
        y = foot[1] * 2 + top - (0.13 * h + top) * k
        pen.ellipse([c - half, y - half * 0.7, c + half, y + half * 0.7], fill=255)
    for turn, share in ((0.10, 1.0), (0.62, 0.72), (-0.50, 0.8)):
        _grow(rng, pen, fork, np.pi / 2 + turn, h * 0.205 * share**0.5, h * 0.030 * share)
    return np.asarray(sheet.reduce(2), np.float32) / 255


def thorn(rng: Random, shape: Shape) -> Array:
    """A lone thorn on a snowfield, the low sun veiled behind it."""
    h, w = shape
    rows, columns = frame(shape)
    field = h * 0.74 - h * 0.022 * np.sin(columns / w * 3.4 + 0.4)
    away = np.hypot((rows - 0.50 * h), columns - 0.34 * w) / h
    light = ramp(
        rows / h + 0 * columns,
        [
            (0, tint(120, 142, 170)),
            (0.42, tint(186, 192, 204)),
            (0.72, tint(236, 212, 198)),
            (1, tint(230, 210, 200)),
        ],
    )
    light = light * (0.78 + 0.03 * octaves(rng, shape, (h / 9, w / 2), 6))[..., None]
    light = light + tint(255, 214, 160) * (0.6 * np.exp(-away * 4.5))[..., None]
    light = light + tint(255, 242, 214) * (0.9 * np.exp(-((away / 0.022) ** 2)))[..., None]
    wood = field - h * (0.016 + 0.010 * octaves(rng, (1, w), (1, w / 9), 8, 0.7))
    dim = np.clip((rows - wood) / 5, 0, 1)
    light = mix(light, tint(184, 182, 194) * 0.85, 0.55 * dim)
    depth = np.clip((rows - field) / (h - field), 0, 1)
    drift = 1 / (depth + 0.06)
    texture = tile(rng, 1024, 1.9)
    relief = lookup(texture, drift * 30, (columns / w - 0.34) * drift * 55)
    fine = octaves(rng, shape, (h / 160, w / 22), 4, 0.6)
    snow = mix(
        tint(150, 170, 206) * 0.80,
        tint(255, 226, 200) * 0.98,
        np.clip(0.50 + 0.17 * relief + 0.10 * fine * depth - 0.22 * depth, 0, 1),
    )
    snow = snow + tint(255, 220, 180) * (0.35 * np.exp(-away * 3.2))[..., None]
    light = mix(light, snow, np.clip((rows - field) / 8, 0, 1))
    foot = (0.565 * w, 0.765 * h)
    tree = _thorn_shape(rng, shape, foot)
    # Against the light the tree throws its shadow towards us, longer and softer with distance.
    back = np.clip(foot[1] - (rows - foot[1]) * 2.6, 0, h - 1).astype(np.int64)
    lean = np.clip(columns - (rows - foot[1]) * 0.62, 0, w - 1).astype(np.int64)
    cast = tree[np.broadcast_to(back, shape), lean] * (rows > foot[1])
    shade = mix(blur(cast, 3), blur(cast, h / 130), step(foot[1], foot[1] + 0.16 * h, rows))
    light = mix(light, light * rgb(0.52, 0.62, 0.80), np.clip(shade * 0.85, 0, 1))
    bark = mix(tint(44, 38, 42), tint(214, 176, 150), 0.02 + 0.30 * np.exp(-away * 8))
    bare, light = light, mix(light, bark, tree * 0.96)
    mound = step(foot[1] - 0.004 * h, foot[1] + 0.004 * h, rows + 5 * fine)
    light = mix(light, bare, mound * tree)
    return develop(light, rng, exposure=1.0, glow=0.12, contrast=0.55, corners=0.3, grain=0.011)
