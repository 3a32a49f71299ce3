"""Good files spoilt: in any of their bytes, or in the parts of their format.

All random numbers come from the generator that is passed, so the same seed spoils the same way.
"""

import struct
import zlib
from collections.abc import Callable
from random import Random

Part = tuple[bytes, bytes]
"""A part of a file: its name and its content."""

PNG = b"\x89PNG\r\n\x1a\n"
NUMBERS = (0, 1, 2, 7, 8, 255, 256, 32767, 65535, 1 << 16, 1 << 24, 0x7FFFFFFF, 0xFFFFFFFF)
LENGTHS = (1, 1, 2, 4, 16, 200, 5000)
_TIFF_ENTRY = 12


def spoilt(content: bytes, others: tuple[bytes, ...], rng: Random) -> bytes:
    """Return a file spoilt in its own structure, or, just as often, in any of its bytes.

    ``others`` are files to splice it with.
    """
    if rng.random() < 0.5 and (in_parts := _by_structure(content)):
        content = in_parts(content, rng)
        if rng.random() < 0.8:
            return content
    if rng.random() < 0.1:
        return spliced(content, rng.choice(others), rng)
    return spoilt_bytes(content, rng)


def spoilt_bytes(content: bytes, rng: Random) -> bytes:
    """Return bytes that were flipped, cut out, doubled or overwritten in up to 8 places."""
    changed = bytearray(content)
    for _ in range(rng.choice((1, 1, 2, 8))):
        at = _place(len(changed), rng)
        length = rng.choice(LENGTHS)
        way = rng.choice(("flip", "cut", "end", "double", "number", "zeros", "noise", "move"))
        if not changed or way == "end":
            del changed[at:]
        elif way == "flip":
            changed[at] ^= 1 << rng.randrange(8)
        elif way == "cut":
            del changed[at : at + length]
        elif way == "double":
            changed[at:at] = changed[at : at + length]
        elif way == "number":
            order, (letter, most) = rng.choice("<>"), rng.choice((("I", 2**32), ("H", 2**16)))
            packed = struct.pack(order + letter, rng.choice(NUMBERS) % most)
            changed[at : at + len(packed)] = packed
        elif way == "zeros":
            changed[at : at + length] = bytes(len(changed[at : at + length]))
        elif way == "noise":
            changed[at : at + length] = rng.randbytes(len(changed[at : at + length]))
        else:
            other = _place(len(changed), rng)
            changed[at : at + length] = changed[other : other + length]
    return bytes(changed)


def spliced(content: bytes, other: bytes, rng: Random) -> bytes:
    """Return the start of one file with the end of another."""
    return content[: _place(len(content), rng)] + other[_place(len(other), rng) :]


def _place(length: int, rng: Random) -> int:
    """A place in ``length`` bytes, often near an end, because heads and directories are there."""
    last = max(0, length - 1)
    at = rng.randrange(max(1, length))
    if rng.random() < 0.4:
        near = rng.choice((64, 600, 4000))
        at = rng.choice((at % near, last - at % near))
    return max(0, min(at, last))


def _by_structure(content: bytes) -> Callable[[bytes, Random], bytes] | None:
    if content.startswith(PNG):
        return spoilt_png
    if content.startswith(b"\xff\xd8\xff"):
        return spoilt_jpeg
    if content[:4] in (b"II*\0", b"MM\0*"):
        return spoilt_tiff
    if content[:4] == b"RIFF":
        return spoilt_webp
    if content[36:40] == b"acsp":
        return spoilt_icc
    return None


def spoilt_parts(parts: list[Part], rng: Random) -> list[Part]:
    """Return the parts of a file, some of them doubled, missing, moved or spoilt inside."""
    made = list(parts)
    for _ in range(rng.choice((1, 1, 2, 3))):
        at = rng.randrange(len(made)) if made else 0
        way = rng.choice(("double", "many", "leave out", "move", "inside", "inside", "empty"))
        if not made:
            break
        name, content = made[at]
        if way == "double":
            made.insert(at, made[at])
        elif way == "many":
            made[at:at] = [made[at]] * rng.choice((3, 40, 400))
        elif way == "leave out":
            del made[at]
        elif way == "move":
            made.insert(rng.randrange(len(made)), made.pop(at))
        elif way == "inside":
            made[at] = name, spoilt_bytes(content, rng)
        else:
            made[at] = name, b""
    return made


def png_chunks(content: bytes) -> list[Part]:
    """Return the chunks of a good PNG."""
    chunks, at = [], len(PNG)
    while at + 8 <= len(content):
        length, name = struct.unpack_from(">I4s", content, at)
        chunks.append((name, content[at + 8 : at + 8 + length]))
        at += 12 + length
    return chunks


def of_png_chunks(chunks: list[Part]) -> bytes:
    """Return a PNG of chunks, each with its right length and check sum."""
    return PNG + b"".join(
        struct.pack(">I4s", len(content), name)
        + content
        + struct.pack(">I", zlib.crc32(name + content))
        for name, content in chunks
    )


def spoilt_png(content: bytes, rng: Random) -> bytes:
    """Return a PNG with spoilt chunks whose lengths and check sums are right."""
    return of_png_chunks(spoilt_parts(png_chunks(content), rng))


def spoilt_jpeg(content: bytes, rng: Random) -> bytes:
    """Return a JPEG with spoilt segments whose lengths are mostly right."""
    segments, at = [], 2
    while at + 4 <= len(content) and content[at + 1] != 0xDA:
        length = struct.unpack_from(">H", content, at + 2)[0]
        segments.append((content[at : at + 2], content[at + 4 : at + 2 + length]))
        at += 2 + length
    made = bytearray(content[:2])
    for marker, inside in spoilt_parts(segments, rng):
        own = min(len(inside) + 2, 65535) if rng.random() < 0.97 else rng.randrange(65536)
        made += marker + struct.pack(">H", own) + inside[:65533]
    return bytes(made) + content[at:]


def spoilt_tiff(content: bytes, rng: Random) -> bytes:
    """Return a TIFF with up to three entries of a directory changed."""
    order = "<" if content[:2] == b"II" else ">"
    changed = bytearray(content)
    at = struct.unpack_from(f"{order}I", content, 4)[0]
    if at + 2 > len(content):
        return spoilt_bytes(content, rng)
    count = struct.unpack_from(f"{order}H", content, at)[0]
    for _ in range(rng.choice((1, 1, 2, 3))):
        entry = at + 2 + _TIFF_ENTRY * rng.randrange(max(1, count))
        if entry + _TIFF_ENTRY > len(changed):
            break
        field = rng.choice(("kind", "count", "value", "short", "tag", "chain"))
        number = rng.choice((*NUMBERS, rng.getrandbits(32), at, entry))
        if field == "tag":
            tag = rng.choice((254, 256, 257, 258, 259, 262, 273, 274, 277, 279, 330, 34675, 34665))
            struct.pack_into(f"{order}H", changed, entry, tag)
        elif field == "kind":
            struct.pack_into(f"{order}H", changed, entry + 2, rng.randrange(20))
        elif field == "count":
            struct.pack_into(f"{order}I", changed, entry + 4, number & 0xFFFFFFFF)
        elif field == "value":
            struct.pack_into(f"{order}I", changed, entry + 8, number & 0xFFFFFFFF)
        elif field == "short":
            struct.pack_into(f"{order}H", changed, entry + 8, number & 0xFFFF)
        elif (end := at + 2 + _TIFF_ENTRY * count) + 4 <= len(changed):
            struct.pack_into(f"{order}I", changed, end, rng.choice((at, 8, number & 0xFFFFFFFF)))
    return bytes(changed)


def spoilt_webp(content: bytes, rng: Random) -> bytes:
    """Return a WebP with spoilt chunks whose lengths are right."""
    chunks, at = [], 12
    while at + 8 <= len(content):
        name, length = struct.unpack_from("<4sI", content, at)
        chunks.append((name, content[at + 8 : at + 8 + length]))
        at += 8 + length + length % 2
    body = b"".join(
        struct.pack("<4sI", name, len(inside)) + inside + bytes(len(inside) % 2)
        for name, inside in spoilt_parts(chunks, rng)
    )
    return b"RIFF" + struct.pack("<I", len(body) + 4) + b"WEBP" + body


def spoilt_icc(content: bytes, rng: Random) -> bytes:
    """Return an ICC profile with its header, its tag table or one of its tags spoilt."""
    changed = bytearray(content)
    count = min(struct.unpack_from(">I", content, 128)[0], 200)
    for _ in range(rng.choice((1, 1, 2, 3))):
        where = rng.choice(("header", "table", "table", "tag", "tag", "count"))
        if where == "header":
            at = rng.choice((0, 4, 8, 12, 16, 20, 36, 40, 64, 68, 72, 76))
            words = (b"RGB ", b"GRAY", b"CMYK", b"Lab ", b"XYZ ", b"mntr", b"link", b"\0\0\0\0")
            changed[at : at + 4] = rng.choice((*words, rng.randbytes(4)))
        elif where == "count":
            struct.pack_into(">I", changed, 128, rng.choice(NUMBERS))
        else:
            entry = 132 + 12 * rng.randrange(max(1, count))
            if entry + 12 > len(changed):
                continue
            offset = struct.unpack_from(">I", changed, entry + 4)[0]
            if where == "table":
                at = entry + rng.choice((0, 4, 8))
                struct.pack_into(">I", changed, at, rng.choice((*NUMBERS, offset, 128, 132)))
            elif offset + 40 < len(changed):
                at = offset + rng.randrange(40)
                changed[at : at + 2] = rng.choice((b"\xff\xff", b"\0\0", b"\x7f\xff", b"\x80\0"))
    return bytes(changed)
