"""Wide country: ridges in haze, dunes in the wind, northern lights over a lake."""

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
    rgb,
    step,
    tile,
    tint,
)
from terrain import Camera, Ground, view


def _ridge_line(rng: Random, width: int, cell: float, rough: float) -> Array:
    """Height of a ridge along the picture, about -1 to 1, with a few sharper summits."""
    soft = octaves(rng, (1, width), (1, cell), 8, rough)[0]
    sharp = 1 - 2 * np.abs(octaves(rng, (1, width), (1, cell * 0.7), 6, 0.45)[0])
    line: Array = 0.6 * soft + 0.4 * sharp
    return line


def _firs(rng: Random, width: int, tall: float) -> Array:
    """Outline of a fir wood: narrow spires of uneven height, side by side and overlapping."""
    line = np.zeros(width, np.float32)
    columns = np.arange(width, dtype=np.float32)
    stand = noise(rng, (1, width), (1, tall * 6))[0]
    for centre in np.arange(0, width, tall * 0.085):
        at = centre + rng.normal(0, tall * 0.10)
        height = tall * (0.62 + 0.24 * rng.standard_normal() + 0.34 * stand[int(centre)])
        left, right = max(0, int(at - tall * 0.3)), min(width, int(at + tall * 0.3))
        if right <= left or height <= 0:
            continue
        away = np.abs(columns[left:right] - at)
        # Tiers of branches make the sides of the spire jagged.
        tiers = 1 + 0.25 * np.sin(away * 40 / tall + rng.uniform(0, 6))
        line[left:right] = np.maximum(line[left:right], height - away * 6.2 * tiers)
    return line


def ridges(rng: Random, shape: Shape) -> Array:
    """Ridge behind ridge in morning haze, the sun just clear of the last one."""
    h, w = shape
    rows, columns = frame(shape)
    sun = (0.27 * h, 0.665 * w)
    away = np.hypot(rows - sun[0], columns - sun[1]) / h
    sky = ramp(
        rows / h + 0 * columns,
        [
            (0, tint(112, 138, 168)),
            (0.22, tint(178, 178, 182)),
            (0.42, tint(240, 208, 172)),
            (1, tint(246, 214, 176)),
        ],
    )
    veil = octaves(rng, shape, (h / 16, w / 5), 5)
    sky *= (1 + 0.05 * veil * step(0.5 * h, 0, rows))[..., None]
    shine = tint(255, 206, 140) * (1.1 * np.exp(-away * 2.1) + 0.8 * np.exp(-away * 9))[..., None]
    light = sky * 0.72 + shine * 0.75
    disc = step(0.034, 0.026, away) * np.clip(1 - (rows - sun[0]) / (0.05 * h), 0.3, 1.3)
    light += tint(255, 236, 190) * (1.9 * disc)[..., None]
    near = tint(22, 34, 42)
    depths = 9
    for k in range(depths):
        t = k / (depths - 1)
        base = h * (0.36 + 0.55 * t**1.15)
        tall = h * (0.055 + 0.075 * t)
        line = base - tall * _ridge_line(rng, w, h * (0.5 + 0.75 * t), 0.42 + 0.06 * t)
        edge = line - (_firs(rng, w, h * 0.022 * (t * 1.5) ** 2) if t > 0.45 else 0)
        cover = np.clip(rows - edge[None, :] + 0.5, 0, 1)
        deep = np.clip((rows - line[None, :]) / (h * 0.24), 0, 1)
        # Gullies run down the slope, so their noise is taller than wide and leans with it.
        relief = octaves(rng, shape, (h * 0.07, h * 0.035 * (1 + t)), 5, 0.6)
        body = mix(near, tint(122, 138, 160), (1 - t) ** 0.8)
        body = body * (1 + (0.10 + 0.22 * t) * relief)[..., None]
        haze = np.clip((1 - t) ** 1.15 * 0.75 + deep * (0.52 - 0.38 * t), 0, 0.97)
        air = ramp(rows / h + 0 * columns, [(0.3, tint(232, 200, 168)), (0.9, tint(150, 160, 178))])
        air = air * 0.62 + shine * (0.55 - 0.25 * t)
        light = mix(light, mix(np.maximum(body, 0), air, haze), cover)
    return develop(light, rng, exposure=1.08, glow=0.12, contrast=0.35, corners=0.22, grain=0.010)


def _dune_heights(rng: Random, size: int, cell: float) -> Array:
    """Long windward slopes, short slip faces, crests that wander as the wind did."""
    z, x = frame((size, size))
    x, z = (x - size / 2) * cell, z * cell
    bend = 20 * blur(octaves(rng, (size, size), (size / 4, size / 4), 3, 0.4), 6)
    total = np.zeros((size, size), np.float32)
    for length, tall, turn, weight in ((120, 15, 0.22, 1.0), (47, 3.6, -0.15, 0.5)):
        phase = (x * np.cos(turn) + z * np.sin(turn) + bend * weight) / length + 0.60
        part = phase - np.floor(phase)
        swell = 0.72 + 0.34 * blur(noise(rng, (size, size), (size / 5, size / 4)), 5)
        rise = (part / 0.74) ** 1.35
        fall = np.clip((1 - part) / 0.26, 0, 1) ** 1.15
        total += tall * np.maximum(swell, 0.15) * np.where(part < 0.74, rise, fall)
    total += 2.2 * blur(noise(rng, (size, size), (size / 3, size / 3)), 5)
    return blur(total, 0.8)


def dunes(rng: Random, shape: Shape) -> Array:
    """Dunes under a low sun from the left, ripples in front and long soft shadows."""
    h, w = shape
    rows, columns = frame(shape)
    size, cell = 1600, 0.3
    ground = Ground(_dune_heights(rng, size, cell), cell, -size * cell / 2, 0)
    start = float(ground.heights[20, size // 2])
    camera = Camera(start + 4.2, h * 0.36, w * 0.95, 3.0, 470)
    z, cover = view(ground, camera, shape, 900)
    x = (columns - w / 2) / camera.focal * z
    along_x, along_z = (ground.read(s, x, z) for s in ground.slopes())
    # Wind ripples bend round the slope, and melt away where a pixel spans several of them.
    warp = tile(rng, 1024, 1.9)
    wander = 0.75 * lookup(warp, z * 16, x * 16) + 0.25 * lookup(warp, z * 60, x * 60)
    ripple = np.sin((x * 1.0 + z * 0.35) * 2 * np.pi / 0.62 + wander * 2.6)
    fade = step(95, 12, z) * step(0.55, -0.1, -along_x) * (0.6 + 0.4 * np.tanh(wander))
    along_x = along_x + 0.16 * fade * (ripple + 0.35 * ripple**2)
    grain = lookup(tile(rng, 1024, 0.6), z * 22 + x * 3, x * 30)
    sun = rgb(-0.93, 0.30, 0.22)
    slope = np.sqrt(1 + along_x**2 + along_z**2)
    facing = (-along_x * sun[0] + sun[1] - along_z * sun[2]) / slope
    lit = ground.read(ground.sunlit(0.30, True, 0.5), x, z)
    direct = np.clip(facing, 0, 1) * lit
    sand = tint(222, 178, 130) * (1 + 0.05 * grain * step(60, 8, z))[..., None]
    body = sand * (direct[..., None] * rgb(1.9, 1.50, 1.10))
    body = body + sand * rgb(0.20, 0.25, 0.37) * (0.75 / slope[..., None])
    haze = 1 - np.exp(-((z / 620) ** 1.5))
    up = rows / camera.horizon + 0 * columns
    sky = ramp(up, [(0, tint(88, 124, 168)), (0.55, tint(152, 174, 196)), (1, tint(238, 206, 176))])
    glow = np.exp(-((columns / w + 0.15) ** 2) * 3 - (up - 1) ** 2 * 2.5)
    sky = sky * 0.8 + tint(255, 214, 160) * glow[..., None] * 0.45
    cloud = octaves(rng, shape, (h / 15, w / 2.2), 7, 0.55) + 0.5 * (up - 0.75)
    sky = mix(sky, tint(250, 226, 206), 0.42 * step(-0.1, 1.9, cloud))
    light = mix(sky, mix(body, tint(236, 200, 170) * 0.8, haze), cover)
    return develop(light, rng, exposure=0.95, glow=0.07, contrast=0.5, corners=0.3, grain=0.011)


def _curtain(rng: Random, shape: Shape, far: float, aside: float, turn: float) -> Array:
    """Hem of one curtain of northern light, hung over the land in true perspective.

    Rows count the logarithm of the elevation: there, every ray has the same shape, near or far.
    """
    h, w = shape
    count = 150000
    t = np.linspace(-1, 1, count)
    bend = [noise(rng, (2, count), (99, count / n))[::1] for n in (3, 9, 26, 70)]
    x = aside + 420 * t + 60 * bend[0][0] + 30 * bend[1][0] + 15 * bend[2][0] + 5 * bend[3][0]
    z = far + turn * t + 50 * bend[0][1] + 26 * bend[1][1] + 12 * bend[2][1] + 4 * bend[3][1]
    z = np.maximum(z, 60)
    rays = np.exp(0.5 * octaves(rng, (1, count), (1, count / 90), 6, 0.8)[0])
    strength = rays * np.clip(0.7 + 0.6 * noise(rng, (1, count), (1, count / 6))[0], 0.05, 2)
    c = (w * (0.5 + 0.85 * x / z)).astype(np.int64)
    r = (h * _log_row(65 / z)).astype(np.int64)
    inside = (c >= 0) & (c < w) & (r >= 0) & (r < h)
    hems = np.bincount(r[inside] * w + c[inside], (strength * 150 / z)[inside], minlength=h * w)
    return hems.reshape(shape).astype(np.float32) * (w / count)


def _log_row(elevation: Array) -> Array:
    """Place (0 is high up, 1 is near the horizon) on the logarithmic scale of elevation."""
    return np.clip((0.9 - np.log(np.maximum(elevation, 1e-4))) / 4, 0, 1.2)


def _rays(hems: Array, length: float) -> Array:
    """Let light stream upwards from the hems and die away over `length` rows."""
    keep, flow = float(np.exp(-1 / length)), np.zeros(hems.shape[1], np.float32)
    out = np.empty_like(hems)
    for r in range(hems.shape[0] - 1, -1, -1):
        flow = flow * keep + hems[r]
        out[r] = flow
    return out


def _aurora_sky(rng: Random, shape: Shape) -> Array:
    """Night sky in wide-gamut light: the greens and cyans here have no place in sRGB."""
    h, w = shape
    size = (900, w // 2)
    hems = np.zeros(size, np.float32)
    for far, aside, turn in ((190, -40, 90), (125, 20, -70), (330, 0, 120)):
        hem = blur(_curtain(rng, size, far, aside, turn), 9, 1.2)
        # Seen end-on a fold would burn out; the eye and the film both hold it back.
        hems += 2.6 * hem / (1 + 22 * hem) ** 0.7
    green, cyan, rose = (_rays(hems, span) for span in (55, 95, 150))
    late = np.clip(rose - cyan, 0, None)
    mist = blur(green, 60)
    colour = (green + 0.45 * mist)[..., None] * rgb(0.003, 0.30, 0.062)
    colour = colour + cyan[..., None] * rgb(0.0, 0.045, 0.070)
    colour = np.maximum(colour + late[..., None] * rgb(0.060, 0.0, 0.085), 0)
    rows, columns = frame((h, w))
    up = (h - rows) / h
    # The camera looks up a little, so the rays lean together towards the zenith.
    across = np.clip(w / 2 + (columns - w / 2) * (1 + 0.30 * up), 0, w - 1) / 2
    down = np.clip(_log_row(0.02 + 1.15 * up) * size[0], 0, size[0] - 1.01)
    r, c = down.astype(np.int64), np.clip(across, 0, size[1] - 1.01).astype(np.int64)
    part = (down - r).astype(np.float32)[..., None]
    shown = blur(colour[r, c] * (1 - part) + colour[r + 1, c] * part, 0.6, 1.2)
    night = ramp(
        1 - up + 0 * columns, [(0, rgb(0.001, 0.005, 0.016)), (1, rgb(0.002, 0.030, 0.036))]
    )
    return shown * 0.55 + night


def _stars(rng: Random, shape: Shape) -> Array:
    field = np.zeros(shape, np.float32)
    count = shape[0] * shape[1] // 5500
    r, c = rng.integers(0, shape[0], count), rng.integers(0, shape[1], count)
    field[r, c] = 0.4 * rng.pareto(1.6, count) + 0.2
    return np.minimum(blur(np.minimum(field, 14), 1.0), 1.2)


def _snow_mountains(rng: Random, shape: Shape, sky: Array) -> tuple[Array, Array]:
    """Mountains beyond the lake by the light of the sky; also how much they cover."""
    h, w = shape
    size, cell = 1100, 14.0
    z, x = frame((size, size))
    crags = 1 - np.abs(octaves(rng, (size, size), (150, 170), 8, 0.48)) * 1.15
    shore = 4200 + 500 * noise(rng, (1, size), (1, 140)) + 900 * np.abs(x - size * 0.47) / -size
    rise = step(0, 5200, z * cell - shore) * (0.55 + 1.1 * np.abs(x / size - 0.45))
    heights = (1750 * crags + 420 * octaves(rng, (size, size), (240, 240), 3)) * rise - 20
    ground = Ground(np.maximum(heights, -5), cell, -size * cell / 2, 0)
    camera = Camera(25, h - 1, w * 0.80, 2500, 15300)
    distance, cover = view(ground, camera, shape, 900)
    across = (frame(shape)[1] - w / 2) / camera.focal * distance
    along_x, along_z = (ground.read(s, across, distance) for s in ground.slopes())
    steep = 1 / np.sqrt(1 + along_x**2 + along_z**2)
    facing = np.clip((0.55 * along_x + 0.55 * -along_z * -1 + 0.62) * steep, 0, 1.2)
    snow = step(0.30, 0.56, steep + 0.05 * octaves(rng, shape, (h / 40, h / 60), 4))
    glow = sky[: h // 2].mean(axis=(0, 1)) * 0.8 + rgb(0.003, 0.008, 0.016)
    body = glow * ((0.10 + 0.90 * snow) * (0.12 + 0.95 * facing))[..., None]
    return mix(body, blur(sky, h / 8), 0.55 * step(3500, 17000, distance)), cover


def aurora(rng: Random, shape: Shape) -> Array:
    """Northern lights over snow mountains and their lake."""
    h, w = shape
    shore = int(h * 0.72)
    sky = _aurora_sky(rng, (shore, w))
    light: Array = sky + _stars(rng, (shore, w))[..., None] * rgb(0.75, 0.9, 1.0)
    light = mix(light, *_snow_mountains(rng, (shore, w), sky))
    rows, columns = frame((h - shore, w))
    far = (rows + 2) / (h - shore)
    swell = noise(rng, (h - shore, w), (7, 90)) + 0.6 * noise(rng, (h - shore, w), (3, 30))
    source = np.clip(shore - 1 - rows * 1.35 - swell * (2 + 16 * far), 0, shore - 1)
    mirror = blur(light, 3, 1.2)[source.astype(np.int64), columns.astype(np.int64)]
    water = mirror * (0.72 - 0.35 * far)[..., None] + rgb(0.001, 0.006, 0.009)
    edge = np.exp(-rows / (h * 0.004))[..., None]
    light = np.concatenate([light, water * (1 - 0.5 * edge)], axis=0)
    return develop(light, rng, exposure=2.8, glow=0.10, contrast=0.3, corners=0.3, grain=0.010)
