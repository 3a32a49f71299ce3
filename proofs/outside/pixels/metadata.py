"""What a picture file carries beside the picture, kept back for those who ask for it."""

from dataclasses import dataclass

import pyvips


@dataclass(frozen=True, slots=True)
class Metadata:
    """The EXIF, XMP and IPTC blocks of a file; empty where it has none."""

    exif: bytes = b""
    xmp: bytes = b""
    iptc: bytes = b""


_FIELDS = {"exif": "exif-data", "xmp": "xmp-data", "iptc": "iptc-data"}


def metadata_of(image: pyvips.Image) -> Metadata:
    """Return the blocks of an opened picture."""
    return Metadata(
        **{
            name: bytes(image.get(field))
            for name, field in _FIELDS.items()
            if image.get_typeof(field)
        }
    )
