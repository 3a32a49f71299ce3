"""The versions of everything that makes the bytes of a file: this program, and its libraries."""

import hashlib
import platform
import zlib
from functools import cache
from importlib import metadata
from pathlib import Path

from proofs import __version__

PACKAGES = (
    *("holidays", "icalendar", "imagecodecs", "numpy", "pillow", "pypdfium2", "python-bidi"),
    *("pyvips", "pyvips-binary", "reportlab", "segno", "tifffile", "ttf-opensans"),
)
"""The packages that make bytes of files."""

_HERE = Path(__file__).resolve().parents[1]


@cache
def versions() -> tuple[tuple[str, str], ...]:
    """Return each part by its name, with its version; blank for a package that is not installed.

    The program counts by its code too: in a folder of source code that changes before its number
    does. So does the kind of processor, on which arithmetic may be rounded in another way.
    """
    packages = ((name, _version(name)) for name in PACKAGES)
    own = (("proofs", f"{__version__} {code_sha256(_HERE)}"), ("machine", platform.machine()))
    return (*own, ("zlib", zlib.ZLIB_RUNTIME_VERSION), *packages)


def _version(package: str) -> str:
    try:
        return metadata.version(package)
    except metadata.PackageNotFoundError:
        return ""


def code_sha256(folder: Path) -> str:
    """Return the digest of all Python code below a folder."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.relative_to(folder).as_posix().encode() + b"\0")
        digest.update(path.read_bytes() + b"\0")
    return digest.hexdigest()
