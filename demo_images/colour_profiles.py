"""Small colour profiles (ICC version 2) that define the demo pictures' colours.

They are built here byte by byte rather than by a library, because a library would write today's
date into them, and the pictures must come out the same every time.
"""

import struct

import numpy as np

_D50 = (0.9642, 1.0, 0.8249)
_D65 = (0.3127, 0.3290)
_BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)


def _text(words: str) -> bytes:
    return b"text" + bytes(4) + words.encode("ascii") + b"\0"


def _description(words: str) -> bytes:
    plain = words.encode("ascii") + b"\0"
    # The empty tail is for Unicode and old scripts; its size is fixed.
    return b"desc" + bytes(4) + struct.pack(">I", len(plain)) + plain + bytes(4 + 4 + 2 + 1 + 67)


def _xyz(values: tuple[float, ...]) -> bytes:
    return b"XYZ " + bytes(4) + struct.pack(">3i", *(round(v * 65536) for v in values))


def _gamma(value: float) -> bytes:
    return b"curv" + bytes(4) + struct.pack(">IH", 1, round(value * 256))


def _srgb_curve() -> bytes:
    v = np.linspace(0, 1, 1024)
    line = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    numbers: bytes = np.rint(line * 65535).astype(">u2").tobytes()
    return b"curv" + bytes(4) + struct.pack(">I", 1024) + numbers


def _assemble(space: bytes, tags: list[tuple[bytes, bytes]]) -> bytes:
    table, data = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    placed: dict[bytes, tuple[int, int]] = {}
    for name, body in tags:
        if body not in placed:  # the three curves are the same: store them once
            placed[body] = (start + len(data), len(body))
            data += body + bytes(-len(body) % 4)
        table += name + struct.pack(">II", *placed[body])
    head = struct.pack(
        ">I4sI4s4s4s6H4s",
        start + len(data),
        bytes(4),
        0x02100000,
        b"mntr",
        space,
        b"XYZ ",
        2025,
        1,
        1,
        0,
        0,
        0,
        b"acsp",
    )
    head += bytes(28) + _xyz(_D50)[8:]
    return head.ljust(128, b"\0") + table + data


def _white(xy: tuple[float, float]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.array([xy[0] / xy[1], 1.0, (1 - xy[0] - xy[1]) / xy[1]])


def _matrix_profile(name: str, primaries: tuple[tuple[float, float], ...], curve: bytes) -> bytes:
    columns = np.array([_white(xy) for xy in primaries]).T
    white = _white(_D65)
    columns = columns * np.linalg.solve(columns, white)
    # A profile's white is D50, so the colours are adapted from daylight (Bradford).
    scale = (_BRADFORD @ np.array(_D50)) / (_BRADFORD @ white)
    adapted = np.linalg.inv(_BRADFORD) @ np.diag(scale) @ _BRADFORD @ columns
    tags = [
        (b"desc", _description(name)),
        (b"cprt", _text("No rights reserved")),
        (b"wtpt", _xyz(_D50)),
    ]
    tags += [
        (letter + b"XYZ", _xyz(tuple(map(float, adapted[:, k]))))
        for k, letter in enumerate((b"r", b"g", b"b"))
    ]
    tags += [(letter + b"TRC", curve) for letter in (b"r", b"g", b"b")]
    return _assemble(b"RGB ", tags)


def srgb_profile() -> bytes:
    """Return the profile of the common colour space of cameras and screens."""
    return _matrix_profile(
        "sRGB IEC61966-2.1", ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06)), _srgb_curve()
    )


def wide_profile() -> bytes:
    """Return the profile of a colour space with greens and cyans well outside sRGB."""
    return _matrix_profile(
        "Wide RGB gamma 2.2", ((0.64, 0.33), (0.21, 0.71), (0.15, 0.06)), _gamma(563 / 256)
    )


def grey_profile() -> bytes:
    """Return a one-channel profile with gamma 2.2, for black-and-white work."""
    return _assemble(
        b"GRAY",
        [
            (b"desc", _description("Grey gamma 2.2")),
            (b"cprt", _text("No rights reserved")),
            (b"wtpt", _xyz(_D50)),
            (b"kTRC", _gamma(2.2)),
        ],
    )
