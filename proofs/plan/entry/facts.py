"""What the header of a photograph says, before any pixel is read."""

from dataclasses import dataclass

from proofs.findings import Finding
from proofs.lengths import PixelSize
from proofs.records.labs import FileFormat


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """A photograph as it is seen upright, after the turning that EXIF asks for.

    ``channels`` counts colour only, without alpha or extra channels; ``bits`` is per
    channel; ``profile`` is the description of the embedded profile that will be used, or
    None; ``own_ppi`` is the resolution tag, or None; ``notes`` say what had to be guessed.
    ``is_turned`` says that the file
    stores the picture lying on its side.
    """

    pixels: PixelSize
    bits: int
    channels: int
    profile: str | None = None
    own_ppi: float | None = None
    notes: tuple[Finding, ...] = ()
    kind: FileFormat = FileFormat.OTHER
    is_turned: bool = False

    @property
    def stored(self) -> PixelSize:
        """The size of the picture as it lies in the file."""
        return self.pixels.turned if self.is_turned else self.pixels
