"""Zip archives of uncompressed files: the same files give the same bytes."""

import shutil
import zipfile
from collections.abc import Sequence
from pathlib import Path

from proofs.errors import WriteError

_FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # the earliest date in a zip; true times would differ each run
_UNIX, _PLAIN_FILE = 3, 0o100644 << 16


def write_zip(path: Path, folder: Path, names: Sequence[str]) -> None:
    """Write an archive of a folder's files, uncompressed; in ZIP64 where that is needed.

    Raises ``WriteError`` where the archive cannot be written.
    """
    try:
        with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED, allowZip64=True) as archive:
            for name in names:
                info = zipfile.ZipInfo(name, _FIRST_DAY)
                info.create_system, info.external_attr = _UNIX, _PLAIN_FILE
                info.file_size = (folder / name).stat().st_size
                with (folder / name).open("rb") as source, archive.open(info, "w") as target:
                    shutil.copyfileobj(source, target)
    except OSError as fault:
        raise WriteError(f"{path}: cannot be written: {fault.strerror}") from fault
