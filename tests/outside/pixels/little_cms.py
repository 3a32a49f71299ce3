"""Little CMS through Pillow, without optimised transforms, and a made-up printer."""

import io

import numpy as np
from PIL import Image, ImageCms

from proofs.outside.pixels.colour import cielab, icc, spaces
from tests.outside.pixels import reference
from tests.outside.pixels.pictures import Array

INTENTS = {"relative": 1, "perceptual": 0, "absolute": 3}
EXACT = 0x0100  # Little CMS: no optimisation
COMPENSATED = 0x2000


def profile_of(content: bytes) -> ImageCms.ImageCmsProfile:
    """Return a profile for Pillow."""
    return ImageCms.ImageCmsProfile(io.BytesIO(content))


def by_little_cms(
    pixels: Array, source: bytes, target: bytes, modes: tuple[str, str], intent: int, flags: int
) -> Array:
    """Return 8-bit pixels converted from one profile to another."""
    transform = ImageCms.buildTransform(
        profile_of(source),
        profile_of(target),
        *modes,
        ImageCms.Intent(intent),
        ImageCms.Flags(flags | EXACT),
    )
    image = Image.frombytes(modes[0], pixels.shape[1::-1], pixels.tobytes())
    return np.asarray(ImageCms.applyTransform(image, transform))


def printer_profile(white: Array | None = None) -> bytes:
    """Return an RGB printer with weak colours and a black of L* 12, as tables both ways; made up.

    ``white`` is the XYZ of its paper.
    """
    n = 17
    axis = np.linspace(0, 1, n)
    rgb = np.stack(np.meshgrid(axis, axis, axis, indexing="ij"), axis=-1)
    light = 0.985 * rgb**2.1 + 0.015
    shown = cielab.from_xyz(light @ spaces.rgb_to_xyz(spaces.SRGB).T)
    lightness, a, b = np.meshgrid(axis * 100, *[np.linspace(-128, 127.996, n)] * 2, indexing="ij")
    xyz = reference.xyz_of_cielab(np.stack([lightness, a, b], axis=-1))
    wanted = xyz @ np.linalg.inv(spaces.rgb_to_xyz(spaces.SRGB)).T
    codes = np.clip((wanted - 0.015) / 0.985, 0, 1) ** (1 / 2.1)
    scaled = np.stack(
        [shown[..., 0] * 652.8, (shown[..., 1] + 128) * 256, (shown[..., 2] + 128) * 256], axis=-1
    )
    there, back = table(scaled, n), table(codes * 65535, n)
    tags: dict[str, bytes] = {"A2B0": there, "A2B1": there, "B2A0": back, "B2A1": back}
    if white is not None:
        tags["wtpt"] = icc.xyz_tag(white)
    return icc.build_profile(icc.ProfileHeader("prtr", "RGB ", "Lab ", 2), "Made-up printer", tags)


def table(values: Array, n: int) -> bytes:
    """Return a 16-bit look-up tag with straight curves (ICC.1:2004-10, 6.5.9; from memory)."""
    unity = bytes((np.eye(3).ravel() * 65536).astype(">i4"))
    straight = bytes(np.array([0, 65535] * 3, dtype=">u2"))
    content = bytes(np.rint(np.clip(values, 0, 65535)).astype(">u2"))
    head = b"mft2\0\0\0\0" + bytes([3, 3, n, 0]) + unity + b"\0\2\0\2"
    return head + straight + content + straight


def proofed(pixels: Array, source: bytes, proof: bytes, *, flags: int, shown: int) -> Array:
    """Return RGB pixels as a proof device shows them, in sRGB, by relative intent.

    ``shown`` is the intent from the device to sRGB.
    """
    transform = ImageCms.buildProofTransform(
        profile_of(source),
        profile_of(spaces.built_in_profile("srgb")),
        profile_of(proof),
        "RGB",
        "RGB",
        ImageCms.Intent(INTENTS["relative"]),
        ImageCms.Intent(shown),
        ImageCms.Flags(ImageCms.Flags.SOFTPROOFING | flags | EXACT),
    )
    image = Image.frombytes("RGB", pixels.shape[1::-1], pixels.tobytes())
    return np.asarray(ImageCms.applyTransform(image, transform))
