"""By the sea: a lighthouse at dusk and an old landing stage."""

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
    rgb,
    step,
    tile,
    tint,
)
from terrain import Camera, Ground, view


def _dusk(rng: Random, shape: Shape, horizon: float, sun: float) -> Array:
    """Sky after sunset: a glow at `sun` (column), clouds lit from below, drawn to the horizon."""
    h, w = shape
    rows, columns = frame((int(horizon) + 2, w))
    up = np.maximum((horizon - rows) / h, 0) + 0 * columns
    side = (columns - sun) / w
    sky = ramp(
        up,
        [
            (0, tint(226, 148, 112)),
            (0.07, tint(214, 158, 140)),
            (0.20, tint(132, 134, 160)),
            (0.55, tint(44, 66, 108)),
        ],
    )
    ember = np.exp(-(side**2) * 5 - up * 9) + 0.8 * np.exp(-(side**2) * 40 - up * 22)
    sky = sky * (0.55 + 0.5 * np.exp(-(side**2) * 2.2))[..., None]
    sky = sky + tint(255, 150, 70) * (0.75 * ember)[..., None]
    # A flat cloud deck: near the horizon the same cloud is seen ever thinner and smaller.
    deck = 1 / (up + 0.045)
    texture = tile(rng, 1024, 1.75)
    along, across = deck * 34, side * deck * 62
    cloud = lookup(texture, along + 300, across) + 0.4 * lookup(texture, along * 2.7, across * 2.7)
    ahead = lookup(texture, along + 309, across - side * 14)
    dense = step(-0.1, 1.7, cloud + 0.35 - 0.5 * up)
    under = np.clip(0.45 + 0.5 * (cloud - ahead), 0, 1.3) * np.exp(-(side**2) * 2.6 - up * 2.4)
    body = mix(tint(72, 76, 104) * 0.8, tint(255, 142, 96) * 1.15, np.clip(under, 0, 1))
    sky = mix(sky, body, dense * 0.80 * step(0, 0.05, up))
    return sky.astype(np.float32)


def _headland(rng: Random) -> Ground:
    """A cliff-edged headland running out from the right, with skerries off its point."""
    size, cell = 1200, 0.62
    z, x = frame((size, size))
    x, z = (x - size * 0.42) * cell, z * cell + 60
    edge = octaves(rng, (size, size), (190, 190), 8, 0.58)
    reach = x + 45 + 30 * edge - 0.55 * np.maximum(0, np.abs(z - 330) - 30)
    reach = reach - 3 * np.maximum(0, z - 610)
    shelf = step(-6, 16, reach) ** 0.8
    rough = octaves(rng, (size, size), (70, 70), 7, 0.6)
    heights = shelf * (19 + 9 * step(10, 160, x) + 2.0 * rough) + 5 * (step(-40, 5, reach)) - 6
    heights += 2.6 * (1 - np.abs(rough)) * step(-46, -4, reach) * step(20, -3, reach)
    stack = np.hypot(x + 92, (z - 300) * 0.8) - 9 * (1 + 0.5 * edge)
    heights = np.maximum(heights, step(9, -9, stack) * 13 - 4 + 2.4 * rough)
    return Ground(np.maximum(heights, 0).astype(np.float32), cell, -size * 0.42 * cell, 60)


def _paint_land(rng: Random, ground: Ground, x: Array, z: Array) -> Array:
    """Grass above, banded rock below, lit by the last glow from the left and the blue overhead."""
    along_x, along_z = (ground.read(s, x, z) for s in ground.slopes())
    height = ground.read(ground.heights, x, z)
    texture = tile(rng, 1024, 1.1)
    fine = lookup(texture, height * 8 + z * 3, x * 6)
    bands = lookup(texture, height * 30 + x * 1.2, x * 3 + z * 3)
    along_x, along_z = along_x + 0.45 * fine, along_z + 0.40 * bands
    length = np.sqrt(1 + along_x**2 + along_z**2)
    warm = np.clip((along_x * 0.80 + 0.22 - along_z * -0.35) / length, 0, 1)
    # Steepness decides between rock and turf, as in nature.
    turf = step(0.62, 0.85, 1 / length + 0.06 * fine) * step(8, 15, height)
    rock = tint(96, 90, 88) * (1 + 0.22 * bands + 0.2 * fine)[..., None]
    grass = tint(78, 84, 60) * (1 + 0.18 * fine)[..., None]
    body = mix(np.maximum(rock, 0), np.maximum(grass, 0), turf)
    wet = step(3.4, 0.6, height)[..., None]
    sky = rgb(0.30, 0.40, 0.62) * (0.30 + 0.45 / length)[..., None]
    return body * (1 - 0.6 * wet) * (sky + rgb(1.0, 0.50, 0.30) * warm[..., None] ** 1.4)


def _sea(rng: Random, sky: Array, shape: Shape, horizon: float, lens: tuple[float, float]) -> Array:
    """Water below the horizon: waves in perspective, each facet mirroring its part of the sky."""
    h, w = shape
    rows, columns = frame(shape)
    below = np.maximum(rows - horizon, 0.6)[int(horizon) :]
    z = lens[0] * lens[1] / below
    x = (columns - w / 2) / lens[1] * z
    tilt = np.zeros((below.shape[0], w), np.float32)
    for length, strength in ((26.0, 0.30), (9.0, 0.32), (3.6, 0.30), (1.5, 0.22)):
        waves = tile(rng, 512, 0.9, 9.0)
        seen = step(0.6, 3.0, length * 0.25 / (z * z / (lens[0] * lens[1])))
        at = 11 / length
        crest = 0.8 - np.abs(lookup(waves, z * at + x * at * 0.2, x * at * 0.26))
        tilt += strength * seen * crest
    tilt += 0.35 * noise(rng, tilt.shape, (2.2, 50)) * step(160, 4, below)
    lift = below * (1.15 + 0.16 * tilt) + h * 0.022 * (1.2 + tilt) * step(0, 200, below)
    source = np.clip(horizon - np.clip(lift, 0, None), 0, sky.shape[0] - 1).astype(np.int64)
    soft = blur(sky, 4, 6)
    mirror = soft[source, np.broadcast_to(columns, tilt.shape).astype(np.int64)]
    steep = np.clip(below / (h - horizon), 0, 1)
    fresnel = np.clip(0.90 - 0.60 * steep**0.7 - 0.09 * tilt, 0.08, 1)
    water: Array = mirror * fresnel[..., None] + tint(20, 48, 62) * 0.55 * (1 - fresnel)[..., None]
    return water


def _tower(shape: Shape, foot: tuple[float, float], tall: float) -> tuple[Array, Array, Array]:
    """Lighthouse: its light, how much of each pixel it covers, and the glow of its lamp."""
    rows, columns = frame(shape)
    c, r = foot
    wide = tall * 0.115

    def bar(low: float, high: float, a: float, b: float) -> list[tuple[float, float]]:
        return [
            (c - a * wide, r - low * tall),
            (c + a * wide, r - low * tall),
            (c + b * wide, r - high * tall),
            (c - b * wide, r - high * tall),
        ]

    shaft = [bar(-0.05, 0.80, 1.0, 0.66)]
    dark = [
        bar(0.79, 0.815, 0.98, 0.98),
        bar(0.935, 1.0, 0.62, 0.06),
        bar(0.99, 1.05, 0.04, 0.02),
        bar(0.815, 0.85, 0.92, 0.92),
    ]
    gable = ((0.16, -0.05), (0.16, 0.13), (0.20, 0.22), (0.52, 0.22), (0.56, 0.13), (0.56, -0.05))
    house = [[(c + tall * s, r - tall * t) for s, t in gable]]
    round_ = np.clip((columns - c) / wide, -1, 1)
    shade = 0.30 + 0.70 * np.clip(0.45 - 0.75 * round_, 0, 1) + 0 * rows
    body = shade[..., None] * rgb(0.44, 0.29, 0.25) + rgb(0.05, 0.07, 0.11)
    up = (r - rows) / tall
    band = step(0.44, 0.445, up) * step(0.60, 0.595, up)
    body = mix(body, body * rgb(0.75, 0.16, 0.12), band + 0 * columns)
    parts = [cutout(shape, outline) for outline in (house, shaft, dark)]
    roof = step(0.125, 0.135, up) + 0 * columns
    light = mix(rgb(0.20, 0.17, 0.18) + 0 * body, rgb(0.045, 0.045, 0.06), roof)
    window = cutout(
        shape,
        [
            [
                (c + tall * s, r - tall * t)
                for s, t in ((0.30, 0.04), (0.34, 0.04), (0.34, 0.085), (0.30, 0.085))
            ]
        ],
    )
    light = mix(light, rgb(1.5, 0.85, 0.30), window)
    light = mix(mix(light, body, parts[1]), rgb(0.03, 0.03, 0.04), parts[2])
    cover = np.maximum(np.maximum(parts[0], parts[1]), parts[2])
    away = np.hypot(rows - (r - 0.892 * tall), columns - c) / tall
    lamp = 7.0 * np.exp(-((away / 0.035) ** 2)) + 0.32 * np.exp(-away / 0.10)
    return light, cover, lamp + 0.05 * np.exp(-away / 0.6)


def lighthouse(rng: Random, shape: Shape) -> Array:
    """Dusk over a headland, the lamp just lit."""
    h, w = shape
    horizon = h * 0.56
    rows, columns = frame(shape)
    camera = Camera(17, horizon, w * 0.95, 62, 9000)
    sky = _dusk(rng, shape, horizon, w * 0.20)
    ground = _headland(rng)
    z, _ = view(ground, camera, shape, 1100)
    x = (columns - w / 2) / camera.focal * z
    height = ground.read(ground.heights, x, z)
    land = blur(step(0.02, 0.35, height) * (z < 780), 0.6)
    top = int(horizon)
    backdrop = np.concatenate([sky[:top], np.zeros((h - top, w, 3), np.float32)])
    air = sky[top - 1][None]
    body = mix(_paint_land(rng, ground, x, z), air, 0.55 * (1 - np.exp(-z / 1500)))
    upper = mix(backdrop, body, land)
    site = (34.0, 348.0)
    base = float(ground.read(ground.heights, np.array([site[0]]), np.array([site[1]]))[0])
    scale = camera.focal / site[1]
    foot = (w / 2 + site[0] * scale, horizon - (base + 3.5 - camera.height) * scale)
    tower, cover, lamp = _tower(shape, foot, 30 * scale)
    upper = mix(upper, tower, cover * (1 - land * (z < site[1] - 2)))
    shown = upper.copy()
    shown[top:] = _sea(rng, upper[:top], shape, horizon, (camera.height, camera.focal))
    surf = ground.read(blur((ground.heights > 0.1).astype(np.float32), 5), x, z) * (z < 780)
    foam = step(0.04, 0.5, surf) * (0.45 + 0.6 * octaves(rng, shape, (10, 36), 4)).clip(0, 1)
    shown[top:] = mix(shown[top:], upper[top:], land[top:])
    shown = mix(shown, tint(190, 180, 190) * 0.8, 0.55 * foam * (1 - land) * (1 - cover))
    streak = np.exp(-(((columns - foot[0]) / (w * 0.010)) ** 2)) * step(0.95 * h, 0.7 * h, rows)
    streak = streak * octaves(rng, shape, (7, 60), 3).clip(0, 2) * (rows > horizon)
    shown += (lamp + 0.07 * streak * (1 - land))[..., None] * rgb(1.0, 0.80, 0.48)
    return develop(shown, rng, exposure=1.0, glow=0.10, contrast=0.35, corners=0.35, grain=0.012)


def _post(
    rng: Random, light: Array, at: tuple[float, float], size: tuple[float, float], far: float
) -> None:
    """Draw one wooden post with its wet foot and its fading mirror image."""
    h, w = light.shape
    (c, r), (wide, tall) = at, size
    left, right = max(0, int(c - wide * 1.6)), min(w, int(c + wide * 1.6) + 2)
    if right <= left:
        return
    rows, columns = frame((h, right - left))
    columns = columns + left
    up = (r - rows) / tall
    lean = rng.normal(0, 0.05) * wide
    across = (columns - c - lean * up) / (wide * (0.5 + 0.012 * np.sin(up * 5 + c)))
    top = 1 + 0.06 * rng.normal() + 0.03 * across * rng.normal()
    body = np.clip(wide * 0.5 * (1.0 - np.abs(across)) + 0.5, 0, 1)
    round_ = np.clip(0.62 - 0.72 * across, 0.03, 1.5) ** 1.5 + 0.10 * step(0.6, 1.0, across)
    fibre = octaves(rng, (h, right - left), (wide * 2.4, wide * 0.10), 4, 0.6)
    wood = np.clip(0.075 * round_ * (1 + 0.38 * fibre), 0.006, 1)
    weed = step(0.30, 0.22, up + 0.03 * noise(rng, (1, right - left), (1, wide / 9)))
    wood = wood * (1 - 0.72 * weed) + 0.012
    cap = step(0.05, 0.0, np.abs(up - top)) * 0.12
    part = light[:, left:right]
    haze = 1 - np.exp(-far / 46)
    milk = np.exp(-((up / 0.07) ** 2)) * 0.62
    above = body * np.clip((top - up) * tall + 0.5, 0, 1) * (up >= 0)
    tone = (wood + cap) * (1 - haze) + haze * 0.52
    part[:] = part + (tone - part) * above * (1 - milk)
    deep = np.clip(-up, 0, None)
    mirrored = blur(body, 1 + wide * 0.02, 0.5 + wide * 0.07)
    fade = mirrored * (0.38 + 0.3 * step(0, 0.12, deep)) * step(1.05, 0.1, deep) * (up < 0)
    part[:] = part + ((0.05 * (1 - haze) + haze * 0.48) - part) * fade


def landing(rng: Random, shape: Shape) -> Array:
    """Long exposure in one channel: posts of an old landing stage walk out into milky water."""
    h, w = shape
    horizon, point = h * 0.43, w * 0.60
    rows, columns = frame(shape)
    up = (horizon - rows) / h
    # In a long exposure clouds draw lines that all start at one point on the horizon.
    deck = 1 / (np.abs(up) + 0.05)
    side = (columns - point) / w * deck
    texture = tile(rng, 1024, 1.5)
    trail = lookup(texture, side * 26, deck * 1.6) + 0.5 * lookup(texture, side * 80, deck * 3)
    sky = 0.52 - 0.86 * np.clip(up, 0, 1) + 0.16 * trail * step(0, 0.16, up)
    sky = sky + 0.30 * np.exp(-(((columns - point) / w) ** 2) * 9 - np.abs(up) * 9)
    below = np.clip(-up / 0.57, 0, 1)
    mirror = 0.66 - 0.52 * below**0.8 + 0.035 * lookup(texture, side * 7, deck * 2.2)
    mirror = mirror + 0.26 * np.exp(-(((columns - point) / w) ** 2) * 7 - below * 3.2)
    swell = octaves(rng, shape, (h / 22, w / 3), 4, 0.5) * below * (1 - 0.4 * below)
    light = np.where(up > 0, sky, mirror + 0.035 * swell)
    isle = h * (0.006 + 0.022 * blur(octaves(rng, (3, w), (1, w / 5), 6, 0.5), 0, 2)[1])
    isle = isle * step(0.42, 0.14, columns[0] / w) * 1.3
    land = np.clip(isle[None] - np.abs(horizon - rows) * np.where(up < 0, 1.7, 1), 0, 1)
    light = light + (0.34 - light) * blur(land, 1.2) * np.where(up < 0, 0.5, 0.9)
    light = np.maximum(light, 0.02).astype(np.float32)
    focal, eye = w * 0.9, 2.0
    for k in range(17, -1, -1):
        z = 4.5 + 1.8 * k + 0.04 * k * k
        for row, offset in enumerate((-1.75, -0.35)):
            if rng.random() < 0.14 and k > 1:
                continue
            tall = (1.5 + 0.18 * rng.normal()) * (0.62 if rng.random() < 0.2 else 1)
            scale = focal / z
            x = point + (offset + rng.normal(0, 0.05)) * scale
            size = (0.23 * scale * (1 + 0.12 * rng.normal()), max(tall, 0.5) * scale)
            _post(rng, light, (x, horizon + eye * scale), size, z - 4.5 + row * 0.2)
    return develop(light, rng, exposure=1.15, glow=0.08, contrast=0.55, corners=0.5, grain=0.014)
