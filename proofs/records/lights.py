"""The light that prints are looked at in, and what people write of it."""

import enum
import re
from dataclasses import dataclass
from fractions import Fraction

from proofs.records.tables import Table

USUAL_HOME = "home"  # the light that pictures are finished for, where nobody says another
LEAST_LUX, MOST_LUX = 1.0, 100_000.0  # candle light to full sun

_NUMBER = r"(\d{1,7}(?:[.,]\d{1,9})?)"
_LUX = re.compile(rf"{_NUMBER}\s*(?:lx|lux)?", re.IGNORECASE)
_TIME = re.compile(rf"(?:(\d{{1,7}})\s*/\s*)?{_NUMBER}\s*(?:s|sec|seconds?|\")?", re.IGNORECASE)
_APERTURE = re.compile(rf"(?:f\s*/?\s*)?{_NUMBER}", re.IGNORECASE)


class Lamp(enum.StrEnum):
    """What gives a light."""

    LED = "led"
    TUNGSTEN = "tungsten"
    HALOGEN = "halogen"
    FLUORESCENT = "fluorescent"
    DAYLIGHT = "daylight"
    MIXED = "mixed"
    UNKNOWN = "unknown"


class Ultraviolet(enum.StrEnum):
    """Whether a light makes the brighteners in paper glow."""

    WITH = "with"
    WITHOUT = "without"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Light:
    """A light on prints. ``lux`` falls on the print, ``kelvin`` is its colour.

    ``angle`` is how far, in degrees, the light
    comes from beside the line straight out of the print: 0 is straight on, 45 the usual, and
    90 along the wall. Kelvin and angle are None where nobody knows.
    """

    name: str
    title: str
    source: str
    lux: float
    kelvin: float | None = None
    lamp: Lamp = Lamp.UNKNOWN
    uv: Ultraviolet = Ultraviolet.UNKNOWN
    angle: float | None = None

    def __post_init__(self) -> None:
        if not LEAST_LUX <= self.lux <= MOST_LUX:
            raise ValueError(f"{self.lux:g} lx is no light to look at prints in")


def read_light(table: Table, name: str) -> Light:
    """Return the light that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    light = Light(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        lux=_needed(table, "lux", LEAST_LUX, MOST_LUX),
        kelvin=table.number_or_none("kelvin", least=1000, most=20_000),
        lamp=table.choice("lamp", Lamp, default=Lamp.UNKNOWN),
        uv=table.choice("uv", Ultraviolet, default=Ultraviolet.UNKNOWN),
        angle=table.number_or_none("angle", least=0, most=90),
    )
    table.done()
    return light


def bare_light(lux: float) -> Light:
    """Return a light of which only the lux are known."""
    return Light(f"{lux:g} lx", f"{lux:g} lx", "as given", lux)


def read_lux(text: str) -> float | None:
    """Return the lux that a person wrote, or None for a text that is no lux figure.

    Raises ``ValueError`` for a figure that is no light to look at prints in.

    >>> read_lux("500 lx"), read_lux("1210,5"), read_lux("hall-tungsten")
    (500.0, 1210.5, None)
    """
    found = _LUX.fullmatch(text.strip())
    if not found:
        return None
    lux = _value(found[1])
    if not LEAST_LUX <= lux <= MOST_LUX:
        raise ValueError(f"{text!r} is outside {LEAST_LUX:g} to {MOST_LUX:g} lx")
    return lux


def read_seconds(text: str) -> float:
    """Return the time of an exposure that a person wrote: ``1/20``, ``0,5 s``, ``2"``.

    >>> read_seconds("1/20"), read_seconds("0,5 s")
    (0.05, 0.5)
    """
    found = _TIME.fullmatch(text.strip())
    below = _value(found[2]) if found else 0.0
    if not found or not below or found[1] == "0":
        raise ValueError(f"{text!r} is no exposure time; write one such as '1/20' or '0.5 s'")
    return float(found[1]) / below if found[1] else below


def read_aperture(text: str) -> float:
    """Return the f-number that a person wrote: ``2.8``, ``f/2.8``, ``f 11``.

    >>> read_aperture("f/2,8"), read_aperture("11")
    (2.8, 11.0)
    """
    found = _APERTURE.fullmatch(text.strip())
    if not found or not _value(found[1]):
        raise ValueError(f"{text!r} is no aperture; write one such as '2.8' or 'f/11'")
    return _value(found[1])


def _value(text: str) -> float:
    return float(Fraction(text.replace(",", ".")))


def _needed(table: Table, key: str, least: float, most: float) -> float:
    value = table.number_or_none(key, least=least, most=most)
    if value is None:
        raise table.wrong(key, f"a number from {least:g} to {most:g}")
    return value
