"""What finished files are to say about their makers: what is kept of a picture, and what is added.

Everything else that a picture carries (camera, serial numbers, place, paths of its editor) is kept
only if all of it is asked for.
"""

import unicodedata
from dataclasses import dataclass
from enum import StrEnum

LONGEST_LINE_BYTES = 500  # in UTF-8; two such lines and 64 kB of EXIF fit a segment of a JPEG
LINE_EXPECTED = f"one line of at most {LONGEST_LINE_BYTES} bytes"
_NOT_IN_XML = "\ufffe\uffff"  # XML 1.0, section 2.2


class Kept(StrEnum):
    """What finished files keep of the metadata of their pictures."""

    NONE = "none"
    CREDIT = "credit"  # creator, copyright and title
    ALL = "all"


@dataclass(frozen=True, slots=True)
class MetadataWish:
    """What finished files keep of their pictures' metadata, and the lines that they state.

    ``copyright`` and ``creator`` replace those of the pictures; blank if none is stated.
    """

    kept: Kept = Kept.NONE
    copyright: str = ""
    creator: str = ""


NO_METADATA = MetadataWish()


def read_credit_line(text: str) -> str:
    r"""Return a copyright line, or the name of a creator, on one line.

    Raises ``ValueError`` if it is too long, or holds characters that no line can show.

    >>> read_credit_line("(c) 2026\n A. Maker ")
    '(c) 2026 A. Maker'
    """
    line = " ".join(text.split())
    length = len(line.encode("utf-8", "surrogatepass"))
    if length > LONGEST_LINE_BYTES:
        raise ValueError(f"{length} bytes; expected {LINE_EXPECTED}")
    if any(unicodedata.category(c) == "Cc" or c in _NOT_IN_XML for c in line):
        raise ValueError(f"{line!a} holds what no line can show; expected {LINE_EXPECTED}")
    return line
