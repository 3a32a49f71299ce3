"""The colour space of a finished file: the print lab's profile, checked before use."""

from dataclasses import dataclass
from pathlib import Path

from proofs.errors import ProfileError
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.matrix_models import check_colours, matrix_model
from proofs.records.labs import COLOUR_SPACES, Lab, RenderingIntent


@dataclass(frozen=True, slots=True)
class OutputSpace:
    """The colour space of a finished file: profile, bit depth, and how to convert into it."""

    profile: bytes
    bits: int
    intent: RenderingIntent = RenderingIntent.RELATIVE
    black_point_compensation: bool = True

    @property
    def compensates_black(self) -> bool:
        """Whether the darkest tone of the source is mapped to the darkest of the print."""
        return self.black_point_compensation and self.intent == RenderingIntent.RELATIVE


SCREEN = OutputSpace(spaces.built_in_profile("srgb"), 8)


def output_space_of(lab: Lab) -> OutputSpace:
    """Return the output space of a lab's files. Raises ``ProfileError`` for a bad profile."""
    return OutputSpace(lab_icc_profile(lab), lab.bits, lab.intent, lab.black_point_compensation)


def lab_icc_profile(lab: Lab) -> bytes:
    """Return the ICC profile that a lab's files are converted to and carry.

    Raises ``ProfileError`` if the file cannot be read or is not a profile for prints.
    """
    if lab.colour_profile in COLOUR_SPACES:
        return spaces.built_in_profile(lab.colour_profile)
    path = Path(lab.colour_profile)
    try:
        profile = path.read_bytes()
    except OSError as error:
        raise ProfileError(
            f"{path}: the ICC profile of the lab {lab.name!r} cannot be read ({error.strerror});"
            f" put the file there or name one of {', '.join(COLOUR_SPACES)}"
        ) from error
    try:
        _check_for_printing(profile)
    except ValueError as error:
        raise ProfileError(
            f"{path}: this ICC profile cannot be used for prints: {error}; ask the lab for it again"
        ) from error
    return profile


def _check_for_printing(profile: bytes) -> None:
    header = icc.read_header(profile)
    if header.colour_space not in ("RGB ", "CMYK", "GRAY"):
        space = header.colour_space.strip()
        raise ValueError(f"it is for {space!r}, not for RGB, CMYK or grey")
    if header.device_class not in ("mntr", "prtr", "spac"):
        raise ValueError(f"its class, {header.device_class!r}, is not for printers or displays")
    icc.check_profile(profile, header.channels)
    present = icc.tags(profile).keys()
    if not ({"B2A0", "B2A1", "kTRC"} & present or matrix_model(profile)):
        raise ValueError("it has no transform from the connection space to device colours")
    check_colours(profile, header.channels)
