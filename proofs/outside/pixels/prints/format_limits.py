"""How large a finished file may be in its format: checked before any work."""

from proofs.outside.pixels.photograph_errors import CodedPhotographError
from proofs.outside.pixels.source.file_limits import MOST_MEGAPIXELS
from proofs.records.labs import FileFormat, Lab

# Limits of the codecs.
_LONGEST_SIDE = {
    FileFormat.JPEG: 65_500,
    FileFormat.TIFF: 1_000_000,
    FileFormat.PNG: 1_000_000,
}


def check_format_limits(width: int, height: int, lab: Lab) -> None:
    """Raise ``PhotographError`` if an image is too large for the lab's format, or the program.

    Its code is ``output-too-large-for-format``; it names a remedy.
    """
    most = _LONGEST_SIDE[lab.format]
    longest = max(width, height)
    if longest > most:
        raise CodedPhotographError(
            f"{longest} pixels are more than the {most} of a {lab.format.upper()} side;"
            " print smaller, at fewer ppi, or to another format",
            "output-too-large-for-format",
        )
    if width * height > MOST_MEGAPIXELS * 1_000_000:
        raise CodedPhotographError(
            f"{width} x {height} pixels are more than {MOST_MEGAPIXELS} megapixels; print smaller,"
            " or at fewer ppi",
            "output-too-large-for-format",
        )
