"""Scripts without any care, to hold the program's speed against.

    python -m tests.bench.yardsticks bare|all-cores|pillow jpeg|tiff FOLDER OUT

Each takes the photographs of a folder to four steps of 12x8 in at 300 ppi. ``bare`` is libvips
alone, one picture after another: decode, reduce by Lanczos-3, then for each step a curve and a
conversion of 16-bit codes between two profiles, and the encoder. ``all-cores`` does the same in
one process for each core, and makes a mock-up of each step at 100 px an inch and a contact sheet.
``pillow`` has no colour management. None of them checks anything or writes safely.
"""

import os
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

WIDTH, HEIGHT, PPI = 3600, 2400, 300
DENSITIES = (-0.10, 0.0, 0.10, 0.20)
_QUALITY = 95
_CONVERSION: dict[str, object] = {
    "input_profile": "srgb",
    "intent": "relative",
    "black_point_compensation": True,
    "depth": 8,
}
_BOARD = 2000, 1600  # 20x16 in at 100 px an inch


def pictures(folder: Path) -> list[Path]:
    """Return the photographs of a folder."""
    return sorted(folder.glob("*.jpg"))


def _curve(density: float, most: int) -> list[int]:
    """A curve on the codes that darkens mid grey by about this density."""
    gamma = 1 + density * 1.5
    return [round((code / most) ** gamma * most) for code in range(most + 1)]


def _vips_steps(path: Path) -> Iterator[tuple[object, object]]:
    """Yield the print of each step, and the base that all steps come from."""
    import pyvips

    photograph = pyvips.Image.new_from_file(str(path), access="sequential")
    scale = WIDTH / photograph.width
    base = photograph.resize(scale, vscale=HEIGHT / photograph.height, kernel="lanczos3")
    base = base.cast("ushort").linear(257, 0).cast("ushort").copy(interpretation="rgb16")
    base = base.copy_memory()
    for density in DENSITIES:
        curve = pyvips.Image.new_from_array([_curve(density, 65535)]).cast("ushort")
        toned = base.maplut(curve)
        yield toned.icc_transform("p3", **_CONVERSION), base


def _save_vips(image: object, name: Path, kind: str) -> None:
    per_mm = PPI / 25.4
    file = image.copy(xres=per_mm, yres=per_mm)  # type: ignore[attr-defined]  # no types
    if kind == "jpeg":
        file.jpegsave(str(name.with_suffix(".jpg")), Q=_QUALITY, subsample_mode="off")
    else:
        file.tiffsave(str(name.with_suffix(".tif")), compression="lzw", predictor="horizontal")


def bare(kind: str, folder: Path, out: Path) -> None:
    """Make the prints with libvips, one picture after another."""
    for path in pictures(folder):
        for n, (image, _) in enumerate(_vips_steps(path)):
            _save_vips(image, out / f"{path.stem}-{n}", kind)


def _one_with_mockups(kind: str, path: Path, out: Path) -> list[str]:
    made = []
    for n, (image, _) in enumerate(_vips_steps(path)):
        kept = image.copy_memory()  # type: ignore[attr-defined]  # no types
        name = out / f"{path.stem}-{n}"
        _save_vips(kept, name, kind)
        small = kept.thumbnail_image(1200, height=800, size="force", export_profile="srgb")
        board = small.embed(400, 400, *_BOARD, extend="background", background=[245, 244, 240])
        mockup = f"{name}-mockup.png"
        board.pngsave(mockup, compression=6)
        made.append(mockup)
    return made


def all_cores(kind: str, folder: Path, out: Path) -> None:
    """Make prints, mock-ups and a contact sheet with libvips, one process for each core."""
    os.environ["VIPS_CONCURRENCY"] = "1"
    with ProcessPoolExecutor(os.cpu_count(), mp_context=get_context("spawn")) as pool:
        jobs = [pool.submit(_one_with_mockups, kind, path, out) for path in pictures(folder)]
        made = [name for job in jobs for name in job.result()]
    import pyvips

    cells = [pyvips.Image.thumbnail(name, 600) for name in made]
    sheet = pyvips.Image.arrayjoin(cells, across=len(DENSITIES), shim=20, background=[255] * 3)
    sheet.jpegsave(str(out / "sheet.jpg"), Q=90)


def pillow(kind: str, folder: Path, out: Path) -> None:
    """Make the prints with Pillow, without colour management."""
    from PIL import Image

    for path in pictures(folder):
        with Image.open(path) as photograph:
            base = photograph.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS)
        for n, density in enumerate(DENSITIES):
            image, name = base.point(_curve(density, 255) * 3), out / f"{path.stem}-{n}"
            if kind == "jpeg":
                image.save(f"{name}.jpg", quality=_QUALITY, subsampling=0, dpi=(PPI, PPI))
            else:
                image.save(f"{name}.tif", compression="tiff_lzw", dpi=(PPI, PPI))


_SCRIPTS = {"bare": bare, "all-cores": all_cores, "pillow": pillow}

if __name__ == "__main__":
    _SCRIPTS[sys.argv[1]](sys.argv[2], Path(sys.argv[3]), Path(sys.argv[4]))
