"""All mounts of a run on one wall, as pixels: a strip of wall for each row, one at a time."""

import io
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from PIL import Image

from proofs.lengths import PixelSize
from proofs.outside.bevels import Codes
from proofs.outside.fonts import Fonts
from proofs.outside.ground import Shadow, board_of, cast_shadow, fill
from proofs.outside.marks_on_pixels import Pen
from proofs.outside.png import png_of_strips
from proofs.pages.setting import shortened
from proofs.pages.typography import REGULAR, SEMIBOLD
from proofs.plan.entry.mockup import GROUND_PX, HUNG_SHRINK, PX_PER_INCH, Box, Colour
from proofs.plan.wall.hang import Hang, HungMount, HungRow, Wall

WALL = Wall(
    most_width=8000,
    most_height=8000,
    largest=PX_PER_INCH / HUNG_SHRINK,
    title=52,
    heading=68,
    least_gap=24,
)
PLASTER: Colour = (172, 172, 172)
"""The wall: a neutral grey of L* 70 that white boards and black ones stand out from."""

INK: Colour = (52, 52, 52)
_TITLE, _HEADING = 22.0, 30.0  # sizes of type, in pixels
_TITLE_DROP, _HEADING_DROP = 38.0, 34.0  # of a baseline
_WORD_GAP = 10.0
_SHADOWS = (Shadow(0.38, 0.05, 0.02, 0.04), Shadow(0.34, 0.42, 0.16, 0.42))  # in inches
_REACH = 1.9  # inches round a mount in which they end


@dataclass(frozen=True, slots=True)
class Caption:
    """The words below a mount."""

    number: str
    title: str


def hung_codes(mockup: Codes) -> Codes:
    """Return the board of a mock-up as it hangs at the largest scale."""
    height, width = board_of(mockup).shape[:2]
    area = (GROUND_PX, GROUND_PX, GROUND_PX + width, GROUND_PX + height)
    return np.asarray(Image.fromarray(mockup).reduce(HUNG_SHRINK, area))


def hang_png(
    hang: Hang, captions: Sequence[Caption], read: Callable[[int], bytes], fonts: Fonts
) -> bytes:
    """Return the wall as PNG.

    ``captions`` are those of the mounts by their places; ``read`` returns the picture of one, as
    ``hung_codes`` makes it, in an encoded file.
    """
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        strips = _strips(hang, captions, read, fonts, pool)
        return png_of_strips(strips, PixelSize(hang.width, hang.height), hang.scale)


def _strips(
    hang: Hang,
    captions: Sequence[Caption],
    read: Callable[[int], bytes],
    fonts: Fonts,
    pool: ThreadPoolExecutor,
) -> Iterator[Codes]:
    shadows = [
        Shadow(s.depth, s.blur * hang.scale, s.right * hang.scale, s.down * hang.scale)
        for s in _SHADOWS
    ]
    for row in hang.rows:
        strip = np.empty((row.bottom - row.top, hang.width, 3), np.uint8)
        fill(strip, PLASTER)
        for mount in row.mounts:
            left, top = mount.left, mount.top - row.top
            box = Box(left, top, left + mount.width, top + mount.height)
            cast_shadow(strip, box, shadows, reach=round(_REACH * hang.scale))
        pictures = pool.map(lambda m: _picture(read(m.place), m), row.mounts)
        for mount, picture in zip(row.mounts, pictures, strict=True):
            top = mount.top - row.top
            strip[top : top + mount.height, mount.left : mount.right] = picture
        yield _with_words(strip, row, captions, fonts)


def _picture(content: bytes, mount: HungMount) -> Codes:
    """A mount in exactly the pixels that it has on the wall."""
    size = (mount.width, mount.height)
    with Image.open(io.BytesIO(content), formats=["JPEG"]) as image:
        shown = image.convert("RGB")
        if shown.size != size:
            shown = shown.resize(size, Image.Resampling.LANCZOS)
        return np.asarray(shown)


def _with_words(strip: Codes, row: HungRow, captions: Sequence[Caption], fonts: Fonts) -> Codes:
    """The strip with its heading, and with a caption below each mount."""
    image = Image.fromarray(strip)
    pen = Pen(image, fonts, INK)
    baseline = row.headings_top - row.top + _HEADING_DROP
    for heading in row.headings:
        _write_line(pen, (heading.left, baseline), [(heading.words, SEMIBOLD)], heading.width)
    baseline = row.captions_top - row.top + _TITLE_DROP
    for mount in row.mounts:
        caption = captions[mount.place]
        words = [(caption.number, SEMIBOLD), (caption.title, REGULAR)]
        _write_line(pen, (mount.left, baseline), words, mount.width, size=_TITLE)
    return np.asarray(image)


def _write_line(
    pen: Pen,
    place: tuple[float, float],
    words: Sequence[tuple[str, str]],
    room: int,
    *,
    size: float = _HEADING,
) -> None:
    """Write texts, each with its weight, from the left, cut to fit; no ellipsis stands alone."""
    x, y = place
    for text, weight in words:
        left = room - (x - place[0])
        line = _cut(pen, (text, weight), size, left)
        wide = pen.width(line, weight, size)
        if wide > left or line == "…":
            break
        pen.write((x, y), line, weight, size)
        x += wide + _WORD_GAP


def _cut(pen: Pen, words: tuple[str, str], size: float, room: float) -> str:
    """A text, given with its weight, cut to fit a room."""
    text, weight = words
    return shortened(text, room, lambda part: pen.width(part, weight, size))
