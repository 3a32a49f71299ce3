"""Close at hand: birches in mist, and old paint."""

import numpy as np
from light import (
    Array,
    Random,
    Shape,
    blur,
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


def _trunk(
    rng: Random, light: Array, foot: tuple[float, float], wide: float, far: float, air: Array
) -> None:
    """Paint one birch from its foot to beyond the upper edge; `far` runs from 0 to 1."""
    h, w = light.shape[:2]
    rows, columns = frame((h, w))
    up = (foot[1] - rows) / h
    bend = rng.normal(0, 0.020) * up + rng.normal(0, 0.010) * np.sin(up * 4 + rng.uniform(0, 6))
    left = max(0, int(foot[0] + bend.min() * h - wide * 0.9 - 2))
    right = min(w, int(foot[0] + bend.max() * h + wide * 0.9 + 3))
    if right - left < 4:
        return
    columns = columns[:, left:right]
    root = np.exp(-np.clip(up, 0, None) * 30) * 0.20
    knots = 0.03 * noise(rng, (h, 1), (wide * 1.3, 1))
    half = wide * 0.5 * (1 - 0.32 * np.clip(up, 0, 1.3) + root + knots)
    across = (columns - foot[0] - bend * h) / half
    soft = 0.6 + 9 * max(0, far - 0.45) ** 2
    tuft = 0.0022 * octaves(rng, (1, right - left), (1, wide * 0.3), 5, 0.7)
    cover = np.clip((1 - np.abs(across)) * half / soft + 0.5, 0, 1)
    cover = cover * step(-0.006, 0.003, up + tuft)
    size = (h, right - left)
    round_ = 0.16 + 0.84 * np.clip(0.62 + 0.55 * across - 0.25 * across**2, 0, 1) ** 1.4
    # Bark: dark lenticels lie across the trunk, old scars tear it open near the foot.
    marks = noise(rng, size, (wide * 0.045, wide * 0.30)) + 0.8 * noise(
        rng, size, (wide * 0.11, wide * 0.5)
    )
    scars = octaves(rng, size, (wide * 0.85, wide * 0.45), 5, 0.6)
    dark = 0.85 * step(1.10, 1.7, marks) + step(
        1.25 - 0.9 * np.exp(-np.clip(up, 0, 9) * 6), 2.0, scars
    )
    bark = mix(tint(226, 218, 206), tint(38, 34, 32), np.clip(dark, 0, 0.94))
    bark = bark * (1 + 0.08 * octaves(rng, size, (wide * 0.6, wide * 0.2), 4))[..., None]
    bark = bark * round_[..., None] * rgb(0.34, 0.34, 0.37) * (0.75 + 0.5 * far)
    rim = step(0.62, 1.0, across) * 0.42 * (1 - far)
    bark = bark * (0.35 + 0.65 * step(0, 0.07, up))[..., None] + (
        rim[..., None] * tint(255, 226, 170)
    )
    part = light[:, left:right]
    fog = np.clip(far**0.62 * 0.97 + 0.12 * np.exp(-((up / 0.12) ** 2)), 0, 0.985)
    part[:] = mix(part, mix(bark, air[:, left:right], fog), cover)


def _leaves(rng: Random, shape: Shape, size: float, count: int, band: tuple[float, float]) -> Array:
    """Coverage of loose leaves and twigs, thicker towards the middle of their band of height."""
    sheet = Image.new("L", (shape[1], shape[0]))
    pen = ImageDraw.Draw(sheet)
    groves = rng.uniform(0, 1, (14, 2)) * (shape[1], 1)
    for _ in range(count):
        grove = groves[rng.integers(len(groves))]
        c = grove[0] + rng.normal(0, shape[1] * 0.09)
        r = shape[0] * (band[0] + (band[1] - band[0]) * (grove[1] + rng.normal(0, 0.2)))
        a, b, turn = size * rng.uniform(0.4, 1), size * rng.uniform(0.2, 0.6), rng.uniform(0, 3.1)
        ring = np.linspace(0, 2 * np.pi, 9)[:-1]
        x, y = a * np.cos(ring), b * np.sin(ring)
        pen.polygon(
            [
                (
                    float(c + p * np.cos(turn) - q * np.sin(turn)),
                    float(r + p * np.sin(turn) + q * np.cos(turn)),
                )
                for p, q in zip(x, y, strict=True)
            ],
            fill=int(rng.integers(120, 255)),
        )
    return np.asarray(sheet, np.float32) / 255


def _forest_floor(rng: Random, light: Array, top: float, air: Array) -> Array:
    """Moss, fallen leaves and grasses, fading into the mist with distance."""
    h, w = light.shape[:2]
    rows, columns = frame((h, w))
    near = np.clip((rows - top) / (h - top), 0.004, 1)
    depth = 1 / near
    side = (columns - w / 2) / w * depth
    texture = tile(rng, 1024, 1.0)
    rough = lookup(texture, depth * 150, side * 210) * step(0.02, 0.2, near) + 0.7 * lookup(
        tile(rng, 1024, 1.6), depth * 60, side * 110
    )
    moss = ramp(
        np.clip(0.40 + 0.17 * rough, 0, 1),
        [
            (0, tint(30, 26, 18)),
            (0.4, tint(74, 66, 36)),
            (0.62, tint(120, 96, 46)),
            (0.85, tint(176, 124, 56)),
            (1, tint(214, 160, 84)),
        ],
    )
    pool = 0.30 + 0.60 * np.exp(-(((columns / w) - 0.60) ** 2) * 7) * (1 - 0.45 * near)
    fog = np.clip(1.04 - near * 2.1, 0, 1) ** 1.1
    body = mix(moss * pool[..., None], air, fog)
    edge = top + 0.010 * h * octaves(rng, (1, w), (1, w / 5), 6, 0.6)
    return mix(light, body, np.clip((rows - edge) / (0.02 * h), 0, 1))


def birches(rng: Random, shape: Shape) -> Array:
    """Birch trunks, one behind the other, in mist with the sun behind it."""
    # Mist hides fine detail, so two thirds of the pixels carry all of it.
    final, shape = shape, (shape[0] * 2 // 3, shape[1] * 2 // 3)
    h, w = shape
    rows, columns = frame(shape)
    away = np.hypot((rows - 0.40 * h) * 0.8, columns - 0.60 * w) / h
    air = ramp(
        rows / h + 0 * columns,
        [
            (0, tint(150, 158, 150)),
            (0.4, tint(206, 196, 166)),
            (0.75, tint(190, 178, 150)),
            (1, tint(150, 146, 130)),
        ],
    )
    air = air * (0.55 + 0.85 * np.exp(-away * 2.4))[..., None]
    air = air + tint(255, 216, 140) * (0.35 * np.exp(-away * 4.2))[..., None]
    air = air * (1 + 0.05 * octaves(rng, shape, (h / 5, w / 3), 4))[..., None]
    light = air.copy()
    floor = 0.70 * h
    trees = sorted(
        ((rng.uniform(0, 1) ** 0.65, rng.uniform(-0.03, 1.03)) for _ in range(58)), reverse=True
    )
    heroes = [(0.17, 0.335), (0.26, 0.72), (0.05, 0.085), (0.0, 0.93)]
    trees = [t for t in trees if t[0] > 0.34] + sorted(heroes, reverse=True)
    grown = False
    for far, place in trees:
        if far < 0.5 and not grown:
            light, grown = _forest_floor(rng, light, floor, air), True
        near = (1 - far) ** 1.9
        foot = floor + h * (0.012 + 0.30 * near)
        wide = w * (0.010 + 0.105 * (1 - far) ** 2.3) * rng.uniform(0.85, 1.15)
        _trunk(rng, light, (place * w, foot), wide, far, air)
        if 0.34 < far < 0.8 and rng.random() < 0.35:
            leaf = blur(_leaves(rng, shape, h * 0.0045 * (1.3 - far), 260, (0, 0.7)), 1 + 2 * far)
            gold = mix(tint(196, 150, 60) * 0.8, air, far**0.6)
            light = mix(light, gold, leaf * 0.7)
    soft = blur(_leaves(rng, shape, h * 0.010, 420, (-0.05, 0.22)), h * 0.0035)
    light = mix(light, tint(206, 160, 66) * 0.75 + 0.12 * air, np.clip(soft * 0.8, 0, 1))
    light = light + tint(255, 220, 150) * (0.10 * np.exp(-away * 3))[..., None]
    light = resize(light, final, how=Image.Resampling.LANCZOS)
    return develop(light, rng, exposure=0.95, glow=0.16, contrast=0.6, corners=0.45, grain=0.011)


def _drips(rng: Random, rust: Array) -> Array:
    """Let every bare patch bleed rust to the left, in runs that grow thin and die away."""
    h, w = rust.shape
    lanes = step(-0.1, 1.3, noise(rng, (h, w), (7, w / 3)) + 0.6 * noise(rng, (h, w), (22, w / 2)))
    source = rust * (0.02 + 0.98 * lanes)
    run, out = np.zeros(h, np.float32), np.empty_like(rust)
    keep = (0.9978 - 0.005 * np.abs(noise(rng, (h, 1), (5, 1))[:, 0])).astype(np.float32)
    for c in range(w - 1, -1, -1):
        run = np.maximum(run * keep, source[:, c])
        out[:, c] = run
    out = blur(out, 1.2, 4) * (0.75 + 0.22 * octaves(rng, (h, w), (12, 160), 4))
    return np.clip(out + 0.10 * blur(rust, 40), 0, 1)


def _relief_light(body: Array, height: Array) -> Array:
    """Rake light across the flakes from the upper left, with the small shadows they throw."""
    relief = blur(height, 1.3)
    slope_r, slope_c = np.gradient(relief, axis=0), np.gradient(relief, axis=1)
    facing = 1 + 0.26 * slope_r + 0.34 * slope_c
    shifted = np.pad(blur(height, 2.5), ((0, 6), (0, 8)), mode="edge")[6:, 8:]
    cast = np.clip(shifted - height, 0, 4)
    lit: Array = body * np.clip(facing, 0.15, 2.2)[..., None] * np.exp(-0.24 * cast)[..., None]
    return lit


def paint(rng: Random, shape: Shape) -> Array:
    """Three coats of old paint on iron, flaking and rusting; the rust ran to the left edge."""
    h, w = shape
    half = (h * 2 // 3, w * 2 // 3)
    form = octaves(rng, half, (half[0] / 2.6, half[0] / 3.4), 8, 0.55)
    bite = octaves(rng, half, (half[0] / 9, half[0] / 9), 7, 0.62)
    sheet = form + 0.45 * bite + 0.55 * (frame(half)[1] / half[1] - 0.5)
    levels = (-0.55, -0.18, 0.34)
    height = np.zeros(half, np.float32)
    edges = []
    for k, level in enumerate(levels):
        shift = sheet + (0.5 * octaves(rng, half, (half[0] / 4, half[0] / 4), 5) if k == 2 else 0)
        on = step(level - 0.012, level + 0.012, shift)
        edges.append(on)
        # Flakes curl: a coat stands highest just at its torn edge.
        height += on * (2.6 + 3.6 * np.exp(-np.clip(shift - level, 0, 9) * 9))
    grit = octaves(rng, half, (14, 14), 4, 0.8)
    # Where the coats still hold, age has crazed them with hair cracks.
    web = np.abs(octaves(rng, half, (half[0] / 16, half[0] / 11), 5, 0.5))
    crazed = step(0.035, 0.0, web) * step(0.1, 0.9, noise(rng, half, (half[0] / 4, half[0] / 4)))
    height -= 1.6 * crazed * edges[0]
    height += 0.55 * grit * (1 - edges[0]) + 0.22 * octaves(rng, half, (30, 30), 4, 0.6)
    rust = ramp(
        np.clip(0.5 + 0.22 * bite + 0.12 * grit, 0, 1),
        [
            (0, tint(44, 24, 18)),
            (0.45, tint(118, 58, 30)),
            (0.75, tint(176, 96, 46)),
            (1, tint(206, 142, 84)),
        ],
    )
    stain = _drips(rng, 1 - edges[0])
    fade = octaves(rng, half, (half[0] / 3, half[0] / 3), 6)[..., None]
    coats = (tint(196, 178, 140), tint(56, 112, 118), tint(222, 214, 192))
    body = rust
    for k, (colour, on) in enumerate(zip(coats, edges, strict=True)):
        chalky = colour * (0.95 + 0.17 * fade) * (1 + 0.03 * grit[..., None])
        chalky = mix(chalky, tint(150, 84, 44), stain * (0.8, 0.62, 0.72)[k])
        body = mix(body, chalky * (1 - 0.55 * crazed)[..., None], on)
    body = _relief_light(body, height)
    lamp = 1.05 - 0.35 * frame(half)[1] / half[1] + 0.12 * (0.5 - frame(half)[0] / half[0])
    light = resize(np.maximum(body * lamp[..., None], 0), shape, how=Image.Resampling.LANCZOS)
    return develop(light, rng, exposure=1.25, glow=0.05, contrast=0.4, corners=0.3, grain=0.010)
