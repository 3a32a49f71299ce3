"""The bytes of a file, read when they are needed and never mapped into memory.

If another program cuts a mapped file short, the whole process ends with a bus error.
"""

import os
from dataclasses import dataclass
from typing import BinaryIO


@dataclass(frozen=True, slots=True)
class FileBytes:
    """An open file of which slices can be read; what is no longer there reads as nothing."""

    file: BinaryIO
    length: int

    def __len__(self) -> int:
        return self.length

    def __getitem__(self, part: slice) -> bytes:
        start, stop, step = part.indices(self.length)
        self.file.seek(start)
        return self.file.read(max(stop - start, 0))[::step]

    def __bytes__(self) -> bytes:
        return self[:]


def file_bytes(file: BinaryIO) -> FileBytes:
    """Return an open file as bytes, with its present length."""
    return FileBytes(file, os.fstat(file.fileno()).st_size)
