"""Which files go into which zip, so that none is larger than a lab takes."""

from collections.abc import Sequence
from dataclasses import dataclass

_AROUND_FILE = (
    30 + 46 + 2 * 28
)  # both headers of a file with their ZIP64 fields (APPNOTE 6.3, from memory)
_AROUND_ALL = 22 + 20 + 56  # the end of an archive, with that of ZIP64
_SUM = 64 + 3  # a line of check sums beside the name


@dataclass(frozen=True, slots=True)
class Weighed:
    """A file's name and its bytes."""

    name: str
    size_bytes: int

    @property
    def packed(self) -> int:
        """At most what it adds to an archive that also holds its check sum."""
        return self.size_bytes + _AROUND_FILE + 3 * len(self.name.encode()) + _SUM


def zip_parts(
    files: Sequence[Weighed], shared: Sequence[Weighed], *, most_bytes: int | None
) -> tuple[tuple[str, ...], ...]:
    """Return the names in each zip, in their order; what is ``shared`` goes into every one.

    Raises ``ValueError`` that names a file too large for a zip of its own.
    """
    around = _AROUND_ALL + sum(file.packed for file in (*shared, Weighed("SHA256SUMS", 0)))
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
