"""The bytes of a file, read where they are asked for and never mapped.

A mapped file that another program cuts short ends the whole process with a bus error.
"""

import os
from dataclasses import dataclass
from typing import BinaryIO, overload


@dataclass(frozen=True, slots=True)
class FileBytes:
    """An open file as a sequence of bytes; what is no longer there reads as nothing."""

    file: BinaryIO
    length: int

    def __len__(self) -> int:
        return self.length

    @overload
    def __getitem__(self, where: int) -> int: ...
    @overload
    def __getitem__(self, where: slice) -> bytes: ...
    def __getitem__(self, where: int | slice) -> int | bytes:
        if isinstance(where, int):
            found = self[where : where + 1]
            if not found:
                raise IndexError(where)
            return found[0]
        start, stop, step = where.indices(self.length)
        self.file.seek(start)
        return self.file.read(max(stop - start, 0))[::step]

    def __bytes__(self) -> bytes:
        return self[:]


def file_bytes(file: BinaryIO) -> FileBytes:
    """Return an open file as bytes, as long as it is now."""
    return FileBytes(file, os.fstat(file.fileno()).st_size)
