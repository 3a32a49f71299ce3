"""The files in each zip of a delivery, so that no zip is larger than the lab accepts."""

from collections.abc import Sequence
from dataclasses import dataclass

# Both headers of a file with their ZIP64 fields, and the end of an archive with that of ZIP64
# (APPNOTE 6.3, from memory).
_AROUND_FILE = 30 + 46 + 2 * 28
_AROUND_ALL = 22 + 20 + 56
_SUM = 64 + 3  # a line of checksums, without the name


@dataclass(frozen=True, slots=True)
class ZipMember:
    """A file to pack: its name, and its size in bytes."""

    name: str
    size_bytes: int

    @property
    def packed(self) -> int:
        """The most that it adds to an archive that also holds its checksum."""
        return self.size_bytes + _AROUND_FILE + 3 * len(self.name.encode()) + _SUM


def zip_parts(
    files: Sequence[ZipMember], shared: Sequence[ZipMember], *, most_bytes: int | None
) -> tuple[tuple[str, ...], ...]:
    """Return the names in each zip, in order; the ``shared`` files go into each of them.

    Raises ``ValueError`` with the name of a file that is too large for a zip of its own.
    """
    around = _AROUND_ALL + sum(file.packed for file in (*shared, ZipMember("SHA256SUMS", 0)))
    parts: list[list[str]] = []
    room = 0
    for file in files:
        if most_bytes is not None and around + file.packed > most_bytes:
            raise ValueError(
                f"{file.name} takes {file.size_bytes / 1e6:.1f} MB, too much for one upload of"
                f" {most_bytes / 1e6:.0f} MB"
            )
        if not parts or (most_bytes is not None and file.packed > room):
            parts.append([])
            room = (most_bytes or 0) - around
        parts[-1].append(file.name)
        room -= file.packed
    names = [file.name for file in shared]
    return tuple((*part, *names) for part in parts)
