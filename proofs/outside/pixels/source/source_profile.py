"""The profile that defines a picture's colours: embedded, declared, or assumed."""

import re
import struct
from dataclasses import dataclass
from typing import Literal

import numpy as np

from proofs.findings import Finding, Severity
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.matrix_models import check_colours
from proofs.outside.pixels.source.file_header import FileHeader
from proofs.outside.pixels.vips import fallback_cmyk_profile

ColourModel = Literal["grey", "rgb", "cmyk", "cielab"]
CHANNELS: dict[ColourModel, int] = {"grey": 1, "rgb": 3, "cmyk": 4, "cielab": 3}
_DCF_ADOBE_RGB_NAME = re.compile(r"_[A-Z0-9]{3}\d{4}\.", re.IGNORECASE)
_UNCALIBRATED = 0xFFFF
_LINEAR, _PQ, _HLG = 8, 16, 18  # transfer characteristics of H.273


@dataclass(frozen=True, slots=True)
class SourceProfile:
    """A profile, the name to show for it (None if it was assumed), and findings."""

    profile: bytes
    name: str | None
    notes: tuple[Finding, ...] = ()


def source_profile_of(
    header: FileHeader, embedded: bytes, colour: ColourModel, *, is_float: bool, name: str = ""
) -> SourceProfile:
    """Return the profile that defines a picture's colours.

    ``embedded`` is its profile as found, empty without one. ``name`` is the file's name, which
    can declare a colour space by the DCF rules for cameras.
    """
    if colour == "cielab":
        return SourceProfile(spaces.built_in_profile("wide"), "CIELAB")
    by_cicp = _by_cicp(header, colour)
    if by_cicp:
        return by_cicp
    notes: tuple[Finding, ...] = ()
    if embedded:
        try:
            check_colours(embedded, CHANNELS[colour])
        except ValueError as error:
            text = f"the embedded profile cannot be used ({error})"
            notes = (Finding("profile-unusable", Severity.WARNING, text),)
        else:
            return SourceProfile(embedded, icc.description(embedded) or "unnamed profile")
    found = _by_png_chunks(header, colour) or _by_exif(header, colour, name)
    found = found or _assumed(colour, is_float, bool(embedded))
    return SourceProfile(found.profile, found.name, notes + found.notes)


def _built_in(name: str, colour: ColourModel, notes: tuple[Finding, ...] = ()) -> SourceProfile:
    if colour == "grey":
        name = "linear-grey" if name.startswith("linear") else "grey"
    profile = spaces.built_in_profile(name)
    return SourceProfile(profile, icc.description(profile), notes)


_CICP = {
    (1, 13): "srgb",
    (12, 13): "display-p3",
    (1, _LINEAR): "linear-srgb",
    (12, _LINEAR): "linear-display-p3",
}


def _by_cicp(header: FileHeader, colour: ColourModel) -> SourceProfile | None:
    """The space that a PNG's cICP chunk names by number; it takes precedence over a profile."""
    chunk = header.chunks.get("cICP", b"")
    if len(chunk) != 4 or colour not in ("rgb", "grey"):
        return None
    name = _CICP.get((chunk[0], chunk[1]))
    if name and chunk[2] == 0 and chunk[3] == 1:
        return _built_in(name, colour)
    name = {_PQ: "HDR by PQ", _HLG: "HDR by HLG"}.get(chunk[1], f"number {chunk[0]}/{chunk[1]}")
    text = (
        f"the file's colour space ({name}) is not supported: taken as sRGB, so tones and colours"
        " will be wrong; save it again with an ordinary profile"
    )
    return _built_in("srgb", colour, (Finding("colour-guessed", Severity.WARNING, text),))


def _by_png_chunks(header: FileHeader, colour: ColourModel) -> SourceProfile | None:
    if "sRGB" in header.chunks:
        return _built_in("srgb", colour)
    chunk = header.chunks.get("gAMA", b"")
    power = int.from_bytes(chunk, "big") / 100_000 if len(chunk) == 4 else 0
    if not 0.1 <= power <= 2 or colour not in ("rgb", "grey"):
        return None
    curve = _power_curve(1 / power)
    name = f"gamma {1 / power:.2f}, from the file"
    if colour == "grey":
        return SourceProfile(icc.build_grey_profile(name, curve), name)
    matrix = spaces.rgb_to_xyz(_primaries(header.chunks.get("cHRM", b"")) or spaces.SRGB)
    return SourceProfile(icc.build_matrix_profile(name, matrix, curve), name)


def _power_curve(gamma: float) -> bytes:
    """A power curve: its exponent, if 1/256 is fine enough for it, else samples."""
    if abs(gamma * 256 - round(gamma * 256)) < 1e-3:
        return icc.gamma_tag(gamma)
    return icc.curve_tag(np.linspace(0, 1, 4096) ** gamma)


def _primaries(chunk: bytes) -> spaces.Primaries | None:
    """The primaries of a PNG's cHRM chunk; None if they enclose no gamut."""
    if len(chunk) != 32:
        return None
    v = [n / 100_000 for n in struct.unpack(">8I", chunk)]
    white, red, green, blue = zip(v[::2], v[1::2], strict=True)
    found = spaces.Primaries(red, green, blue, white)
    if min(y for _, y in (white, red, green)) < 0.01 or blue[1] <= 0:
        return None
    triangle = np.array([[*red, 1], [*green, 1], [*blue, 1]])
    return found if abs(np.linalg.det(triangle)) > 0.01 else None


def _by_exif(header: FileHeader, colour: ColourModel, name: str) -> SourceProfile | None:
    """The space that a camera declares (DCF 2.0, EXIF 2.32: ColorSpace, R98, R03)."""
    number, index = header.exif_colour
    if colour != "rgb":
        return None
    if index == "R03" or number == 2:
        return _built_in("a98-rgb", colour)
    if index == "R98" or number == 1:
        return _built_in("srgb", colour)
    if number == _UNCALIBRATED and _DCF_ADOBE_RGB_NAME.match(name):
        text = "no profile: taken as Adobe RGB, since by camera convention its name begins with _"
        return _built_in("a98-rgb", colour, (Finding("colour-guessed", Severity.NOTE, text),))
    return None


def _assumed(colour: ColourModel, is_float: bool, had_profile: bool) -> SourceProfile:
    prefix = "taken" if had_profile else "no profile: taken"
    code = "colour-guessed" if had_profile else "profile-missing"
    if colour == "cmyk":
        profile, words = fallback_cmyk_profile(), "the chemical-proof press profile of libvips"
    else:
        name, words = _DEFAULTS[colour, is_float]
        profile = spaces.built_in_profile(name)
    return SourceProfile(profile, None, (Finding(code, Severity.NOTE, f"{prefix} as {words}"),))


_DEFAULTS: dict[tuple[ColourModel, bool], tuple[str, str]] = {
    ("rgb", False): ("srgb", "sRGB"),
    ("rgb", True): ("linear-srgb", "linear light with sRGB primaries"),
    ("grey", False): ("grey", "grey with the sRGB curve"),
    ("grey", True): ("linear-grey", "grey in linear light"),
}
