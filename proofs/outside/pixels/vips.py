"""The image library: set up once per process, and the profile files that it reads by name."""

import ctypes
import logging
import os
import threading
from collections.abc import Callable
from functools import cache, lru_cache
from logging.handlers import BufferingHandler
from pathlib import Path
from typing import Any

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.files import sha256_of_bytes
from proofs.outside.machine import keep_freed_memory
from proofs.outside.temporary_folders import temporary_folder_of_process

Image = pyvips.Image
"""An image of the library, for modules that only pass one on."""

# A JPEG with a gain map for HDR displays opens as the plain JPEG that it also is.
_LOADERS = ("Jpeg", "Tiff", "Png", "Webp")
_OTHER_INTENT = "fallback to suggested"
_MOST_MESSAGES = 1000
_WRITING = threading.Lock()
_CODES: dict[str, type[np.uint8] | type[np.uint16]] = {"uchar": np.uint8, "ushort": np.uint16}


@cache
def ready() -> None:
    """Set the library up with its own number of threads, unless that has been done."""
    _limit_blas_to_one_thread()
    keep_freed_memory()
    # Cached operations are keyed by file name: a profile or picture rewritten under its old
    # name would come back with the old content.
    pyvips.cache_set_max(0)
    # The library detects formats by content alone. Without this, a text file that begins with
    # two numbers would count as a picture, and so would an SVG that takes minutes and gigabytes.
    pyvips.operation_block_set("VipsForeignLoad", True)
    for name in _LOADERS:
        pyvips.operation_block_set(f"VipsForeignLoad{name}", False)
    # Where a file is opened, the library's warnings become findings.
    logging.getLogger("pyvips").setLevel(logging.CRITICAL)
    # Its messages quote files, whose text may be in any encoding.
    pyvips._to_string = pyvips.error._to_string = _as_text


def _as_text(pointer: Any) -> str:
    """A text of the library; bytes that are not UTF-8 are replaced."""
    return "" if pointer == pyvips.ffi.NULL else pyvips.ffi.string(pointer).decode(errors="replace")


def _limit_blas_to_one_thread() -> None:
    """Keep numpy's matrix products on the calling thread.

    There are many small ones. Shared among threads that busy-wait for one another, they took
    ten times as long on a busy machine (measured).
    """
    os.environ["OPENBLAS_NUM_THREADS"] = "1"  # for processes that this one starts
    for path in (Path(np.__file__).parent.parent / "numpy.libs").glob("*openblas*"):
        blas = ctypes.CDLL(str(path))
        for name in ("scipy_openblas_set_num_threads64_", "openblas_set_num_threads"):
            if hasattr(blas, name):
                getattr(blas, name)(1)


def prepare(threads: int = 1) -> None:
    """Set the library up for this process, with this many threads per picture.

    Where several worker processes share the work, each uses one thread. Public functions of this
    folder set the library up themselves; calling this more than once does no harm.
    """
    os.environ["VIPS_CONCURRENCY"] = str(threads)
    ready()
    pyvips.concurrency_set(threads)


def interpretation(bands: int, bits: int) -> str:
    """Return the library's name for an image with this many channels and bits per channel."""
    names = {1: "grey16", 3: "rgb16"} if bits == 16 else {1: "b-w", 3: "srgb"}
    return "cmyk" if bands == 4 else names[bands]


def image_of_codes(codes: NDArray[Any]) -> pyvips.Image:
    """Return codes of 8 or 16 bits (rows, columns, channels) as an image, without copying them."""
    name = interpretation(codes.shape[2], 8 * codes.itemsize)
    return pyvips.Image.new_from_array(codes, interpretation=name)


def kind_of(image: pyvips.Image) -> type[np.uint8] | type[np.uint16]:
    """Return the type of an image's codes, of 8 or 16 bits."""
    return _CODES[image.format]


def row_reader(image: pyvips.Image) -> Callable[[int, int], NDArray[Any]]:
    """Return a function that computes the rows from one to another, the last one excluded.

    They are codes of 8 or 16 bits (rows, columns, channels). Nothing else of the image is held, and
    its operations are set up once. Each thread needs a function of its own.
    """
    region = pyvips.Region.new(image)
    kind = kind_of(image)

    def rows(first: int, last: int) -> NDArray[Any]:
        codes = np.frombuffer(region.fetch(0, first, image.width, last - first), kind)
        return codes.reshape(last - first, image.width, image.bands)

    return rows


def field_bytes(image: pyvips.Image, name: str) -> bytes:
    """Return the bytes of a field of an opened picture, such as its EXIF; empty without it."""
    return bytes(image.get(name)) if image.get_typeof(name) else b""


@cache
def _profile_folder() -> Path:
    return temporary_folder_of_process("proofs-profiles-")


def profile_file(profile: bytes) -> str:
    """Return the name of a file that holds this profile until the process ends.

    The library takes profiles by file name only. The name is a hash of the content, so no two
    profiles share one.
    """
    path = _profile_folder() / f"{sha256_of_bytes(profile)}.icc"
    with _WRITING:  # another thread must never find half of it
        if not path.exists():
            part = path.with_suffix(".part")  # nor a later call what a full disk cut short
            part.write_bytes(profile)
            part.replace(path)
    return str(path)


@cache
def fallback_cmyk_profile() -> bytes:
    """Return the CMYK profile that comes with the library, for pictures without their own."""
    return bytes(pyvips.Operation.call("profile_load", "cmyk"))


def lightness_by_engine(profile: bytes, channels: int) -> tuple[float, ...]:
    """Return the L* of the lowest, middle and highest code of a profile, equal in all channels.

    Raises ``ValueError`` if the colour engine cannot use the profile for this many channels.
    """
    ready()
    return _lightness_by_engine(profile_file(profile), channels)


@lru_cache(maxsize=100)  # the pictures of a run share few profiles
def _lightness_by_engine(profile: str, channels: int) -> tuple[float, ...]:
    codes = np.repeat(np.array([0, 128, 255], np.uint8)[None, :, None], channels, axis=2)
    pixels = image_of_codes(codes)
    capture = BufferingHandler(_MOST_MESSAGES)
    log = logging.getLogger("pyvips")
    level = log.level
    log.addHandler(capture)
    log.setLevel(logging.WARNING)
    try:
        colours = pixels.icc_import(input_profile=profile, intent="relative", pcs="lab").numpy()
    except pyvips.Error:
        raise ValueError("the colour engine does not accept it") from None
    finally:
        log.removeHandler(capture)
        log.setLevel(level)
    # If the library falls back to another profile, it only logs that; another intent does no harm.
    if any(_OTHER_INTENT not in record.getMessage() for record in capture.buffer):
        raise ValueError("the colour engine does not accept it")
    return tuple(float(colour[0]) for colour in colours[0])
