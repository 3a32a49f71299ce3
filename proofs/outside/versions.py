"""The versions of everything that makes the bytes of a file: this program, and its libraries."""

import hashlib
import platform
import zlib
from functools import cache
from importlib import metadata
from pathlib import Path

from proofs import __version__

_PACKAGES = (
    *("numpy", "pillow", "pypdfium2", "python-bidi", "pyvips", "pyvips-binary", "reportlab"),
    *("segno", "ttf-opensans"),
)
_HERE = Path(__file__).resolve().parents[1]


@cache
def versions() -> tuple[tuple[str, str], ...]:
    """Return each part by its name, with its version; blank for a package that is not installed.

    The program counts by its code too: in a folder of source code that changes before its number
    does. So does the kind of processor, on which arithmetic may be rounded in another way.
    """
    packages = ((name, _version(name)) for name in _PACKAGES)
    own = (("proofs", f"{__version__} {_code_sha256()}"), ("machine", platform.machine()))
    return (*own, ("zlib", zlib.ZLIB_RUNTIME_VERSION), *packages)


def _version(package: str) -> str:
    try:
        return metadata.version(package)
    except metadata.PackageNotFoundError:
        return ""


def _code_sha256() -> str:
    digest = hashlib.sha256()
    for path in sorted(_HERE.rglob("*.py")):
        digest.update(path.relative_to(_HERE).as_posix().encode() + b"\0")
        digest.update(path.read_bytes() + b"\0")
    return digest.hexdigest()
