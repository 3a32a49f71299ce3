"""The image library: set up once per process, and the profile files that it reads by name."""

import ctypes
import hashlib
import logging
import os
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pyvips

from proofs.outside.temporary_folders import temporary_folder_of_process

Image = pyvips.Image
"""An image of the library, for modules that only pass one on."""

# A JPEG with a gain map for HDR displays opens as the plain JPEG that it also is.
LOADERS = ("Jpeg", "Tiff", "Png", "Webp")
_OTHER_INTENT = "fallback to suggested"


@cache
def _set_up() -> None:
    _limit_blas_to_one_thread()
    # Cached operations are keyed by file name: a profile or picture rewritten under its old
    # name would come back with the old content.
    pyvips.cache_set_max(0)
    # The library detects formats by content, whatever the name: without this a text file that
    # begins with two numbers, or an SVG that costs minutes and gigabytes, counts as a picture.
    pyvips.operation_block_set("VipsForeignLoad", True)
    for name in LOADERS:
        pyvips.operation_block_set(f"VipsForeignLoad{name}", False)
    # The library's warnings are judged where a file is opened, and become findings there.
    logging.getLogger("pyvips").setLevel(logging.CRITICAL)
    # Its messages quote files, whose bytes may be text in any encoding.
    pyvips._to_string = pyvips.error._to_string = _as_text


def _as_text(pointer: Any) -> str:
    """The library's own text, whatever bytes it holds."""
    return "" if pointer == pyvips.ffi.NULL else pyvips.ffi.string(pointer).decode(errors="replace")


def _limit_blas_to_one_thread() -> None:
    """Keep numpy's matrix products on the calling thread.

    They are small and many: shared among threads that busy-wait for one another, they took
    ten times as long on a machine with other work (measured).
    """
    os.environ["OPENBLAS_NUM_THREADS"] = "1"  # for processes that this one starts
    for path in (Path(np.__file__).parent.parent / "numpy.libs").glob("*openblas*"):
        blas = ctypes.CDLL(str(path))
        for name in ("scipy_openblas_set_num_threads64_", "openblas_set_num_threads"):
            if hasattr(blas, name):
                getattr(blas, name)(1)


def prepare(threads: int = 1) -> None:
    """Set the library up for this process, with this many threads per picture.

    One of several worker processes uses one thread. Every public function of this folder runs
    the set-up itself; calling this more than once does no harm.
    """
    os.environ["VIPS_CONCURRENCY"] = str(threads)
    _set_up()
    pyvips.concurrency_set(threads)


def ready() -> None:
    """Set the library up with its own number of threads, unless that has been done."""
    _set_up()


def interpretation(bands: int, bits: int) -> str:
    """Return the library's name for an image with this many channels and bits per channel."""
    is_16_bit = bits == 16
    return {
        1: "grey16" if is_16_bit else "b-w",
        3: "rgb16" if is_16_bit else "srgb",
        4: "cmyk",
    }[bands]


@cache
def _profile_folder() -> Path:
    return temporary_folder_of_process("proofs-profiles-")


def profile_file(profile: bytes) -> str:
    """Return the name of a file that holds this profile until the process ends.

    The library takes profiles by file name only; the name is a hash of the content, so that
    no two profiles share one name.
    """
    path = _profile_folder() / f"{hashlib.sha256(profile).hexdigest()}.icc"
    if not path.exists():
        path.write_bytes(profile)
    return str(path)


@cache
def fallback_cmyk_profile() -> bytes:
    """Return the CMYK profile that comes with the library, for pictures without their own."""
    return bytes(pyvips.Operation.call("profile_load", "cmyk"))


def lightness_by_engine(profile: bytes, channels: int) -> tuple[float, ...]:
    """Return the L* that a profile gives to all channels at 0, in the middle, and at the highest.

    Raises ``ValueError`` where the colour engine cannot use it for this many channels.
    """
    ready()
    return _lightness_by_engine(profile_file(profile), channels)


@lru_cache(maxsize=100)  # the pictures of a run share few profiles
def _lightness_by_engine(profile: str, channels: int) -> tuple[float, ...]:
    codes = np.repeat(np.array([0, 128, 255], np.uint8)[None, :, None], channels, axis=2)
    pixels = pyvips.Image.new_from_array(codes, interpretation=interpretation(channels, 8))
    capture = _LogCapture()
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
    # The library silently falls back to another profile, or to another intent, which does no harm.
    if any(_OTHER_INTENT not in message for message in capture.messages):
        raise ValueError("the colour engine does not accept it")
    return tuple(float(colour[0]) for colour in colours[0])


class _LogCapture(logging.Handler):
    """Collects the library's log messages."""

    def __init__(self) -> None:
        super().__init__()
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Collect one message."""
        self.messages.append(record.getMessage())
