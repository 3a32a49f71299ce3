"""A still life: pears and a glazed bowl beside a window.

The scene is described by distances (how far is the nearest surface from here?), and light is
followed by walking along each ray in steps of that distance.
"""

import math

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
    octaves,
    resize,
    rgb,
    step,
    tile,
    tint,
)
from PIL import Image

_PEARS = (  # place on the table, lean about x and about z, size
    ((0.98, -0.62), (0.10, -0.16), 0.86),
    ((-0.62, 0.42), (-0.22, 0.34), 0.80),
    ((0.20, 0.62), (0.20, -0.42), 0.78),
    ((1.72, 0.30), (1.38, 0.75), 0.82),
)
_BOWL = (-0.22, 0.55)
_WINDOW = ((-5.2, 2.9, 0.4), (-5.2, 4.3, -1.6), (-5.2, 1.9, -1.0))


def _blend(a: Array, b: Array, soft: float) -> Array:
    """Join two distances with a rounded seam, as a pear's neck joins its belly."""
    share = np.clip(0.5 + 0.5 * (b - a) / soft, 0, 1)
    return b + (a - b) * share - soft * share * (1 - share)


def _pear(p: Array, k: int) -> tuple[Array, Array]:
    """Distance to one pear, and height along its own axis for its colouring."""
    (px, pz), (tip, lean), size = _PEARS[k]
    lift = 0.55 if k in (1, 2) else (0.50 if k == 3 else 0.0)
    x, y, z = p[0] - px, p[1] - lift, p[2] - pz
    y, z = y * math.cos(tip) + z * math.sin(tip), z * math.cos(tip) - y * math.sin(tip)
    x, y = x * math.cos(lean) + y * math.sin(lean), y * math.cos(lean) - x * math.sin(lean)
    x, y, z = x / size, y / size, z / size
    centre = 0.0 if k == 3 else 0.62
    y = y - centre
    ring = np.sqrt(x * x + z * z)
    belly = np.sqrt(ring**2 + (y * 1.06) ** 2) - 0.62
    neck = np.sqrt(ring**2 + (y - 0.72) ** 2) - 0.27
    body = _blend(belly, neck, 0.42)
    dimple = np.sqrt(ring**2 + (y - 1.06) ** 2) - 0.09
    body = -_blend(-body, dimple, 0.10)
    bend = 0.10 * np.clip(y - 0.95, 0, 1) * 2
    up = np.clip(y, 0.90, 1.28)
    stem = np.sqrt((x - bend) ** 2 + z * z + (y - up) ** 2) - (0.022 + 0.02 * (up - 0.9))
    return np.minimum(body, stem) * size * 0.9, np.where(stem < body, 9.0, y)


def _bowl(p: Array) -> Array:
    x, y, z = p[0] - _BOWL[0], p[1] - 1.18, p[2] - _BOWL[1]
    ring = np.sqrt(x * x + z * z)
    shell = np.abs(np.sqrt(ring**2 + (y * 1.12) ** 2) - 1.22) - 0.035
    wall = -_blend(-shell, -(y + 0.30), 0.03)
    foot = np.maximum(np.abs(ring - 0.52) - 0.06, np.abs(p[1] - 0.06) - 0.06)
    bowl: Array = np.minimum(wall * 0.85, foot)
    return bowl


def _nearest(p: Array) -> Array:
    things = np.minimum(_bowl(p), p[1])
    for k in range(len(_PEARS)):
        things = np.minimum(things, _pear(p, k)[0])
    nearest: Array = np.minimum(things, 3.1 - p[2])
    return nearest


def _walk(start: Array, ray: Array) -> Array:
    """Distance along each ray to the first surface; rays that have arrived stop."""
    travel = np.zeros(start.shape[1], np.float32)
    going = np.arange(start.shape[1])
    for _ in range(64):
        gap = _nearest(start[:, going] + ray[:, going] * travel[going])
        travel[going] += gap
        going = going[gap > 0.0012]
        if going.size == 0:
            break
    return travel


def _normals(p: Array) -> Array:
    corners = np.array(((1, -1, -1), (-1, -1, 1), (-1, 1, -1), (1, 1, 1)), np.float32)
    total = np.zeros_like(p)
    for corner in corners:
        total += corner[:, None] * _nearest(p + 0.0015 * corner[:, None])
    result: Array = total / np.maximum(np.linalg.norm(total, axis=0), 1e-9)
    return result


def _open_to(p: Array, light: Array) -> Array:
    """How much of a broad light can be seen from each point; near misses dim it softly."""
    way = light[:, None] - p
    reach = np.linalg.norm(way, axis=0)
    way = way / reach
    seen, travel = np.ones(p.shape[1], np.float32), np.full(p.shape[1], 0.03, np.float32)
    going = np.flatnonzero(p[2] < 2.9)  # the wall is too far back to be shaded
    for _ in range(22):
        gap = _nearest(p[:, going] + way[:, going] * travel[going])
        seen[going] = np.minimum(seen[going], np.clip(0.5 + 4.2 * gap / travel[going], 0, 1))
        travel[going] += np.clip(gap, 0.05, 0.5)
        going = going[(seen[going] > 0.02) & (travel[going] < 4.2)]
        if going.size == 0:
            break
    return seen * seen * (3 - 2 * seen)


def _colours(rng: Random, p: Array, normal: Array) -> tuple[Array, Array]:
    """Surface colour and gloss: wood, plaster, glaze, and pears blushing towards the light."""
    texture, fine = tile(rng, 1024, 1.6), tile(rng, 1024, 0.8, 6.0)
    x, y, z = p
    plank = np.floor(z / 0.85)
    grain = lookup(texture, z * 420 + plank * 333, x * 26 + plank * 177)
    seam = np.exp(-((np.mod(z, 0.85) / 0.014) ** 2))
    colour = mix(tint(74, 52, 38), tint(128, 94, 66), np.clip(0.45 + 0.3 * grain, 0, 1))
    colour = colour * (1 - 0.75 * seam)[:, None]
    gloss = np.full(x.shape, 0.10, np.float32)
    wall = 0.8 + 0.05 * lookup(texture, y * 90, x * 90) + 0.03 * lookup(fine, y * 120, x * 120)
    on_wall = (z > 3.05)[:, None]
    colour = np.where(on_wall, tint(150, 148, 138) * wall[:, None], colour)
    gloss[z > 3.05] = 0
    on_bowl = _bowl(p) < 0.006
    speck = step(1.5, 2.3, lookup(fine, y * 320, np.arctan2(z - _BOWL[1], x - _BOWL[0]) * 380))
    glaze = mix(tint(60, 92, 104), tint(196, 190, 172), step(0.70, 0.84, y + 0.02 * grain))
    colour = np.where(on_bowl[:, None], glaze * (1 - 0.5 * speck)[:, None], colour)
    clay = on_bowl & (y < 0.135)
    colour = np.where(clay[:, None], tint(112, 84, 66), colour)
    gloss[on_bowl] = np.where(clay[on_bowl], 0, 0.55)
    for k in range(len(_PEARS)):
        gap, along = _pear(p, k)
        skin = mix(tint(148, 150, 76), tint(208, 182, 100), np.clip(0.35 + along, 0, 1))
        cloudy = lookup(texture, y * 110 + 99 * k, (x + z) * 110)
        blush = np.clip(0.55 - 1.2 * normal[0] - 0.3 * along + 0.3 * cloudy, 0, 1) * 0.6
        skin = mix(skin, tint(188, 88, 44), blush * (k != 1))
        around = np.arctan2(z - _PEARS[k][0][1], x - _PEARS[k][0][0])
        dots = step(1.1, 2.4, lookup(fine, y * 420 + 55 * k, around * 290))
        russet = step(0.66, 1.05, along + 0.12 * cloudy) * 0.6
        skin = mix(skin, tint(132, 94, 50), np.clip(0.55 * dots + russet, 0, 0.85))
        skin = np.where((along > 5)[:, None], tint(66, 46, 30), skin)
        colour = np.where((gap < 0.006)[:, None], skin, colour)
        gloss[gap < 0.006] = 0.22
    return colour, gloss


def _window_shine(p: Array, way: Array) -> Array:
    """What a mirror would show of the window with its four panes."""
    far = (-5.2 - p[0]) / np.where(np.abs(way[0]) < 1e-4, 1e-4, way[0])
    y, z = p[1] + way[1] * far, p[2] + way[2] * far
    pane = step(1.5, 1.65, y) * step(5.0, 4.85, y) * step(-2.4, -2.25, z) * step(1.4, 1.25, z)
    bars = step(0.05, 0.10, np.abs(y - 3.3)) * step(0.05, 0.10, np.abs(z + 0.5))
    shine: Array = pane * bars * (far > 0)
    return shine


def _camera(side: int) -> tuple[Array, Array]:
    """Eye point and one ray per pixel, looking slightly down at the table."""
    rows, columns = frame((side, side))
    eye = rgb(0.35, 2.55, -6.4)
    aim = rgb(0.33, 0.98, 0.2) - eye
    aim /= np.linalg.norm(aim)
    right = np.array((aim[2], 0, -aim[0])) / np.hypot(aim[0], aim[2])
    above = np.cross(aim, right)
    u, v = (columns / side - 0.5) * 0.66 + 0 * rows, (0.5 - rows / side) * 0.66 + 0 * columns
    ray = aim[:, None] + right[:, None] * u.ravel() + above[:, None] * v.ravel()
    return eye, (ray / np.linalg.norm(ray, axis=0)).astype(np.float32)


def pears(rng: Random, shape: Shape) -> Array:
    """Four pears and a bowl in the light of a window on the left."""
    side = min(1300, shape[0])
    eye, ray = _camera(side)
    travel = _walk(np.broadcast_to(eye[:, None], ray.shape), ray)
    p = eye[:, None] + ray * travel
    normal = _normals(p)
    colour, gloss = _colours(rng, p, normal)
    start = p + normal * 0.01
    direct = np.zeros(p.shape[1], np.float32)
    for spot in _WINDOW:
        light = np.array(spot, np.float32)
        way = light[:, None] - p
        reach = np.linalg.norm(way, axis=0)
        facing = np.clip((normal * way).sum(0) / reach * 0.94 + 0.06, 0, 1)
        direct += facing * np.clip(way[0] / -reach, 0, 1) * 22 / reach**2 * _open_to(start, light)
    shut = np.ones(p.shape[1], np.float32)
    for reach_out in (0.08, 0.22, 0.5):
        shut *= np.clip(0.25 + 0.75 * _nearest(p + normal * reach_out) / reach_out, 0, 1)
    fill = (0.10 + 0.07 * normal[1] - 0.05 * normal[0]) * shut
    glance = 1 - np.clip(-(ray * normal).sum(0), 0, 1)
    mirror = ray - 2 * (ray * normal).sum(0) * normal
    shine = gloss * (0.10 + 0.9 * glance**4) * _window_shine(p, mirror)
    body = colour * (
        direct[:, None] * rgb(0.98, 1.0, 1.02) / 3 * 1.9 + fill[:, None] * rgb(1.1, 0.98, 0.85)
    )
    body = body + (shine * 2.2 * np.sqrt(np.clip(direct, 0, 1) * 0.8 + 0.2))[:, None]
    light, far = body.reshape(side, side, 3).astype(np.float32), travel.reshape(side, side)
    # One ray per pixel leaves jagged outlines where the depth jumps.
    jump = np.abs(far - blur(far, 1.0)) - 0.6 * blur(np.abs(far - blur(far, 1.0)), 6)
    light = mix(light, blur(light, 1.5), step(0.002, 0.016, blur(np.maximum(jump, 0), 1.2)))
    light, far = resize(light, shape, how=Image.Resampling.LANCZOS), resize(far, shape)
    light = mix(light, blur(light, 9), step(8.4, 10.2, far) * 0.9)
    light = light * (1 + 0.012 * octaves(rng, shape, (6, 6), 2))[..., None]
    return develop(
        np.maximum(light, 0), rng, exposure=1.5, glow=0.08, contrast=0.55, corners=0.45, grain=0.012
    )
