"""Photographs at the size of a print, to plant defects in: some to tune on, some to measure.

Those of scikit-image are enlarged, which smooths them, so grain is added. Half of each source is
for tuning, the other half is only ever measured.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyvips
import skimage.data
from numpy.typing import NDArray

from tests.manual_pages import DEMO

PPI = 300
_SMALL_IN = 7.0  # the long side of a small picture: enlarged four times it is soft enough
_GRAIN = 1.6  # codes
_SKIMAGE = (
    *("astronaut", "brick", "camera", "chelsea", "coffee", "coins", "grass", "gravel"),
    *("hubble_deep_field", "immunohistochemistry", "moon", "retina", "rocket"),
)
_ENDINGS = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp"}


@dataclass(frozen=True, slots=True)
class PrintPicture:
    """A picture at print size in 8-bit sRGB; ``is_tuned`` is whether it may be tuned on."""

    name: str
    codes: NDArray[np.uint8]
    is_tuned: bool


def print_pictures(folder: Path | None, inches: float, most: int | None) -> Iterator[PrintPicture]:
    """Yield pictures with a long side of so many inches; ``most`` of each source if given."""
    yield from _of(list(_SKIMAGE), "scikit-image", inches, most)
    demo = sorted(str(path) for path in DEMO.glob("*.jpg"))
    yield from _of(demo, "demo", inches, most)
    if folder:
        found = sorted(str(p) for p in folder.rglob("*") if p.suffix.lower() in _ENDINGS)
        yield from _of(found, "folder", inches, None)


def _of(names: list[str], source: str, inches: float, most: int | None) -> Iterator[PrintPicture]:
    for n, name in enumerate(names[: most or len(names)]):
        is_file = source != "scikit-image"
        pixels = _read(name) if is_file else _small(name)
        long_in = inches if is_file else _SMALL_IN
        sized = _sized(pixels, round(long_in * PPI))
        if not is_file:
            seed = int.from_bytes(hashlib.sha256(name.encode()).digest()[:4])
            grain = np.random.default_rng(seed).normal(0, _GRAIN, sized.shape[:2])
            sized = np.rint(np.clip(sized + grain[..., None], 0, 255)).astype(np.uint8)
        yield PrintPicture(f"{source}/{Path(name).stem}", sized, n % 2 == 0)


def _small(name: str) -> NDArray[np.uint8]:
    pixels = np.asarray(getattr(skimage.data, name)(), np.uint8)
    pixels = pixels[..., None].repeat(3, axis=2) if pixels.ndim == 2 else pixels[..., :3]
    return np.ascontiguousarray(pixels)


def _read(path: str) -> NDArray[np.uint8]:
    image = pyvips.Image.new_from_file(path).autorot()
    image = image.flatten() if image.hasalpha() else image
    return np.ascontiguousarray(image.colourspace("srgb").cast("uchar").numpy()[..., :3])


def _sized(codes: NDArray[np.uint8], long_px: int) -> NDArray[np.uint8]:
    image = pyvips.Image.new_from_array(codes, interpretation="srgb")
    factor = long_px / max(image.width, image.height)
    sized = image.resize(factor, kernel="lanczos3")
    return np.ascontiguousarray(sized.numpy())
