"""A simulated lab and scanner: what happens to a wedge between the file and the scan.

Written independently, from the definitions, so that it shares no formula with the reader:
only the wedge's patches come from the program.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from proofs.lengths import Length, inches
from proofs.plan.tones.wedge import wedge, wedge_size

Picture = NDArray[np.float64]

PAPER, INK = 0.89, 0.010  # reflectance: D 0.05 and D 2.0, a gloss print; common practice, no source
LARGE, SMALL = inches(4), inches("1.5")
MID_DENSITY = 0.734741  # of L* 50: -log10(((50 + 16) / 116)^3), computed


@dataclass(frozen=True, slots=True)
class Scan:
    """How a sheet is printed and scanned; every default is a clean one.

    ``offset`` is the lab's error at L* 50 in density, ``turn`` in degrees clockwise, ``noise`` in
    8-bit codes, ``gradient`` the light lost over the picture in ``gradient_way`` (degrees),
    ``blur`` in pixels, ``veil`` light added to all of it, as a share of white.
    """

    width: Length = LARGE
    offset: float = 0.0
    turn: float = 0.0
    ppi: int = 150
    noise: float = 0.0
    gradient: float = 0.0
    gradient_way: float = 0.0
    blur: float = 0.0
    veil: float = 0.0
    exposure: float = 0.95
    surroundings: bool = True
    seed: int = 0


def printed(lightness: float, offset: float) -> float:
    """Return what a print reflects where the file has this L*, from a lab that is off.

    The lab's fault is a power of the light: black and white stay, L* 50 is off by ``offset``.
    """
    above = ((lightness + 16) / 116) ** 3
    light = above if lightness > 8 else lightness * 27 / 24389
    return INK + (PAPER - INK) * math.pow(light, (MID_DENSITY + offset) / MID_DENSITY)


def sheet(scan: Scan, *, fine: int = 2) -> Picture:
    """Return what a sheet of 8 x 5 in with a wedge reflects, ``fine`` times as fine as the scan."""
    ppi = scan.ppi * fine
    made = Image.new("F", (8 * ppi, 5 * ppi), PAPER)
    draw = ImageDraw.Draw(made)
    if scan.surroundings:
        surround(made, draw, ppi, scan)
    left, top = 1.6 * ppi, 2.4 * ppi
    for patch in wedge(scan.width):
        x, y = left + patch.place.x.inches * ppi, top + patch.place.y.inches * ppi
        to = x + patch.size.width.inches * ppi - 1, y + patch.size.height.inches * ppi - 1
        box = tuple(round(v) for v in (x, y, *to))
        draw.rectangle(box, fill=printed(patch.lightness, scan.offset))
    return np.asarray(made, dtype=np.float64)


def surround(made: Any, draw: Any, ppi: int, scan: Scan) -> None:
    """Draw pictures, a framed picture, rules and lettering around the wedge's place."""
    random = np.random.default_rng(scan.seed)
    rows, columns = np.mgrid[0 : 2 * ppi, 0 : int(3.2 * ppi)] / ppi
    waves = 50 + 30 * np.sin(3 * columns) * np.cos(4 * rows) + random.normal(0, 6, rows.shape)
    tones = PAPER * (np.clip(waves, 0, 100) / 100) ** 2.5
    for x in (0.3, 4.2):
        made.paste(Image.fromarray(tones.astype(np.float32)), (int(x * ppi), int(0.2 * ppi)))
    black = printed(0, 0)
    size = wedge_size(scan.width)
    x, y = 0.7 * ppi, 3.7 * ppi
    box = (x, y, x + size.width.inches * ppi, y + size.height.inches * ppi)
    draw.rectangle(box, outline=black, width=max(1, ppi // 25))
    draw.rectangle((0.4 * ppi, 2.3 * ppi, 0.5 * ppi, 4.6 * ppi), fill=black)
    draw.line((1.6 * ppi, 3.4 * ppi, 7.6 * ppi, 3.4 * ppi), fill=black, width=max(1, ppi // 100))
    draw.text((1.6 * ppi, 3.45 * ppi), "A 7 old pier, same paper", fill=black)
    draw.text((5.8 * ppi, 4.2 * ppi), "B", fill=black, font_size=ppi // 3)


def scanned(reflected: Picture, scan: Scan, *, fine: int = 2) -> NDArray[np.uint8]:
    """Return the 8-bit sRGB grey of a scan of what a sheet reflects."""
    seen = Image.fromarray(reflected.astype(np.float32))
    if scan.turn:
        seen = seen.rotate(
            -scan.turn, Image.Resampling.BILINEAR, expand=True, fillcolor=PAPER * 0.8
        )
    seen = seen.resize((seen.width // fine, seen.height // fine), Image.Resampling.BOX)
    if scan.blur:
        seen = Image.fromarray(blurred(np.asarray(seen, dtype=np.float64), scan.blur))
    light = np.asarray(seen, dtype=np.float64) / PAPER
    light = (light * lamp(light.shape, scan) + scan.veil) / (1 + scan.veil) * scan.exposure
    codes = srgb(np.clip(light, 0, 1)) * 255
    codes += np.random.default_rng(scan.seed).normal(0, 1, codes.shape) * scan.noise
    return np.asarray(np.clip(np.rint(codes), 0, 255).astype(np.uint8))


def lamp(shape: tuple[int, ...], scan: Scan) -> Picture:
    """Return the light that falls on every pixel: full at one side, less at the other."""
    rows, columns = np.mgrid[0 : shape[0], 0 : shape[1]] / max(shape)
    way = math.radians(scan.gradient_way)
    along = columns * math.cos(way) + rows * math.sin(way)
    share = (along - along.min()) / (along.max() - along.min())
    return np.asarray(1 - scan.gradient * share)


def blurred(picture: Picture, sigma: float) -> NDArray[np.float32]:
    """Return a picture blurred by a Gaussian of this standard deviation, in pixels."""
    reach = math.ceil(3 * sigma)
    bell = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    bell /= bell.sum()
    for _ in range(2):
        rows = len(picture)
        wider = np.pad(picture, ((reach, reach), (0, 0)), mode="edge")
        picture = sum(share * wider[n : n + rows] for n, share in enumerate(bell)).T
    return picture.astype(np.float32)


def srgb(light: Picture) -> Picture:
    """Return the sRGB codes, 0 to 1, of linear light (IEC 61966-2-1, from memory)."""
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def linear(codes: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Return the linear light of 8-bit sRGB codes (IEC 61966-2-1, from memory)."""
    value = codes / 255
    light = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return light.astype(np.float32)


def light_of(scan: Scan) -> NDArray[np.float32]:
    """Return the linear light of a whole simulated scan."""
    return linear(scanned(sheet(scan), scan))
