"""What happens to a picture's colours in a lab's file, read back through the lab's own profile.

The colours that the tone curve asked for are compared with those in the file, relative to the
paper's white. If black point compensation, or the perceptual table, turns black into the paper's
darkest tone, the requested colours are first compressed in the same way, linearly in light between
the paper's black and its white. How black a paper gets is no loss of colour, and is reported
separately.
"""

from dataclasses import dataclass

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.inspection.colour_difference import ciede2000
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import cielab, icc, spaces
from proofs.outside.pixels.colour.icc import D50_XYZ, Floats
from proofs.outside.pixels.colour.matrix_models import matrix_model
from proofs.outside.pixels.colour.output_space import SCREEN, OutputSpace, output_space_of
from proofs.outside.pixels.colour.pixel_cielab import cielab_of_image
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import converted
from proofs.plan.delivery.soft_proofs import Medium
from proofs.plan.entry.mockup import PAPER, Colour
from proofs.records.labs import Lab, RenderingIntent

Codes = NDArray[np.uint8]
ColourDifferences = NDArray[np.float32]

_LOWEST_PAPER_BLACK = 1.0  # L*; a matrix profile records no black and puts it at 0
_OWN_WHITE = 1e-3  # of XYZ; no paper is that near to D50


@dataclass(frozen=True, slots=True)
class ProofPixels:
    """A picture as the screen and as the paper show it, in sRGB, and what each pixel loses.

    ``loss`` is the CIEDE2000 between the requested colour and that of the file. ``excess`` is how
    far, in the same unit, the requested colour is outside the profile's gamut, whatever the
    intent. If the profile describes no paper, ``on_paper`` holds the colours of the file.
    """

    on_screen: Codes
    on_paper: Codes
    loss: ColourDifferences
    excess: ColourDifferences


def proof_pixels(base: ProfiledImage, lab: Lab, density: float) -> ProofPixels:
    """Return an image at a density on screen and on the lab's paper, and what it loses there.

    Raises ``ProfileError`` for a bad profile.
    """
    vips.ready()
    target = output_space_of(lab)
    requested = _requested(base, target, density)
    in_file = cielab_of_image(converted(base, target, density), target.profile)
    loss = ciede2000(requested, in_file)
    return ProofPixels(
        np.asarray(converted(base, SCREEN, density).numpy()),
        _screen_codes(_measured(in_file, target.profile)),
        loss.astype(np.float32),
        _excess(requested, loss, target.profile).astype(np.float32),
    )


def print_medium_of(lab: Lab) -> Medium:
    """Return the white that the lab's profile states, and the darkest tone of the lab's files."""
    vips.ready()
    target = output_space_of(lab)
    name = icc.description(target.profile) or "unnamed profile"
    if not _describes_paper(target.profile):
        return Medium(name)
    lightness, a, b = (float(v) for v in cielab.from_xyz(_white_scale(target.profile) * D50_XYZ))
    darkest = float(cielab.from_xyz(_measured(_darkest(target), target.profile))[0])
    return Medium(name, (lightness, a, b), darkest if darkest > _LOWEST_PAPER_BLACK else None)


def paper_colour(medium: Medium) -> Colour:
    """Return a paper's white in sRGB, as it looks next to the screen's; white if it is unknown."""
    if medium.white is None:
        return PAPER
    red, green, blue = (int(c) for c in _screen_codes(cielab.to_xyz(np.array(medium.white))))
    return red, green, blue


def _requested(base: ProfiledImage, target: OutputSpace, density: float) -> Floats:
    """The CIELAB, relative to the paper's white, that the tone curve asks of the print."""
    colours = cielab_of_image(base.image, base.profile, intent=target.intent)
    black = base.black if target.compensates_black else 0.0
    requested = cielab.adjusted(colours, cielab.ToneAdjustment(density, black))
    if target.intent == RenderingIntent.ABSOLUTE:
        return cielab.from_xyz(cielab.to_xyz(requested) / _white_scale(target.profile))
    # A matrix profile has no black of its own, so conversion to it leaves shadows unchanged.
    is_table = matrix_model(target.profile) is None
    if not (is_table and (target.compensates_black or target.intent == RenderingIntent.PERCEPTUAL)):
        return requested
    darkest = cielab.to_xyz(np.array([_darkest(target)[0], 0.0, 0.0]))[1]
    return cielab.from_xyz(cielab.to_xyz(requested) * (1 - darkest) + darkest * D50_XYZ)


def _excess(requested: Floats, loss: Floats, profile: bytes) -> Floats:
    """How far colours are out of gamut: what they lose in a round trip through the tables.

    The tables of a profile are rarely exact inverses. The colour that comes back is in gamut, so
    what it loses in a second round trip is the tables' own error, and is subtracted.
    """
    if not {"B2A0", "B2A1"} & icc.tags(profile).keys():
        return loss  # a matrix or a curve has an exact inverse
    once = _round_trip(requested, profile)
    twice = _round_trip(once, profile)
    return np.maximum(ciede2000(requested, once) - ciede2000(once, twice), 0)


def _round_trip(colours: Floats, profile: bytes) -> Floats:
    image = pyvips.Image.new_from_array(colours.astype(np.float32), interpretation="lab")
    file = vips.profile_file(profile)
    codes = image.icc_export(output_profile=file, intent="relative", depth=16)
    return cielab_of_image(codes, profile)


def _darkest(target: OutputSpace) -> Floats:
    """The CIELAB, relative to the paper's white, that black becomes in the lab's files."""
    black = pyvips.Image.black(1, 1).cast("ushort").copy(interpretation="grey16")
    file = converted(ProfiledImage(black, spaces.built_in_profile("grey")), target, 0.0)
    return np.asarray(cielab_of_image(file, target.profile)[0, 0])


def _describes_paper(profile: bytes) -> bool:
    """Whether a profile is for a paper: a printer's, with a white of its own."""
    is_printer = icc.read_header(profile).device_class == "prtr"
    return is_printer and bool(np.abs(icc.media_white(profile) - D50_XYZ).max() > _OWN_WHITE)


def _white_scale(profile: bytes) -> Floats:
    """From XYZ relative to the paper's white to measured XYZ."""
    return icc.media_white(profile) / D50_XYZ if _describes_paper(profile) else np.ones(3)


def _measured(colours: Floats, profile: bytes) -> Floats:
    """The measured XYZ of colours on the paper, its white included."""
    return np.asarray(cielab.to_xyz(colours) * _white_scale(profile))


def _screen_codes(xyz: Floats) -> Codes:
    """The sRGB codes of XYZ (D50), whose white is the screen's."""
    light = np.clip(xyz @ np.linalg.inv(spaces.rgb_to_xyz(spaces.SRGB)).T, 0, 1)
    return np.asarray(np.rint(spaces.linear_to_srgb(light) * 255), dtype=np.uint8)
