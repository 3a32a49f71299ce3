"""What the pixels of a finished file mean: the lab's colour space, checked before use."""

from dataclasses import dataclass
from pathlib import Path

from proofs.errors import ProfileError
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.matrix_models import matrix_model
from proofs.records.labs import COLOUR_SPACES, Lab, RenderingIntent


@dataclass(frozen=True, slots=True)
class OutputSpace:
    """The colour space of a finished file: profile, depth, and how colours are brought into it."""

    profile: bytes
    bits: int
    intent: RenderingIntent = RenderingIntent.RELATIVE
    black_point_compensation: bool = True

    @property
    def deepens(self) -> bool:
        """Whether the darkest tone of a source is taken to the darkest of the print."""
        return self.black_point_compensation and self.intent == RenderingIntent.RELATIVE


SCREEN = OutputSpace(spaces.built_in_profile("srgb"), 8)


def output_space_of(lab: Lab) -> OutputSpace:
    """Return what a lab wants of colours. Raises ``ProfileError`` for a bad profile."""
    return OutputSpace(lab_icc_profile(lab), lab.bits, lab.intent, lab.black_point_compensation)


def lab_icc_profile(lab: Lab) -> bytes:
    """Return the ICC profile of a lab: what its files carry.

    Raises ``ProfileError`` where the file named cannot be read or is no profile for prints.
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
    if header.space not in ("RGB ", "CMYK", "GRAY"):
        raise ValueError(f"it is for {header.space.strip()!r}, not for RGB, CMYK or grey")
    if header.device_class not in ("mntr", "prtr", "spac"):
        raise ValueError(f"its class is {header.device_class!r}, not a print's or a screen's")
    icc.check_profile(profile, header.channels)
    present = icc.tags(profile).keys()
    if not ({"B2A0", "B2A1", "kTRC"} & present or matrix_model(profile)):
        raise ValueError("it holds no way from light back to colour")
