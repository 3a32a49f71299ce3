"""Render the demo pictures: one invented winter's work of a small island studio.

Run `python demo_images/render.py` to make all of them, or name some files to make only those.
Every picture has its own seed, so the same picture comes out each time, alone or with the rest.
"""

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import scenes_hills
import scenes_near
import scenes_quiet
import scenes_shore
import scenes_still
from colour_profiles import grey_profile, srgb_profile, wide_profile
from light import Array, Random, Shape
from PIL import Image

HERE = Path(__file__).resolve().parent
_ORIENTATION = 0x0112  # EXIF: which way up to show the stored picture


@dataclass(frozen=True)
class Picture:
    """What to render, how large (rows, columns), and in which colours to save it."""

    scene: Callable[[Random, Shape], Array]
    shape: Shape
    seed: int
    profile: Callable[[], bytes] = srgb_profile
    sideways: bool = False


PICTURES = {
    "evening_watch": Picture(scenes_shore.lighthouse, (2400, 3600), 1),
    "birches_at_first_light": Picture(scenes_near.birches, (3600, 2880), 1),
    "four_pears": Picture(scenes_still.pears, (3000, 3000), 1),
    "nine_ridges": Picture(scenes_hills.ridges, (1400, 4200), 4),
    "the_old_landing": Picture(scenes_shore.landing, (2880, 3600), 5, grey_profile),
    "green_fire": Picture(scenes_hills.aurora, (2400, 3600), 9, wide_profile),
    "waiting_for_wind": Picture(scenes_quiet.boats, (800, 1200), 7),
    "anemos_kai_ammos": Picture(scenes_hills.dunes, (2400, 3600), 4),
    "hull_no_longer": Picture(scenes_near.paint, (2400, 3600), 7),
    "thorn_in_january": Picture(scenes_quiet.thorn, (3600, 2400), 5, sideways=True),
}


def save(name: str, picture: Picture) -> Path:
    """Render one picture and write it as JPEG with its profile."""
    tones = picture.scene(np.random.default_rng(picture.seed), picture.shape)
    image = Image.fromarray(np.rint(tones * 255).astype(np.uint8))
    exif = Image.Exif()
    if picture.sideways:
        # Stored as by a camera held upright; orientation 6 rotates it back when shown.
        image = image.transpose(Image.Transpose.ROTATE_90)
        exif[_ORIENTATION] = 6
    path = HERE / f"{name}.jpg"
    image.save(path, quality=88, optimize=True, icc_profile=picture.profile(), exif=exif)
    return path


def main(names: list[str]) -> None:
    """Render the named pictures, or all of them."""
    for name in names or PICTURES:
        started = time.monotonic()
        path = save(name, PICTURES[name])
        print(
            f"{path.name}: {path.stat().st_size / 1e6:.2f} MB, {time.monotonic() - started:.0f} s"
        )


if __name__ == "__main__":
    main([Path(name).stem for name in sys.argv[1:]])
