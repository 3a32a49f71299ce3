"""What the header of a photograph says, before any pixel is read."""

from dataclasses import dataclass

from proofs.findings import Finding
from proofs.lengths import PixelSize


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """A photograph as it is seen upright, after the turning that EXIF asks for.

    ``channels`` counts colour only, without alpha or extra channels; ``bits`` is per
    channel; ``profile`` is the description of the embedded profile that will be used, or
    None; ``own_ppi`` is the resolution tag, or None; ``sha256`` is empty until the whole
    file has been read; ``notes`` say what had to be guessed.
    """

    pixels: PixelSize
    bits: int
    channels: int
    profile: str | None = None
    own_ppi: float | None = None
    notes: tuple[Finding, ...] = ()
