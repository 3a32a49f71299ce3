"""What the header of a photograph states, before any pixel is read."""

from dataclasses import dataclass, field

from proofs.findings import Finding
from proofs.lengths import PixelSize
from proofs.records.labs import FileFormat


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """A photograph upright, turned as EXIF asks.

    ``channels`` counts colour only, without alpha or extra channels; ``bits`` is per channel;
    ``profile`` is the description of the embedded profile that will be used, or None; ``own_ppi``
    is the resolution tag, or None; ``notes`` state what had to be assumed. ``is_turned`` states
    whether the file stores the picture on its side. ``file_state`` holds the length of the file and
    the time of its last change, to recognise a later change.
    """

    pixels: PixelSize
    bits: int
    channels: int
    profile: str | None = None
    own_ppi: float | None = None
    notes: tuple[Finding, ...] = ()
    kind: FileFormat = FileFormat.OTHER
    is_turned: bool = False
    file_state: tuple[int, int] | None = field(default=None, compare=False)

    @property
    def stored(self) -> PixelSize:
        """The size of the picture as the file stores it."""
        return self.pixels.turned if self.is_turned else self.pixels
