"""The small pictures on pages: files of their own, or parts of larger ones."""

import io
import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from proofs.pages.drawing import Page, Placed
from proofs.pages.mount_drawing import WHOLE

SHEET_PPI = 300
"""Of the page: most office printers show no more."""

_QUALITY = 90
_GAP = 1.1  # averages down to nearly the size before the finer filter: three times as fast
_AHEAD = 8  # mock-ups, 10 MB each unpacked, that may wait at a time


def small_jpeg(codes: NDArray[np.uint8]) -> bytes:
    """Return a small picture, an array of 8-bit sRGB, as JPEG."""
    return _jpeg(Image.fromarray(codes))


def _jpeg(image: Image.Image) -> bytes:
    stream = io.BytesIO()
    # Without tables of its own each is 2 % larger, and made in half the time (measured).
    image.save(stream, "JPEG", quality=_QUALITY)
    return stream.getvalue()


def sheet_jpeg(mockup: bytes, placed: Placed) -> bytes:
    """Return the part of a larger picture that a page shows, as JPEG in sRGB, at most 300 ppi."""
    crop = placed.crop
    box = (round(crop.left), round(crop.top), round(crop.right), round(crop.bottom))
    width = min(box[2] - box[0], max(1, round(placed.width / 72 * SHEET_PPI)))
    height = min(box[3] - box[1], max(1, round(placed.height / 72 * SHEET_PPI)))
    with Image.open(io.BytesIO(mockup), formats=["PNG", "JPEG"]) as image:
        part = image.convert("RGB").resize(
            (width, height), Image.Resampling.LANCZOS, box=box, reducing_gap=_GAP
        )
    return _jpeg(part)


@contextmanager
def sheet_pictures(
    pages: Sequence[Page], read: Callable[[str], bytes]
) -> Iterator[Callable[[str], bytes]]:
    """Yield a function that returns the JPEG of a placed picture, by its name.

    ``read`` returns the bytes of a file. A picture that is shown whole is a JPEG, and placed as it
    is; of any other, the part that the page shows is cut out. If the pages show several parts of
    one mock-up, the function must be called in the order of the pages. The next JPEGs are prepared
    on all cores while a page is drawn.
    """
    marks = (mark for page in pages for mark in page.marks if isinstance(mark, Placed))
    placed = [mark for mark in marks if mark.crop != WHOLE]
    cut = {mark.name for mark in placed}
    waiting: deque[Placed] = deque(placed)
    coming: deque[tuple[str, Future[bytes]]] = deque()
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:

        def picture(name: str) -> bytes:
            if name not in cut:
                return read(name)
            while waiting and len(coming) < _AHEAD:
                mark = waiting.popleft()
                coming.append((mark.name, pool.submit(lambda m: sheet_jpeg(read(m.name), m), mark)))
            # The first of this name: a mock-up of several pictures is used several times.
            for ready in coming:
                if ready[0] == name:
                    coming.remove(ready)
                    return ready[1].result()
            return sheet_jpeg(read(name), next(m for m in placed if m.name == name))

        yield picture
