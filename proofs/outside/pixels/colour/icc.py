"""ICC profiles as bytes: built if small, read and checked; without the image library.

Field offsets and tag layouts: ICC.1:2004-10 and ICC.1:2022, sections 7 to 10 (from memory).
"""

import struct
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Curve = Callable[[Floats], Floats]

HEADER_SIZE = 128
D50_FIXED_POINT = (63190, 65536, 54061)  # s15Fixed16 numbers, as in every profile header
D50_XYZ = np.array(D50_FIXED_POINT) / 65536
_CHANNELS = {"GRAY": 1, "RGB ": 3, "CMYK": 4, "Lab ": 3}
_MOST_SHARED = 10  # about six tags share a table that serves every intent
_CLASSES = ("scnr", "mntr", "prtr", "spac")


@dataclass(frozen=True, slots=True)
class ProfileHeader:
    """The fields of a profile's 128-byte header that the program uses; ``pcs`` is the PCS."""

    device_class: str
    colour_space: str
    pcs: str
    version: int

    @property
    def channels(self) -> int:
        """The number of device channels; 0 for a colour space this program does not use."""
        return _CHANNELS.get(self.colour_space, 0)


def build_profile(header: ProfileHeader, description: str, tags: Mapping[str, bytes]) -> bytes:
    """Return a well-formed version 2 profile with these tags and the three required ones."""
    all_tags = {
        "desc": _description_tag(description),
        "cprt": b"text\0\0\0\0CC0\0",
        "wtpt": xyz_tag(D50_XYZ),
        **tags,
    }
    start = HEADER_SIZE + 4 + 12 * len(all_tags)
    offsets: dict[bytes, int] = {}
    body = b""
    for content in all_tags.values():
        if content not in offsets:  # tags with the same content share their bytes
            offsets[content] = start + len(body)
            body += content + b"\0" * (-len(content) % 4)
    table = b"".join(
        struct.pack(">4sII", name.encode("ascii"), offsets[content], len(content))
        for name, content in all_tags.items()
    )
    head = _header_bytes(header, start + len(body))
    return head + struct.pack(">I", len(all_tags)) + table + body


def _header_bytes(header: ProfileHeader, size: int) -> bytes:
    signatures = (header.device_class, header.colour_space, header.pcs)
    head = struct.pack(">I4xI", size, header.version << 24)
    head += b"".join(signature.encode("ascii") for signature in signatures)
    # A fixed date, so that the same profile always has the same bytes.
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp"
    head = head.ljust(68, b"\0") + struct.pack(">3i", *D50_FIXED_POINT)
    return head.ljust(HEADER_SIZE, b"\0")


def _description_tag(text: str) -> bytes:
    raw = text.encode("ascii") + b"\0"
    return b"desc\0\0\0\0" + struct.pack(">I", len(raw)) + raw + b"\0" * 78


def xyz_tag(xyz: Floats) -> bytes:
    """Return the tag that holds one XYZ."""
    return b"XYZ \0\0\0\0" + struct.pack(">3i", *(round(float(v) * 65536) for v in xyz))


def gamma_tag(gamma: float) -> bytes:
    """Return the curve tag of a power law; the exponent is rounded to 1/256."""
    return b"curv\0\0\0\0" + struct.pack(">IH", 1, round(gamma * 256))


def curve_tag(linear: Floats) -> bytes:
    """Return the curve tag for samples of linear light, 0 to 1, at evenly spaced codes."""
    values = np.rint(np.clip(linear, 0, 1) * 65535).astype(">u2")
    return b"curv\0\0\0\0" + struct.pack(">I", len(values)) + values.tobytes()


def build_matrix_profile(description: str, to_xyz: Floats, curve: bytes) -> bytes:
    """Return a display profile: light by ``curve``, then ``to_xyz`` (columns R, G, B; D50).

    The columns are adjusted by at most 2/65536, so that they add up to D50 and white stays exact.
    """
    columns = np.rint(to_xyz * 65536).astype(int)
    columns[:, 1] += np.array(D50_FIXED_POINT) - columns.sum(axis=1)
    tags = {f"{c}XYZ": xyz_tag(columns[:, n] / 65536) for n, c in enumerate("rgb")}
    tags |= {f"{c}TRC": curve for c in "rgb"}
    return build_profile(ProfileHeader("mntr", "RGB ", "XYZ ", 2), description, tags)


def build_grey_profile(description: str, curve: bytes) -> bytes:
    """Return a one-channel profile whose light follows ``curve``."""
    return build_profile(ProfileHeader("mntr", "GRAY", "XYZ ", 2), description, {"kTRC": curve})


def read_header(profile: bytes) -> ProfileHeader:
    """Return a profile's header, once size, signature and tag offsets have been checked.

    Raises ``ValueError`` with a short reason for a damaged profile.
    """
    if len(profile) < HEADER_SIZE + 4:
        raise ValueError(f"it is cut short: {len(profile)} bytes")
    if profile[36:40] != b"acsp":
        raise ValueError("its signature is missing")
    size = int.from_bytes(profile[:4], "big")
    if size > len(profile):
        raise ValueError(f"it is cut short: {len(profile)} of {size} bytes")
    tags(profile)
    signatures = [profile[at : at + 4].decode("latin-1") for at in (12, 16, 20)]
    return ProfileHeader(signatures[0], signatures[1], signatures[2], profile[8])


def tags(profile: bytes) -> dict[str, bytes]:
    """Return the tags of a profile by name.

    Raises ``ValueError`` if the tag table is damaged, a tag is outside the profile, or tags
    overlap so much that together they are many times as long as the profile.
    """
    count = int.from_bytes(profile[HEADER_SIZE : HEADER_SIZE + 4], "big")
    if not 0 < count <= 200 or HEADER_SIZE + 4 + 12 * count > len(profile):
        raise ValueError("its tag table is damaged")
    found, together = {}, 0
    for n in range(count):
        name, at, length = struct.unpack_from(">4sII", profile, HEADER_SIZE + 4 + 12 * n)
        if at < HEADER_SIZE or at + length > len(profile):
            raise ValueError(f"its tag {name.decode('latin-1')!r} is outside the file")
        together += length
        if together > _MOST_SHARED * len(profile):
            raise ValueError("its tags overlap")
        found[name.decode("latin-1")] = profile[at : at + length]
    return found


def media_white(profile: bytes) -> Floats:
    """Return the measured XYZ of the white of a profile's medium.

    For a display it is D50, the white of the connection space, because the eye adapts to the
    screen; it is D50 too if none is recorded. Source: ICC.1:2022, 6.3.2 and 9.2.36 (from memory).
    """
    tag = tags(profile).get("wtpt", b"")
    if read_header(profile).device_class == "mntr" or len(tag) < 20:
        return D50_XYZ
    white = np.array(struct.unpack_from(">3i", tag, 8)) / 65536
    return white if white.min() > 0 else D50_XYZ


def check_profile(profile: bytes, channels: int) -> ProfileHeader:
    """Return the header of a profile that can describe images with this many channels.

    Raises ``ValueError`` with a short reason for any other.
    """
    header = read_header(profile)
    if header.device_class not in _CLASSES:
        raise ValueError(f"its class, {header.device_class!r}, is not for images")
    if header.pcs not in ("XYZ ", "Lab "):
        raise ValueError(f"its connection space is {header.pcs!r}")
    if header.channels != channels:
        space = header.colour_space.strip()
        raise ValueError(f"it is for {space!r}, but the image has {channels} channels")
    present = tags(profile).keys()
    if not ({"A2B0", "A2B1", "kTRC"} & present or {"rXYZ", "gXYZ", "bXYZ", "rTRC"} <= present):
        raise ValueError("it has no transform from device colours to the connection space")
    return header


def description(profile: bytes) -> str:
    """Return the profile's own description, or an empty text."""
    try:
        tag = tags(profile).get("desc", b"")
    except ValueError:
        return ""
    if tag[:4] == b"desc" and len(tag) > 12:
        length = int.from_bytes(tag[8:12], "big")
        return tag[12 : 12 + length].split(b"\0")[0].decode("latin-1").strip()
    if tag[:4] == b"mluc" and len(tag) >= 28:
        length, at = struct.unpack_from(">II", tag, 20)
        return tag[at : at + length].decode("utf-16-be", "replace").strip("\0 ")
    return ""
