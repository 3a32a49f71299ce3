"""Several densities of a picture in one pass of the colour engine, into a matrix profile's space.

For each pixel the engine seeks its place among 33 steps a side once, then draws as many
channels as are asked for: four densities in one pass cost less than two made alone
(measured). It reads such a table from a pair of profiles: one that passes the picture's codes
on as they are, under the name of Lab, and one from there to all channels.

Layout of the tags: ICC.1:2022, 10.12 and 10.13; signatures of many channels: the same, table 19
(both from memory).
"""

import struct
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.colour.cielab import ToneAdjustment, adjusted, cielab_to_xyz
from proofs.outside.pixels.colour.output_space import OutputSpace
from proofs.outside.pixels.conversion.extended_range import (
    clipping_table,
    extended_codes,
    required_matrix_model,
)
from proofs.outside.pixels.conversion.grey import interpretation
from proofs.outside.pixels.conversion.tone_profile import CLUT_STEPS, cielab_of_nodes
from proofs.records.labs import RenderingIntent

_HELD_BYTES = 400_000_000
_TOGETHER = 4  # twelve channels
_SIGNATURES = {1: "RGB ", 2: "6CLR", 3: "9CLR", 4: "CCLR"}
_STRAIGHT = b"curv\0\0\0\0" + struct.pack(">I", 0)
_HEAD = 32

ClutNodes = NDArray[np.uint16]


def most_in_memory(image: pyvips.Image, bits: int) -> int:
    """Return how many tones of a picture 400 MB of memory hold."""
    return int(_HELD_BYTES // (image.width * image.height * 3 * bits // 8))


def convert_by_clut(
    image: pyvips.Image, source: bytes, target: OutputSpace, tones: Sequence[ToneAdjustment]
) -> list[pyvips.Image]:
    """Return a 16-bit RGB picture at each of these tones, in the target's space and depth.

    Each is the same to the last bit whatever others are made with it. Several are worked out
    here and now, into memory; a single one when it is asked for.
    """
    groups = [tones[start : start + _TOGETHER] for start in range(0, len(tones), _TOGETHER)]
    return [made for group in groups for made in _in_one_pass(image, source, target, group)]


def _in_one_pass(
    image: pyvips.Image, source: bytes, target: OutputSpace, tones: Sequence[ToneAdjustment]
) -> list[pyvips.Image]:
    nodes = [_nodes(source, target.profile, tone, target.intent) for tone in tones]
    roomy = image.icc_transform(
        vips.profile_file(_many_channels(nodes)),
        input_profile=vips.profile_file(_codes_as_they_are()),
        intent=RenderingIntent.ABSOLUTE,  # the engine bends whites to its own with any other
        depth=16,
    )
    table = clipping_table(target.profile, target.bits, times=len(tones))
    codes = roomy.copy(interpretation="multiband").maplut(table)
    if len(tones) > 1:
        codes = codes.copy_memory()
    own = {"interpretation": interpretation(3, target.bits)}
    return [codes.extract_band(3 * n, n=3).copy(**own) for n in range(len(tones))]


@lru_cache(maxsize=32)  # print, mock-up and grey patch of a step all go by the same ones
def _nodes(source: bytes, target: bytes, tone: ToneAdjustment, intent: str) -> ClutNodes:
    """What the codes at the steps of the table become, in roomy codes of the target."""
    lab = adjusted(cielab_of_nodes(source, intent), tone)
    return extended_codes(
        cielab_to_xyz(lab) @ np.linalg.inv(required_matrix_model(target).to_xyz).T
    )


def _codes_as_they_are() -> bytes:
    """A profile by which the codes of RGB themselves pass for Lab."""
    tag = b"mAB \0\0\0\0\3\3\0\0" + struct.pack(">5I", _HEAD, 0, 0, 0, 0) + 3 * _STRAIGHT
    header = icc.ProfileHeader("scnr", "RGB ", "Lab ", 4)
    return icc.build_profile(header, "Codes as they are", {"A2B0": tag, "A2B1": tag})


def _many_channels(nodes: Sequence[ClutNodes]) -> bytes:
    """A profile from such codes to those of all tones, three channels each."""
    channels = 3 * len(nodes)
    table = np.concatenate(nodes, axis=-1).astype(">u2").tobytes()
    steps = bytes([CLUT_STEPS] * 3).ljust(16, b"\0") + b"\2\0\0\0"
    places = _HEAD, 0, 0, _HEAD + 3 * len(_STRAIGHT)
    body = 3 * _STRAIGHT + steps + table + b"\0" * (-len(table) % 4)
    tag = b"mBA \0\0\0\0" + bytes([3, channels, 0, 0])
    tag += struct.pack(">5I", *places, _HEAD + len(body)) + body + channels * _STRAIGHT
    header = icc.ProfileHeader("spac", _SIGNATURES[len(nodes)], "Lab ", 4)
    return icc.build_profile(header, "Codes of several tones", {"B2A0": tag, "B2A1": tag})
