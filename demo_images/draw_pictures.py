"""The pictures of the README and the manual, made by the program from the demo.

``python demo_images/draw_pictures.py`` runs the program on a copy of the demo, renders the pages
that the texts show, and replaces all pictures in ``demo_images/shown/``. The same version of the
program always gives the same pictures.
"""

import io
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pypdfium2
from PIL import Image, ImageChops

DEMO = Path(__file__).resolve().parent
SHOWN = DEMO / "shown"
MOST_BYTES = 250_000
_WIDE = 900  # pixels: about as wide as a code host shows a text
_POINTS_PER_INCH = 72
_EDGE = 24  # pixels of white that stay round a page
_QUALITY = 86
_READINGS = """number,image_width,image_height
1,12 1/16 in,8 in
2,8 3/16 in,10 1/4 in
3,12 1/8 in,12 1/8 in
4,16 1/8 in,5 3/8 in
5,15 1/8 in,12 1/8 in
6,16 1/8 in,10 3/4 in
7,16 1/8 in,10 3/4 in
8,10 in,6 11/16 in
9,7 7/8 in,11 13/16 in
10,11 3/16 in,14 in
"""

RUNS = (
    "make pictures --out READY --soft-proof",
    "strip pictures --out STRIPS",
    "deliver pictures --lab srgb-jpeg-300 --out LAB --density 0 --anyway --needed-by 2030-02-15",
    "arrived pictures --from readings.csv",
    "mount pictures --out BENCH --anyway",
)
"""What is typed; all but ``arrived`` end with exit code 1, for one entry breaks a rule."""

PICTURES: dict[str, Callable[[Path], Image.Image]] = {
    "hang.jpg": lambda run: _opened(run / "READY/hang.png"),
    "mockup-front.jpg": lambda run: _opened(run / "READY/mockups/1_evening-watch_b_front.png"),
    "mockup-back.png": lambda run: _opened(run / "READY/mockups/1_evening-watch_back.png"),
    "proof-sheet.jpg": lambda run: _page(run / "READY/proof-sheet.pdf", "Against the limit"),
    "proof-sheet-entry.jpg": lambda run: _page(run / "READY/proof-sheet.pdf", "too close to the"),
    "soft-proof.png": lambda run: _page(run / "READY/soft-proof.pdf", "Green fire"),
    "test-strip.jpg": lambda run: _opened(run / "STRIPS/strips/strip-1.jpg"),
    "delivery-ticket.png": lambda run: _page(run / "LAB/ticket.pdf", "Evening watch"),
    "cutting-guide.png": lambda run: _page(run / "BENCH/mounting.pdf", "Evening watch"),
    "labels.png": lambda run: _page(run / "BENCH/labels.pdf", "Four pears"),
}
"""The pictures by name; a page is the first that holds the words."""


def main() -> None:
    """Run the program on a copy of the demo and replace the pictures."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _prepare(folder)
        for run in RUNS:
            _typed(run, folder)
        drawn = {name: _packed(draw(folder), name) for name, draw in PICTURES.items()}
    shutil.rmtree(SHOWN, ignore_errors=True)
    SHOWN.mkdir()
    for name, content in drawn.items():
        (SHOWN / name).write_bytes(content)
        print(f"{name}: {len(content) / 1000:.0f} kB")


def _prepare(folder: Path) -> None:
    (folder / "pictures").mkdir()
    for path in [*DEMO.glob("*.jpg"), DEMO / "entries.csv"]:
        shutil.copy(path, folder / "pictures")
    (folder / "readings.csv").write_text(_READINGS, encoding="utf-8")


def _typed(run: str, folder: Path) -> None:
    words = [sys.executable, "-m", "proofs", *run.split()]
    done = subprocess.run(words, cwd=folder, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 1):
        raise SystemExit(f"proofs {run}: exit code {done.returncode}\n{done.stdout}{done.stderr}")


def _opened(path: Path) -> Image.Image:
    with Image.open(path) as image:
        return image.convert("RGB")


def _page(path: Path, words: str) -> Image.Image:
    """The first page of a PDF that holds these words, without the empty paper round it."""
    document = pypdfium2.PdfDocument(path)
    try:
        for page in document:
            if words in " ".join(page.get_textpage().get_text_range().split()):
                scale = _WIDE / page.get_width()
                return _trimmed(page.render(scale=scale).to_pil().convert("RGB"))
    finally:
        document.close()
    raise SystemExit(f"{path.name}: no page holds {words!r}; name other words in PICTURES")


def _trimmed(page: Image.Image) -> Image.Image:
    empty = Image.new("RGB", page.size, page.getpixel((0, 0)))
    box = ImageChops.difference(page, empty).getbbox()
    if box is None:
        return page
    left, top, right, bottom = box
    return page.crop(
        (
            max(left - _EDGE, 0),
            max(top - _EDGE, 0),
            min(right + _EDGE, page.width),
            min(bottom + _EDGE, page.height),
        )
    )


def _packed(image: Image.Image, name: str) -> bytes:
    """A picture as a file of at most ``MOST_BYTES``, no wider than the texts need it."""
    if image.width > _WIDE:
        size = (_WIDE, round(image.height * _WIDE / image.width))
        image = image.resize(size, Image.Resampling.LANCZOS)
    if name.endswith(".jpg"):
        content = _encoded(image, "JPEG", quality=_QUALITY)
    else:
        content = _encoded(image, "PNG")
        if len(content) > MOST_BYTES:
            content = _encoded(image.quantize(256), "PNG")
    if len(content) > MOST_BYTES:
        raise SystemExit(f"{name}: {len(content)} bytes, more than {MOST_BYTES}")
    return content


def _encoded(image: Image.Image, kind: str, **how: int) -> bytes:
    packed = io.BytesIO()
    image.save(packed, kind, optimize=True, **how)
    return packed.getvalue()


if __name__ == "__main__":
    main()
