"""Zip archives of uncompressed files: the same files give the same bytes."""

import shutil
import zipfile
from collections.abc import Sequence
from pathlib import Path

from proofs.outside.files import writing

_FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # the earliest date in a zip; true times would differ each run
_UNIX, _PLAIN_FILE = 3, 0o100644 << 16


def write_zip(path: Path, folder: Path, names: Sequence[str]) -> None:
    """Write an archive of a folder's files, uncompressed; in ZIP64 if that is needed.

    Raises ``WriteError`` if the archive cannot be written.
    """
    with writing(path), zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as archive:
        for name in names:
            info = zipfile.ZipInfo(name, _FIRST_DAY)
            info.create_system, info.external_attr = _UNIX, _PLAIN_FILE
            info.file_size = (folder / name).stat().st_size
            with (folder / name).open("rb") as source, archive.open(info, "w") as target:
                shutil.copyfileobj(source, target)
