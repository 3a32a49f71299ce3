"""From the numbers of any file to one upright picture, grey or RGB, without alpha."""

from dataclasses import dataclass

import pyvips

from proofs.outside.pixels.kinds import Kind

_CODES = 65536


@dataclass(frozen=True, slots=True)
class Working:
    """An upright picture of 8 or 16 bits, what its numbers mean, and the black of its inks."""

    image: pyvips.Image
    profile: bytes
    black: float = 0.0


def worked(pixels: pyvips.Image, kind: Kind) -> Working:
    """Return the picture that prints: upright, grey or RGB, flattened onto paper white."""
    colours = pixels.extract_band(0, n=kind.channels)
    return Working(_bare(_named(colours).autorot()), kind.meaning.profile)


def _named(image: pyvips.Image) -> pyvips.Image:
    eight = image.format == "uchar"
    names = {1: "b-w" if eight else "grey16", 3: "srgb" if eight else "rgb16"}
    return image.copy(interpretation=names[image.bands])


_GEOMETRY = frozenset({"width", "height", "bands", "format", "coding", "interpretation"})


def _bare(image: pyvips.Image) -> pyvips.Image:
    """The picture without anything its file said beside the pixels."""
    bare = image.copy()
    for field in bare.get_fields():
        if field not in _GEOMETRY | {"xoffset", "yoffset", "xres", "yres", "filename"}:
            bare.remove(field)
    return bare
