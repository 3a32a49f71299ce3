"""What a JPEG or PNG carries besides its picture, its profile, and EXIF, XMP and IPTC.

Markers: ITU-T T.81, table B.1, and T.871 for JFIF; chunks of text: the PNG specification, third
edition, 11.3.3. All from memory.
"""

from collections.abc import Iterator

from proofs.outside.pixels.source.file_parts import Part, jpeg_segments, png_chunks
from proofs.records.labs import FileFormat

COMMENT = "a comment"

_JPEG_COMMENT = b"\xfe"
_APPLICATION = range(0xE0, 0xF0)
_KNOWN = (
    *((0xE0, b"JFIF\0"), (0xE1, b"Exif\0"), (0xE1, b"http://ns.adobe.com/xap/1.0/\0")),
    *((0xE2, b"ICC_PROFILE\0"), (0xED, b"Photoshop 3.0\0"), (0xEE, b"Adobe")),
)
_PNG_TEXTS = {b"tEXt", b"zTXt", b"iTXt"}
_PNG_XMP = b"XML:com.adobe.xmp\0"


def other_blocks(content: bytes, kind: FileFormat) -> tuple[str, ...]:
    """Return the names of such blocks, each once; a TIFF has tags instead.

    >>> other_blocks(b"\\xff\\xd8\\xff\\xfe\\0\\x04hi\\xff\\xd9", FileFormat.JPEG)
    ('a comment',)
    """
    if kind == FileFormat.JPEG:
        return tuple(sorted(set(_of_jpeg(content))))
    if kind == FileFormat.PNG and any(_is_text(content, part) for part in png_chunks(content)):
        return (COMMENT,)
    return ()


def _of_jpeg(content: bytes) -> Iterator[str]:
    for part in jpeg_segments(content):
        marker = part.name[0]
        if part.name == _JPEG_COMMENT:
            yield COMMENT
        elif marker in _APPLICATION and not any(
            marker == known and content.startswith(start, part.start) for known, start in _KNOWN
        ):
            yield f"block APP{marker - _APPLICATION.start}"


def _is_text(content: bytes, part: Part) -> bool:
    return part.name in _PNG_TEXTS and not content.startswith(_PNG_XMP, part.start)
