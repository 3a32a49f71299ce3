"""Good small files of every format that the program reads, to be spoilt."""

import io
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import reportlab
from PIL import Image

from proofs.lengths import inches
from proofs.outside.pixels.colour import spaces
from proofs.outside.profiles import profile_folders
from proofs.records.profile_kinds import KINDS
from tests.assault.deliveries import make_deliveries
from tests.command import gradient
from tests.inspection.print_and_scan import Scan, scanned, sheet
from tests.labs import RAG
from tests.outside.pixels.files import as_bytes, exif_of_a_camera
from tests.outside.pixels.little_cms import printer_profile
from tests.outside.pixels.pictures import tiff


@dataclass(frozen=True, slots=True)
class Materials:
    """Good files by kind, each in a fixed order; ``deliveries`` is a folder of whole deliveries."""

    pictures: tuple[tuple[str, bytes], ...]
    scans: tuple[tuple[str, bytes], ...]
    icc: tuple[bytes, ...]
    profiles: dict[str, tuple[str, ...]]
    font: bytes
    deliveries: Path

    @property
    def all_pictures(self) -> tuple[bytes, ...]:
        """The bytes of all pictures, to splice others with."""
        return tuple(content for _, content in self.pictures)


def make_materials(folder: Path) -> Materials:
    """Make all good files; ``folder`` is empty, and keeps the deliveries."""
    deliveries = folder / "deliveries"
    deliveries.mkdir()
    make_deliveries(deliveries)
    shipped = profile_folders(None).folders[0]
    return Materials(
        pictures=tuple(_pictures(folder)),
        scans=tuple(scans()),
        icc=(
            *(spaces.built_in_profile(name) for name in ("srgb", "a98-rgb")),
            printer_profile(RAG),
        ),
        profiles={
            kind: tuple(p.read_text(encoding="utf-8") for p in sorted((shipped / kind).glob("*")))
            for kind in KINDS
        },
        font=(Path(reportlab.__file__).parent / "fonts" / "Vera.ttf").read_bytes(),
        deliveries=deliveries,
    )


def picture_bytes() -> bytes:
    """Return a good JPEG of 240 x 160 pixels."""
    return as_bytes(_plain(), "JPEG", quality=90)


def _plain(width: int = 240, height: int = 160) -> Image.Image:
    rows, columns = np.mgrid[0:height, 0:width] / width
    grain = np.random.default_rng(7).normal(0, 12, (height, width, 3))
    shape = np.stack([rows, columns, 1 - rows], axis=-1) * 180 + 30 + grain
    return Image.fromarray(shape.clip(0, 255).astype(np.uint8))


def _pictures(folder: Path) -> list[tuple[str, bytes]]:
    """Pictures of every format, each with the name for its file."""
    image, srgb = _plain(), spaces.built_in_profile("srgb")
    camera = exif_of_a_camera(2, "R03")
    exif = Image.Exif()
    exif.update({0x0112: 6, 0x010E: "Pier", 0x8298: "A. Maker", 0x011A: 240.0})
    made = [
        ("a.jpg", as_bytes(image, "JPEG", quality=90, icc_profile=srgb, exif=exif)),
        ("a.jpg", as_bytes(image, "JPEG", progressive=True, subsampling=0, exif=camera)),
        ("a.jpg", as_bytes(image.convert("CMYK"), "JPEG")),
        ("a.jpg", as_bytes(image.convert("L"), "JPEG", dpi=(300, 300), comment=b"words")),
        ("a.png", as_bytes(image, "PNG", icc_profile=srgb, dpi=(300, 300), exif=exif)),
        ("a.png", as_bytes(image.convert("P"), "PNG", transparency=3)),
        ("a.png", as_bytes(image.convert("RGBA"), "PNG")),
        ("a.png", as_bytes(image.convert("1"), "PNG")),
        ("a.png", as_bytes(image.convert("L").convert("I;16"), "PNG")),
        ("a.webp", as_bytes(image, "WEBP", quality=80, icc_profile=srgb, exif=exif)),
        ("a.webp", as_bytes(image.convert("RGBA"), "WEBP", lossless=True)),
    ]
    pixels = np.asarray(image)
    deep = (pixels.astype("u2") * 257, pixels[..., 0].astype("f4") / 255)
    options: tuple[tuple[Any, dict[str, Any]], ...] = (
        (pixels, {"compression": "deflate", "predictor": 2, "icc_profile": srgb}),
        (pixels, {"tile": (64, 64), "compression": "lzw", "resolution": (300, 300)}),
        (pixels, {"bigtiff": True}),
        (deep[0], {"byteorder": ">", "rowsperstrip": 16}),
        (deep[1], {"photometric": "minisblack"}),
        (np.moveaxis(pixels, 2, 0).copy(), {"planarconfig": "separate"}),
        (pixels, {"photometric": "cielab"}),
        (pixels, {"compression": "jpeg", "photometric": "rgb"}),
        (np.stack([pixels, pixels]), {}),
    )
    for array, more in options:
        path = tiff(folder / "made.tif", array, **more)
        made.append(("a.tif", path.read_bytes()))
        path.unlink()
    return made


def scans() -> list[tuple[str, bytes]]:
    """Scans of a sheet with a wedge: a plain one, a turned and noisy one, and the wedge alone."""
    made = []
    for scan in (
        Scan(ppi=60, offset=0.04),
        Scan(ppi=60, turn=7, noise=3, gradient=0.2),
        Scan(ppi=60, width=inches("1.5"), surroundings=False, veil=0.02),
    ):
        image = Image.fromarray(scanned(sheet(scan), scan))
        made.append(("scan.png", as_bytes(image, "PNG")))
        made.append(("scan.jpg", as_bytes(image, "JPEG", quality=85)))
    return made


def redrawn(content: bytes, rng: Random) -> bytes:
    """Return a good picture cropped, stretched, inverted, stained or made tiny."""
    with Image.open(io.BytesIO(content)) as opened:
        image = opened.convert("L")
    for _ in range(rng.choice((1, 1, 2))):
        way = rng.choice((*_TONES, *_SHAPES, "stain", "flat"))
        if way in _TONES:
            image = _with_other_tones(image, way, rng)
        elif way in _SHAPES:
            image = _of_other_shape(image, way, rng)
        elif way == "stain":
            x, y, code = rng.randrange(image.width), rng.randrange(image.height), rng.randrange(256)
            image.paste(code, (x, y, x + rng.randrange(1, 200), y + rng.randrange(1, 200)))
        else:
            image = Image.new("L", image.size, rng.choice((0, 1, 127, 254, 255)))
    return as_bytes(image, rng.choice(("PNG", "JPEG")))


_TONES = ("grain", "tone", "invert")
_SHAPES = ("slant", "crop", "stretch", "tiny", "turn")


def _with_other_tones(image: Image.Image, way: str, rng: Random) -> Image.Image:
    if way == "invert":
        return image.point([255 - code for code in range(256)])
    if way == "tone":
        power = rng.choice((0.3, 0.7, 1.4, 3.0))
        return image.point([round(255 * (code / 255) ** power) for code in range(256)])
    noise = np.random.default_rng(rng.getrandbits(32)).normal(0, 8, (image.height, image.width))
    return Image.fromarray((np.asarray(image) + noise).clip(0, 255).astype(np.uint8))


def _of_other_shape(image: Image.Image, way: str, rng: Random) -> Image.Image:
    width, height = image.size
    if way == "crop":
        x, y = rng.randrange(width), rng.randrange(height)
        return image.crop((x, y, rng.randrange(x, width) + 1, rng.randrange(y, height) + 1))
    if way == "slant":
        return image.rotate(rng.uniform(-20, 20), expand=True, fillcolor=230)
    if way == "turn":
        return image.rotate(rng.randrange(360), expand=True, fillcolor=rng.randrange(256))
    sides = range(1, 900) if way == "stretch" else (1, 2, 3, 80)
    return image.resize((rng.choice(sides), rng.choice(sides)))


def write_pictures(folder: Path) -> None:
    """Write two good pictures, ``a.jpg`` and ``b.jpg``, into a folder."""
    for seed, name in enumerate(("a.jpg", "b.jpg")):
        gradient(folder / name, 240, 160, seed=seed)
