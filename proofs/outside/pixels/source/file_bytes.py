"""The bytes of a file, read when they are needed and never mapped into memory.

If another program cuts a mapped file short, the whole process ends with a bus error.
"""

import hashlib
import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import BinaryIO

_READ_AT_ONCE = 1 << 20


@dataclass(frozen=True, slots=True)
class FileBytes:
    """An open file of which slices can be read; what is no longer there reads as nothing.

    ``changes`` are bytes that read differently from those in the file, by their offsets.
    """

    file: BinaryIO
    length: int
    changes: Mapping[int, bytes] = field(default_factory=dict)

    def __len__(self) -> int:
        return self.length

    def __getitem__(self, part: slice) -> bytes:
        start, stop, step = part.indices(self.length)
        self.file.seek(start)
        found = self.file.read(max(stop - start, 0))
        return (self._changed(found, start) if self.changes else found)[::step]

    def _changed(self, found: bytes, start: int) -> bytes:
        """What was found at an offset, with the changes to it."""
        for at, new in self.changes.items():
            first, last = max(at, start), min(at + len(new), start + len(found))
            if first < last:
                inside = new[first - at : last - at]
                found = found[: first - start] + inside + found[last - start :]
        return found

    def __bytes__(self) -> bytes:
        return self[:]


def file_bytes(file: BinaryIO) -> FileBytes:
    """Return an open file as bytes, with its present length."""
    return FileBytes(file, os.fstat(file.fileno()).st_size)


def sha256_of_content(content: bytes | FileBytes) -> str:
    """Return the SHA-256 of a file's bytes in hexadecimal; of a file, it is read piece by piece."""
    digest = hashlib.sha256()
    for start in range(0, len(content), _READ_AT_ONCE):
        digest.update(content[start : start + _READ_AT_ONCE])
    return digest.hexdigest()
