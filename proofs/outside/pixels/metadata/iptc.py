"""IPTC blocks: taken out of the image resources of editors, and filtered by dataset.

Layouts: IIM 4.2, chapters 1 and 2 (datasets); image resources as in the APP13 segment of a JPEG,
where number 1028 is IPTC. From memory.
"""

import struct
from collections.abc import Iterator, Set

RESOURCES_SIGNATURE = b"Photoshop 3.0\0"
_RESOURCE = b"8BIM"
_IPTC_RESOURCE = 1028
_TAG_MARKER = 0x1C
_HEAD = 5  # bytes of a dataset before its value

DatasetKey = tuple[int, int]  # record and number of a dataset


def bare_datasets(block: bytes) -> bytes:
    """Return the IPTC datasets of a block, which may be one of several image resources."""
    if not block.startswith(RESOURCES_SIGNATURE):
        return block
    return next((c for n, c in _resources(block) if n == _IPTC_RESOURCE), b"")


def selected_datasets(block: bytes, keys: Set[DatasetKey]) -> bytes:
    """Return the datasets of a bare block with these keys, unchanged."""
    return b"".join(whole for key, whole in _datasets(block) if key in keys)


def without_datasets(block: bytes, keys: Set[DatasetKey]) -> bytes:
    """Return a bare block without the datasets with these keys, and whatever follows a fault."""
    return b"".join(whole for key, whole in _datasets(block) if key not in keys)


def _resources(block: bytes) -> Iterator[tuple[int, bytes]]:
    """The number and content of each resource, up to the first that is malformed."""
    at = len(RESOURCES_SIGNATURE)
    while block[at : at + 4] == _RESOURCE and at + 7 <= len(block):
        number = int.from_bytes(block[at + 4 : at + 6], "big")
        name = 1 + block[at + 6]  # a length byte and the name, padded to an even number
        start = at + 6 + name + name % 2 + 4
        size = int.from_bytes(block[start - 4 : start], "big")
        if start + size > len(block):
            return
        yield number, block[start : start + size]
        at = start + size + size % 2


def _datasets(block: bytes) -> Iterator[tuple[DatasetKey, bytes]]:
    """The key of each dataset, and all its bytes, up to the first that is malformed."""
    at = 0
    while at + _HEAD <= len(block) and block[at] == _TAG_MARKER:
        record, number, size = struct.unpack_from(">BBH", block, at + 1)
        end = at + _HEAD + size
        if size > 0x7FFF or end > len(block):  # extended datasets hold pictures, never text
            return
        yield (record, number), block[at:end]
        at = end
