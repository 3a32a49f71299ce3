"""The light that prints are viewed in, and reading figures for it as people write them."""

import enum
import re
from dataclasses import dataclass
from fractions import Fraction

from proofs.records.tables import Profile, Table

DEFAULT_FINISHED_UNDER = "editing-desk"  # unless the user names another
LEAST_LUX, MOST_LUX = 1.0, 100_000.0  # candle light to full sun
_LEAST_WHITE, _MOST_WHITE = 20.0, 2000.0  # cd/m2, of a dimmed screen and of one in the sun

_NUMBER = r"(\d{1,7}(?:[.,]\d{1,9})?)"
_LUX = re.compile(rf"{_NUMBER}\s*(?:lx|lux)?", re.IGNORECASE)
_SCREEN = re.compile(
    rf"screen(?:\s+of)?\s+{_NUMBER}\s*cd\s*/\s*m[2²]\s*,?\s*(?:in\s+a\s+)?room(?:\s+of)?\s+{_NUMBER}\s*(?:lx|lux)",
    re.IGNORECASE,
)
_TIME = re.compile(rf"(?:(\d{{1,7}})\s*/\s*)?{_NUMBER}\s*(?:s|sec|seconds?|\")?", re.IGNORECASE)
_APERTURE = re.compile(rf"(?:f\s*/?\s*)?{_NUMBER}", re.IGNORECASE)


class Lamp(enum.StrEnum):
    """A kind of light source."""

    LED = "led"
    TUNGSTEN = "tungsten"
    HALOGEN = "halogen"
    FLUORESCENT = "fluorescent"
    DAYLIGHT = "daylight"
    MIXED = "mixed"
    UNKNOWN = "unknown"


class Ultraviolet(enum.StrEnum):
    """Whether a light contains ultraviolet, which makes the brighteners in paper glow."""

    WITH = "with"
    WITHOUT = "without"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Light(Profile):
    """A light on prints: ``lux`` on the print, and its colour temperature in ``kelvin``.

    ``angle`` is measured in degrees from the line straight out of the print: 0 is head on, 45
    is usual, 90 is along the wall. ``kelvin`` and ``angle`` are None if unknown.
    """

    lux: float
    kelvin: float | None = None
    lamp: Lamp = Lamp.UNKNOWN
    uv: Ultraviolet = Ultraviolet.UNKNOWN
    angle: float | None = None

    def __post_init__(self) -> None:
        if not LEAST_LUX <= self.lux <= MOST_LUX:
            raise ValueError(f"{self.lux:g} lx is outside {LEAST_LUX:g} to {MOST_LUX:g} lx")


def read_light(table: Table, name: str) -> Light:
    """Return the light that a profile describes."""
    light = Light(
        *table.heading(name),
        lux=table.number("lux", least=LEAST_LUX, most=MOST_LUX),
        kelvin=table.number_or_none("kelvin", least=1000, most=20_000),
        lamp=table.choice("lamp", Lamp, default=Lamp.UNKNOWN),
        uv=table.choice("uv", Ultraviolet, default=Ultraviolet.UNKNOWN),
        angle=table.number_or_none("angle", least=0, most=90),
    )
    table.refuse_unknown()
    return light


def light_of_lux(lux: float) -> Light:
    """Return a light of which only the lux are known."""
    return Light(f"{lux:g} lx", f"{lux:g} lx", "as given", lux)


def read_lux(text: str) -> float | None:
    """Return the lux in a text such as ``500 lx``, or None if the text is not a lux figure.

    Raises ``ValueError`` for a figure that is too low or too high for viewing prints.

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


@dataclass(frozen=True, slots=True)
class Screen:
    """A screen on which pictures are finished: its white in cd/m2, and the room's light in lux."""

    white: float
    room_lux: float

    @property
    def words(self) -> str:
        """The screen as it is written in ``job.toml``."""
        return f"screen {self.white:g} cd/m², room {self.room_lux:g} lx"


def read_screen(text: str) -> Screen | None:
    """Return the screen in such a text, or None if the text is about no screen.

    Raises ``ValueError`` for a text about a screen that lacks a figure, or has an unlikely one.

    >>> read_screen("screen 120 cd/m2, room 50 lx"), read_screen("gallery-p2")
    (Screen(white=120.0, room_lux=50.0), None)
    """
    plain = " ".join(text.split())
    if not plain.lower().startswith("screen"):
        return None
    found = _SCREEN.fullmatch(plain)
    if not found:
        raise ValueError(f"{text!r} lacks a figure; write 'screen 120 cd/m2, room 50 lx'")
    white, room = _value(found[1]), _value(found[2])
    if not (_LEAST_WHITE <= white <= _MOST_WHITE and room <= MOST_LUX):
        raise ValueError(
            f"{text!r} is unlikely; screens have {_LEAST_WHITE:g} to {_MOST_WHITE:g} cd/m², rooms"
            f" up to {MOST_LUX:g} lx"
        )
    return Screen(white, room)


def read_seconds(text: str) -> float:
    """Return the exposure time in a text such as ``1/20``, ``0,5 s`` or ``2"``, in seconds.

    >>> read_seconds("1/20"), read_seconds("0,5 s")
    (0.05, 0.5)
    """
    found = _TIME.fullmatch(text.strip())
    below = _value(found[2]) if found else 0.0
    if not found or not below or found[1] == "0":
        raise ValueError(f"{text!r} is not an exposure time; write one such as '1/20' or '0.5 s'")
    return float(found[1]) / below if found[1] else below


def read_aperture(text: str) -> float:
    """Return the f-number in a text such as ``2.8``, ``f/2.8`` or ``f 11``.

    >>> read_aperture("f/2,8"), read_aperture("11")
    (2.8, 11.0)
    """
    found = _APERTURE.fullmatch(text.strip())
    if not found or not _value(found[1]):
        raise ValueError(f"{text!r} is not an aperture; write one such as '2.8' or 'f/11'")
    return _value(found[1])


def _value(text: str) -> float:
    return float(Fraction(text.replace(",", ".")))
