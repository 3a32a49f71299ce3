"""What the header of a photograph states, before any pixel is read."""

from dataclasses import dataclass, field

from proofs.findings import Finding
from proofs.lengths import PixelSize
from proofs.records.labs import FileFormat

_TURNS = {3: 180, 4: 180, 5: 90, 6: 90, 7: 270, 8: 270}  # CIPA DC-008 (from memory)


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """A photograph upright, turned as EXIF asks.

    ``channels`` counts colour only, without alpha or extra channels; ``bits`` is per channel;
    ``profile`` is the description of the embedded profile that will be used, or None; ``own_ppi``
    is the resolution tag, or None; ``notes`` state what had to be assumed. ``orientation`` is that
    of EXIF, 1 if none is stated. ``jpeg_quality``, 1 to 100, is None for other files.
    ``file_state`` holds the length of the file and the time of its last change, to recognise a
    later change.
    """

    pixels: PixelSize
    bits: int
    channels: int
    profile: str | None = None
    own_ppi: float | None = None
    notes: tuple[Finding, ...] = ()
    kind: FileFormat = FileFormat.OTHER
    orientation: int = 1
    jpeg_quality: int | None = None
    file_state: tuple[int, int] | None = field(default=None, compare=False)

    @property
    def is_turned(self) -> bool:
        """Whether the file stores the picture on its side."""
        return self.exif_turn in (90, 270)

    @property
    def exif_turn(self) -> int:
        """The turn that EXIF asks for, in degrees clockwise."""
        return _TURNS.get(self.orientation, 0)

    @property
    def stored(self) -> PixelSize:
        """The size of the picture as the file stores it."""
        return self.pixels.turned if self.is_turned else self.pixels
