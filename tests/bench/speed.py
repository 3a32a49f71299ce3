"""The speed of the program: the figures that its specification requires.

    python tests/bench/speed.py [THREADS]

Prints wall-clock and processor seconds, and megapixels per second; nothing here is timed
by CI. The picture consists of waves and noise, 24 megapixels.
"""

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

import numpy as np
import pyvips

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.colour.cielab import ToneAdjustment
from proofs.outside.pixels.colour.output_space import OutputSpace
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import converted, variant_images
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.resize.print_size import sized_for_print
from proofs.outside.pixels.source.decode import decode, read_facts
from proofs.records.labs import FileFormat
from tests.outside.pixels.pictures import lab

PRINT = PixelSize(6000, 4800)  # 20 x 16 in at 300 ppi
DENSITIES = (-0.10, 0.0, 0.10, 0.20)
_HOW = ("--variants", "--anyway", "--rules=none", "--mount=no-window", "--sharpen=off")


def picture(width: int, height: int) -> np.ndarray:
    """Return 8-bit waves and noise."""
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    waves = [np.sin(x / 310), np.cos(y / 190), np.sin((x + y) / 230)]
    noise = np.random.default_rng(1).normal(0, 4, (height, width, 1)).astype(np.float32)
    return np.clip(127 + 90 * np.stack(waves, axis=-1) + noise, 0, 255).astype(np.uint8)


def timed(words: str, megapixels: float, work: Callable[[], object]) -> float:
    """Print and return the processor seconds that a piece of work takes."""
    wall, processor = time.perf_counter(), time.process_time()
    work()
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    rate = f"{megapixels / processor:6.1f} MP a second of the processor" if megapixels else ""
    print(f"{words:46s} {wall:6.2f} s, processor {processor:6.2f} s {rate}", flush=True)
    return processor


def whole_make(words: str, path: Path, size: str, *, times: int = 3) -> None:
    """Print the seconds of ``proofs make`` with four JPEG variants, a process of its own.

    Start-up, mock-ups, proof sheet and report are all in it; the quickest of several runs counts.
    Modules are compiled once, as they are where the program is installed.
    """
    compiled = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    entries = path.parent / "entries.csv"
    entries.write_text(f"file,size,crop\n{path.name},{size}\n")
    seconds = []
    for _ in range(times):
        wall, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
        command = [sys.executable, "-m", "proofs", "make", str(entries), *_HOW]
        out = tempfile.mkdtemp(dir=path.parent)
        # An image as large as its board breaks the mount's border, hence an exit code of 1.
        whole = [*command, "--out", out]
        subprocess.run(whole, check=False, stdout=subprocess.DEVNULL, env=compiled)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        processor = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        seconds.append((time.perf_counter() - wall, processor))
    wall, processor = (min(column) for column in zip(*seconds, strict=True))
    print(f"{words:46s} {wall:6.2f} s, processor {processor:6.2f} s, all cores", flush=True)


def in_full(made: Callable[[], pyvips.Image]) -> None:
    """Compute an image to its last pixel."""
    made().write_to_memory()


def by_float_cielab(base: ProfiledImage, target: bytes) -> pyvips.Image:
    """The conversion that is four times as slow: the curve on CIELAB in floating point."""
    source, end = vips.profile_file(base.profile), vips.profile_file(target)
    cielab_picture = base.image.icc_import(input_profile=source, intent="relative", pcs="lab")
    codes = cielab_picture[0].linear(655.35, 0.5).cast("ushort")
    curve = ToneAdjustment(0.10).curve()(np.linspace(0, 100, 65536)).astype(np.float32)
    lightness = codes.maplut(pyvips.Image.new_from_array(curve[None, :, None]))
    toned = lightness.bandjoin(cielab_picture.extract_band(1, n=2)).copy(interpretation="lab")
    return toned.icc_export(output_profile=end, intent="relative", depth=8)


def main() -> None:
    """Print the table."""
    threads = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    vips.prepare(threads)
    folder = Path(tempfile.mkdtemp())
    path = folder / "24.jpg"
    pyvips.Image.new_from_array(picture(6000, 4000)).jpegsave(str(path), Q=95)
    print(f"{threads} threads, source of {path.stat().st_size / 1e6:.1f} MB")
    timed("300 headers", 0, lambda: [read_facts(path) for _ in range(300)])
    photograph = decode(path)
    timed("decode 24 MP", 24, lambda: decode(path))

    def basis() -> ProfiledImage:
        return sized_for_print(photograph, turn=0, crop=None, size=PRINT, ppi=300)

    base = basis()
    timed("base, 20x16 in at 300 ppi", 28.8, basis)
    for name in ("srgb", "a98-rgb"):
        target = OutputSpace(spaces.built_in_profile(name), 8)
        fast = timed(
            f"tone and colour to {name}",
            28.8,
            partial(in_full, partial(converted, base, target, 0.10)),
        )
        slow = timed(
            f"the same through float CIELAB to {name}",
            28.8,
            partial(in_full, partial(by_float_cielab, base, spaces.built_in_profile(name))),
        )
        print(f"{'':46s} {slow / fast:.1f} times as fast")
    own = lab(format_=FileFormat.JPEG)
    darker = [density + 0.05 for density in DENSITIES]  # the unadjusted step would be a mere copy
    timed("four steps to srgb at once", 4 * 28.8, lambda: variant_images(base, own, darker))
    wide = ProfiledImage(base.image, spaces.built_in_profile("wide"))
    target = OutputSpace(spaces.built_in_profile("srgb"), 8)
    timed("ROMM class by matrices", 28.8, lambda: converted(wide, target, 0.10).write_to_memory())

    def whole() -> None:
        one = sized_for_print(decode(path), turn=0, crop=None, size=PRINT, ppi=300)
        images = variant_images(one, own, DENSITIES)
        with ThreadPoolExecutor(threads) as crew:
            list(crew.map(lambda image: encoded(image, own), images))

    timed("24 MP to four JPEG variants of 28.8 MP", 0, whole)
    whole_make("make, the largest on a board of 20x16 in", path, "largest,")
    whole_make("make, an image of 20x16 in", path, "20x16 in,5x4 centre")


if __name__ == "__main__":
    main()
