"""The picture library, set up once a process, and the profile files it wants to be named."""

import atexit
import ctypes
import hashlib
import logging
import os
import shutil
import tempfile
from functools import cache
from pathlib import Path

import numpy as np
import pyvips

Image = pyvips.Image
"""A picture of the library, for modules that only pass one on."""

# A JPEG with a gain map for bright screens opens as the plain JPEG it also is.
LOADERS = ("Jpeg", "Tiff", "Png", "Webp")


@cache
def _set_up() -> None:
    _let_algebra_run_alone()
    # Cached operations are keyed by file name: a profile or picture written anew under its
    # old name would come back with the old content.
    pyvips.cache_set_max(0)
    # Content is sniffed, whatever the name: without this a text file that opens with two
    # numbers, or an SVG that costs minutes and gigabytes, counts as a picture.
    pyvips.operation_block_set("VipsForeignLoad", True)
    for name in LOADERS:
        pyvips.operation_block_set(f"VipsForeignLoad{name}", False)
    # The library's warnings are judged where a file is opened, and become findings there.
    logging.getLogger("pyvips").setLevel(logging.CRITICAL)


def _let_algebra_run_alone() -> None:
    """Keep numpy's matrix products on the thread that asks for them.

    They are small here and many: shared out among threads that wait busily for one another,
    they took ten times as long on a machine with other work (measured).
    """
    os.environ["OPENBLAS_NUM_THREADS"] = "1"  # for processes that this one starts
    for path in (Path(np.__file__).parent.parent / "numpy.libs").glob("*openblas*"):
        algebra = ctypes.CDLL(str(path))
        for name in ("scipy_openblas_set_num_threads64_", "openblas_set_num_threads"):
            if hasattr(algebra, name):
                getattr(algebra, name)(1)


def prepare(threads: int = 1) -> None:
    """Set the library up for this process, with so many threads a picture.

    A worker process among several takes one. Every public function of this folder calls the
    set-up itself; calling this more than once does no harm.
    """
    os.environ["VIPS_CONCURRENCY"] = str(threads)
    _set_up()
    pyvips.concurrency_set(threads)


def ready() -> None:
    """Set the library up as it comes, unless that has been done."""
    _set_up()


@cache
def _profile_folder() -> Path:
    folder = Path(tempfile.mkdtemp(prefix="proofs-profiles-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


@cache
def profile_file(profile: bytes) -> str:
    """Return the name of a file that holds this profile until the process ends.

    The library takes profiles by file name only; the name is made from the content, so that
    one name never stands for two profiles.
    """
    path = _profile_folder() / f"{hashlib.sha256(profile).hexdigest()}.icc"
    if not path.exists():
        path.write_bytes(profile)
    return str(path)


@cache
def fallback_cmyk_profile() -> bytes:
    """Return the CMYK profile that comes with the library, for pictures without their own."""
    return bytes(pyvips.Operation.call("profile_load", "cmyk"))


@cache
def engine_accepts(profile: bytes, channels: int) -> bool:
    """Return whether the colour engine can take pictures of so many channels by this profile.

    The library falls back to another profile without a word in its result; only its log tells.
    """
    ready()
    name = {1: "b-w", 3: "srgb", 4: "cmyk"}[channels]
    spot = pyvips.Image.black(1, 1, bands=channels).copy(interpretation=name)
    heard = _LogCapture()
    log = logging.getLogger("pyvips")
    level = log.level
    log.addHandler(heard)
    log.setLevel(logging.WARNING)
    try:
        spot.icc_import(input_profile=profile_file(profile), intent="relative").avg()
    except pyvips.Error:
        return False
    finally:
        log.removeHandler(heard)
        log.setLevel(level)
    return not heard.messages


class _LogCapture(logging.Handler):
    """Keeps what the library says to its log."""

    def __init__(self) -> None:
        super().__init__()
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one message."""
        self.messages.append(record.getMessage())
