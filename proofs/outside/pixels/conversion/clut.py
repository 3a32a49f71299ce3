"""Tone and colour in one pass of the colour engine, by colour look-up tables built for it.

The image library converts by profile at full speed; a curve computed on CIELAB pixels in
floating point is four to six times as slow. So the tone curve becomes part of a profile.
Measured for spaces up to the size of Adobe RGB: the mean colour error is at most 0.01 (CIEDE2000)
above that of the exact answer rounded to 8 bits. Larger spaces are converted by matrix.

If the target is a matrix profile, one pass makes several densities. For each pixel the engine
finds the position among the table's 33 steps per axis once, then interpolates any number of
channels: four densities in one pass take less time than two passes (measured). The engine needs
such a table as a pair of profiles: the first passes the image's codes on unchanged, labelled as
CIELAB; the second leads from these to all channels.

Layout of the tags: ICC.1:2022, 10.12 and 10.13, and ICC.1:2004-10, 6.3.4.2; signatures of
many channels: ICC.1:2022, table 19 (all from memory).
"""

import struct
import threading
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import cielab, icc
from proofs.outside.pixels.colour.icc import Floats
from proofs.outside.pixels.colour.matrix_models import matrix_model, required_matrix_model
from proofs.outside.pixels.colour.output_space import OutputSpace
from proofs.outside.pixels.colour.pixel_cielab import table_cielab
from proofs.outside.pixels.conversion import extended_range
from proofs.records.labs import RenderingIntent

CLUT_STEPS = 33  # the colour engine resamples every profile's table to 33 steps
_MEMORY_LIMIT = 400_000_000  # bytes
_MOST_TOGETHER = 4  # twelve channels
_ROWS_AT_ONCE = 16
_SMALL = 2_000_000  # pixels: an engine takes as long to set up as to convert 400,000 (measured)
_ENGINE_SIZE = PixelSize(1024, 16)  # pixels converted together; with more, memory slows them
_SIGNATURES = {1: "RGB ", 2: "6CLR", 3: "9CLR", 4: "CCLR"}
_IDENTITY_CURVE = b"curv\0\0\0\0" + struct.pack(">I", 0)
_TAG_HEADER_SIZE = 32

ClutNodes = NDArray[np.uint16]


def most_in_memory(image: pyvips.Image, bits: int) -> int:
    """Return how many converted copies of an image fit in 400 MB of memory."""
    return int(_MEMORY_LIMIT // (image.width * image.height * 3 * bits // 8))


def converted(
    image: pyvips.Image, source: bytes, target: OutputSpace, tones: Sequence[cielab.ToneAdjustment]
) -> list[pyvips.Image]:
    """Return a 16-bit RGB image at each of these tones, in a matrix target's space and bit depth.

    Each is the same to the last bit, whichever others are made with it. Several are computed in
    memory at once, and so is a single small one; a single large one is computed on demand.
    """
    starts = range(0, len(tones), _MOST_TOGETHER)
    groups = [tones[start : start + _MOST_TOGETHER] for start in starts]
    return [made for group in groups for made in _in_one_pass(image, source, target, group)]


def _in_one_pass(
    image: pyvips.Image, source: bytes, target: OutputSpace, tones: Sequence[cielab.ToneAdjustment]
) -> list[pyvips.Image]:
    if image.width * image.height <= _SMALL:
        copies = _engine(source, target, tuple(tones)).copies(image)
        return [vips.image_of_codes(copy) for copy in copies]
    codes = _codes(image, source, target, tones)
    if len(tones) == 1:
        return [codes.copy(interpretation=vips.interpretation(3, target.bits))]
    return [vips.image_of_codes(copy) for copy in _copies(codes, len(tones))]


def _codes(
    image: pyvips.Image, source: bytes, target: OutputSpace, tones: Sequence[cielab.ToneAdjustment]
) -> pyvips.Image:
    """The codes of all tones, three channels each, computed on demand."""
    nodes = [_nodes(source, target.profile, tone, target.intent) for tone in tones]
    extended = image.icc_transform(
        vips.profile_file(_multi_channel_profile(nodes)),
        input_profile=vips.profile_file(_pass_through_profile()),
        intent=RenderingIntent.ABSOLUTE,  # with any other intent the engine adapts the white
        depth=16,
    )
    table = extended_range.clipping_table(target.profile, target.bits, times=len(tones))
    return extended.copy(interpretation="multiband").maplut(table)


@dataclass(frozen=True, slots=True)
class _Engine:
    """The colour engine, set up once for all small pictures of a colour space.

    ``converted`` is what becomes of the pixels in ``room``, three channels for each tone. Each
    pixel is converted alone, so they may be those of any picture.
    """

    room: NDArray[np.uint16]
    converted: pyvips.Image
    lock: threading.Lock = field(default_factory=threading.Lock)

    def copies(self, image: pyvips.Image) -> list[NDArray[Any]]:
        """Return a 16-bit RGB image at each tone."""
        pixels, room = image.numpy().reshape(-1, 3), self.room.reshape(-1, 3)
        shape, kind = (image.height, image.width, 3), vips.kind_of(self.converted)
        copies = [np.empty(shape, kind) for _ in range(self.converted.bands // 3)]
        planes = [copy.reshape(-1, 3)[:, channel] for copy in copies for channel in range(3)]
        width = self.room.shape[1]
        for first in range(0, len(pixels), len(room)):
            part = pixels[first : first + len(room)]
            with self.lock:
                room[: len(part)] = part
                # A new reader each time: the library keeps what an older one has computed.
                codes = vips.row_reader(self.converted)(0, -(-len(part) // width))
            for n, plane in enumerate(planes):
                plane[first : first + len(part)] = codes.reshape(-1, len(planes))[: len(part), n]
        return copies


@lru_cache(maxsize=4)  # of a few MB each: for the lab and for the screen, from two spaces
def _engine(
    source: bytes, target: OutputSpace, tones: tuple[cielab.ToneAdjustment, ...]
) -> _Engine:
    room = np.zeros((_ENGINE_SIZE.height, _ENGINE_SIZE.width, 3), np.uint16)
    return _Engine(room, _codes(vips.image_of_codes(room), source, target, tones))


def _copies(codes: pyvips.Image, count: int) -> list[NDArray[Any]]:
    """The copies in an image of three channels each, computed a few rows at a time.

    All channels of a large image at once would take more time to find room for than to compute.
    """
    shape, kind = (codes.height, codes.width, 3), vips.kind_of(codes)
    copies = [np.empty(shape, kind) for _ in range(count)]
    planes = [copy[..., channel] for copy in copies for channel in range(3)]
    threads = pyvips.concurrency_get()

    def fill(first_strip: int) -> None:
        rows = vips.row_reader(codes)
        step = threads * _ROWS_AT_ONCE
        for top in range(first_strip * _ROWS_AT_ONCE, codes.height, step):
            strip = rows(top, min(top + _ROWS_AT_ONCE, codes.height))
            # Channel by channel: three at a time take four times as long.
            for n, plane in enumerate(planes):
                plane[top : top + len(strip)] = strip[..., n]

    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(fill, range(threads)))
    return copies


@lru_cache(maxsize=32)  # the print, mock-up and grey patch of a step all use the same nodes
def _nodes(
    source: bytes, target: bytes, tone: cielab.ToneAdjustment, intent: RenderingIntent
) -> ClutNodes:
    """The table's nodes in extended codes of the target."""
    colours = cielab.adjusted(cielab_of_nodes(source, intent), tone)
    to_light = np.linalg.inv(required_matrix_model(target).to_xyz)
    return extended_range.codes_of(cielab.to_xyz(colours) @ to_light.T)


@lru_cache(maxsize=32)  # as for the nodes
def tone_adjusted_profile(
    profile: bytes, tone: cielab.ToneAdjustment, *, intent: RenderingIntent
) -> bytes:
    """Return an RGB profile like ``profile``, but with adjusted tones.

    It is for labs whose own profile is a table.
    """
    table = _cielab_table_tag(cielab.adjusted(cielab_of_nodes(profile, intent), tone))
    header = icc.ProfileHeader("scnr", "RGB ", "Lab ", 2)
    return icc.build_profile(header, "Source with tone curve", {"A2B0": table, "A2B1": table})


@lru_cache(maxsize=8)  # all steps of a picture start from the same colours
def cielab_of_nodes(profile: bytes, intent: RenderingIntent) -> Floats:
    """Return the CIELAB of the RGB codes at all nodes of the engine's table, channels last.

    The first three axes are red, green and blue, ``CLUT_STEPS`` long each.
    """
    steps = np.linspace(0, 1, CLUT_STEPS)
    nodes = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1)
    model = matrix_model(profile)
    if model is not None:
        return cielab.from_xyz(model.light(nodes) @ model.to_xyz.T)
    codes = np.rint(nodes * 65535).astype(np.uint16).reshape(CLUT_STEPS**2, CLUT_STEPS, 3)
    return table_cielab(vips.image_of_codes(codes), profile, intent).reshape(nodes.shape)


def _cielab_table_tag(colours: Floats) -> bytes:
    """The look-up table in the 16-bit CIELAB encoding of version 2."""
    scaled = np.stack(
        [colours[..., 0] * 652.8, (colours[..., 1] + 128) * 256, (colours[..., 2] + 128) * 256],
        axis=-1,
    )
    table = np.rint(np.clip(scaled, 0, 65535)).astype(">u2").tobytes()
    identity = struct.pack(">HH", 0, 65535) * 3
    unity = struct.pack(">9i", 65536, 0, 0, 0, 65536, 0, 0, 0, 65536)
    head = b"mft2\0\0\0\0" + bytes([3, 3, CLUT_STEPS, 0]) + unity + struct.pack(">HH", 2, 2)
    return head + identity + table + identity


def _pass_through_profile() -> bytes:
    """A profile that passes RGB codes on unchanged, labelled as CIELAB."""
    tag = b"mAB \0\0\0\0\3\3\0\0" + struct.pack(">5I", _TAG_HEADER_SIZE, 0, 0, 0, 0)
    tag += 3 * _IDENTITY_CURVE
    header = icc.ProfileHeader("scnr", "RGB ", "Lab ", 4)
    return icc.build_profile(header, "Codes as they are", {"A2B0": tag, "A2B1": tag})


def _multi_channel_profile(nodes: Sequence[ClutNodes]) -> bytes:
    """A profile from codes labelled as CIELAB to the codes of all tones, three channels each."""
    channels = 3 * len(nodes)
    table = np.concatenate(nodes, axis=-1).astype(">u2").tobytes()
    steps = bytes([CLUT_STEPS] * 3).ljust(16, b"\0") + b"\2\0\0\0"
    clut_offset = _TAG_HEADER_SIZE + 3 * len(_IDENTITY_CURVE)
    body = 3 * _IDENTITY_CURVE + steps + table + b"\0" * (-len(table) % 4)
    offsets = _TAG_HEADER_SIZE, 0, 0, clut_offset, _TAG_HEADER_SIZE + len(body)
    tag = b"mBA \0\0\0\0" + bytes([3, channels, 0, 0]) + struct.pack(">5I", *offsets)
    tag += body + channels * _IDENTITY_CURVE
    header = icc.ProfileHeader("spac", _SIGNATURES[len(nodes)], "Lab ", 4)
    return icc.build_profile(header, "Codes of several tones", {"B2A0": tag, "B2A1": tag})
