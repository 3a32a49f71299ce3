"""What a lab's file says of a picture's colours, read back through the lab's own profile.

What the tone curve asked for is compared with what the file holds, relative to the paper's white.
Where black point compensation, or the perceptual table, makes the paper's darkest tone of black,
the colours asked for are first drawn together in the same way, straight in linear light between
the paper's black and its white: how black a paper gets is told by itself, and is no loss of colour.
"""

from dataclasses import dataclass

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.inspection.colour_difference import ciede2000
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.cielab import (
    ToneAdjustment,
    adjusted,
    cielab_to_xyz,
    xyz_to_cielab,
)
from proofs.outside.pixels.colour.icc import D50_XYZ, Floats
from proofs.outside.pixels.colour.matrix_models import matrix_model
from proofs.outside.pixels.colour.output_space import SCREEN, OutputSpace, output_space_of
from proofs.outside.pixels.colour.pixel_cielab import cielab_of_image
from proofs.outside.pixels.conversion.convert import converted
from proofs.outside.pixels.resize.print_size import ProfiledImage
from proofs.plan.delivery.gamut import Medium
from proofs.plan.entry.mockup import PAPER, Colour
from proofs.records.labs import Lab, RenderingIntent

Codes = NDArray[np.uint8]
Losses = NDArray[np.float32]

_NO_PAPERS_BLACK = 1.0  # L*; a matrix tells of none, and puts black at 0
_OWN_WHITE = 1e-3  # of XYZ; nearer to D50 than any paper is


@dataclass(frozen=True, slots=True)
class ProofPixels:
    """A picture as it is and as the paper shows it, in sRGB, and what each pixel loses.

    ``loss`` is the CIEDE2000 from the colour asked for to that of the file; ``beyond`` how far,
    in the same unit, the colour asked for lies out of the profile's reach, whatever the intent.
    Without a paper to show, ``on_paper`` holds the colours of the file.
    """

    as_it_is: Codes
    on_paper: Codes
    loss: Losses
    beyond: Losses


def proof_pixels(base: ProfiledImage, lab: Lab, density: float) -> ProofPixels:
    """Return what becomes of a base at a density in the lab's file.

    Raises ``ProfileError`` for a bad profile.
    """
    vips.ready()
    target = output_space_of(lab)
    wanted = _wanted(base, target, density)
    held = cielab_of_image(converted(base, target, density), target.profile)
    loss = ciede2000(wanted, held)
    return ProofPixels(
        np.asarray(converted(base, SCREEN, density).numpy()),
        _screen_codes(_measured(held, target.profile)),
        loss.astype(np.float32),
        _beyond(wanted, loss, target.profile).astype(np.float32),
    )


def print_medium_of(lab: Lab) -> Medium:
    """Return what the lab's profile tells of its paper; the darkest tone is by the lab's route."""
    vips.ready()
    target = output_space_of(lab)
    name = icc.description(target.profile) or "unnamed profile"
    if not _tells_paper(target.profile):
        return Medium(name)
    lightness, a, b = (float(v) for v in xyz_to_cielab(_scale(target.profile) * D50_XYZ))
    darkest = float(xyz_to_cielab(_measured(_darkest(target), target.profile))[0])
    return Medium(name, (lightness, a, b), darkest if darkest > _NO_PAPERS_BLACK else None)


def paper_colour(medium: Medium) -> Colour:
    """Return a paper's white in sRGB beside the white of the screen; white where none is told."""
    if medium.white is None:
        return PAPER
    red, green, blue = (int(c) for c in _screen_codes(cielab_to_xyz(np.array(medium.white))))
    return red, green, blue


def _wanted(base: ProfiledImage, target: OutputSpace, density: float) -> Floats:
    """The CIELAB, from the paper's white, that the tone curve asks of the print."""
    lab = cielab_of_image(base.image, base.profile, intent=target.intent)
    asked = adjusted(lab, ToneAdjustment(density, base.black if target.deepens else 0.0))
    if target.intent == RenderingIntent.ABSOLUTE:
        return xyz_to_cielab(cielab_to_xyz(asked) / _scale(target.profile))
    # A matrix has no black of its own: the route to one leaves shadows where they are.
    by_table = matrix_model(target.profile) is None
    if not (by_table and (target.deepens or target.intent == RenderingIntent.PERCEPTUAL)):
        return asked
    black = cielab_to_xyz(np.array([_darkest(target)[0], 0.0, 0.0]))[1]
    return xyz_to_cielab(cielab_to_xyz(asked) * (1 - black) + black * D50_XYZ)


def _beyond(wanted: Floats, loss: Floats, profile: bytes) -> Floats:
    """How far colours lie out of reach: what they lose on the way there and back by the tables.

    Tables of profiles seldom undo one another. What a colour surely within reach loses at the
    same place, the one that came back, is their own error and is taken off.
    """
    if not {"B2A0", "B2A1"} & icc.tags(profile).keys():
        return loss  # a matrix or a curve errs by nothing
    once = _there_and_back(wanted, profile)
    twice = _there_and_back(once, profile)
    return np.maximum(ciede2000(wanted, once) - ciede2000(once, twice), 0)


def _there_and_back(lab: Floats, profile: bytes) -> Floats:
    colours = pyvips.Image.new_from_array(lab.astype(np.float32), interpretation="lab")
    file = vips.profile_file(profile)
    codes = colours.icc_export(output_profile=file, intent="relative", depth=16)
    return cielab_of_image(codes, profile)


def _darkest(target: OutputSpace) -> Floats:
    """The CIELAB, from the paper's white, of what the lab's route makes of black."""
    black = pyvips.Image.black(1, 1).cast("ushort").copy(interpretation="grey16")
    file = converted(ProfiledImage(black, spaces.built_in_profile("grey")), target, 0.0)
    return np.asarray(cielab_of_image(file, target.profile)[0, 0])


def _tells_paper(profile: bytes) -> bool:
    """Whether a profile is made for a paper: a printer's, with a white of its own."""
    is_printer = icc.read_header(profile).device_class == "prtr"
    return is_printer and bool(np.abs(icc.media_white(profile) - D50_XYZ).max() > _OWN_WHITE)


def _scale(profile: bytes) -> Floats:
    """From XYZ relative to the paper's white to XYZ as measured."""
    return icc.media_white(profile) / D50_XYZ if _tells_paper(profile) else np.ones(3)


def _measured(lab: Floats, profile: bytes) -> Floats:
    """The XYZ of colours on the paper, its white included."""
    return np.asarray(cielab_to_xyz(lab) * _scale(profile))


def _screen_codes(xyz: Floats) -> Codes:
    """The sRGB codes of XYZ (D50), whose white is the screen's."""
    light = np.clip(xyz @ np.linalg.inv(spaces.rgb_to_xyz(spaces.SRGB)).T, 0, 1)
    return np.asarray(np.rint(spaces.linear_to_srgb(light) * 255), dtype=np.uint8)
