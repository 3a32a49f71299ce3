"""The light on a print, in lux and as EV, from what a photographer can measure.

Incident light is E = C N^2 / (t S), reflected light L = K N^2 / (t S). The standard for meters
allows a range for C and K, so an exposure gives a range of lux.
Source: the public article "Light meter" that quotes ISO 2720:1974; the standard was not read.
"""

import enum
import math
from dataclasses import dataclass

PAPER_WHITE = 0.89  # the reflectance of bare photo paper: D 0.05, from memory
GREY_CARD = 0.18
_LUX_AT_EV_0 = 2.5  # C = 250 at ISO 100
_PHONE_ERROR = 0.25  # phones disagree by this much; common practice, no source
_CAMERA_STOPS = 1 / 3  # by how much a camera's own tone curve may lift a grey; common practice


@dataclass(frozen=True, slots=True)
class Constant:
    """A meter's constant, C or K: its usual value, and the range that the standard allows."""

    usual: float
    least: float
    most: float


FLAT = Constant(250, 240, 400)  # C
DOME = Constant(330, 320, 540)  # C; in practice 320 to 340
REFLECTED = Constant(12.5, 10.6, 13.4)  # K


class Receptor(enum.StrEnum):
    """How a meter was used: with a flat receptor, with a dome, or pointed at a grey card."""

    FLAT = "flat"
    DOME = "dome"
    CARD = "card"


@dataclass(frozen=True, slots=True)
class Exposure:
    """The reading of a meter or a camera: ``seconds`` is the time, ``aperture`` the f-number."""

    iso: float
    seconds: float
    aperture: float

    def __post_init__(self) -> None:
        if not all(0 < v < math.inf for v in (self.iso, self.seconds, self.aperture)):
            raise ValueError(
                f"ISO {self.iso:g}, {self.seconds:g} s, f/{self.aperture:g} is not an exposure"
            )

    @property
    def strength(self) -> float:
        """N^2 / (t S), which a meter's constant multiplies."""
        return self.aperture**2 / (self.seconds * self.iso)

    @property
    def ev(self) -> float:
        """The exposure value at ISO 100.

        Source: the public article "Exposure value".

        >>> round(Exposure(100, 1 / 20, 2.8).ev, 2)
        7.29
        """
        return math.log2(100 * self.strength)


@dataclass(frozen=True, slots=True)
class Illuminance:
    """The light that falls on the print, in lux, and the range that it lies in."""

    lux: float
    least: float
    most: float

    def __post_init__(self) -> None:
        if not 0 < self.least <= self.lux <= self.most < math.inf:
            raise ValueError(
                f"{self.lux:g} lx from {self.least:g} to {self.most:g} is not a measurable light"
            )

    @property
    def is_range(self) -> bool:
        """Whether only a range is known."""
        return self.least < self.most

    @property
    def ev(self) -> float:
        """The exposure value at ISO 100 that a meter with a flat receptor shows (C = 250).

        >>> round(exactly(500).ev, 2)
        7.64
        """
        return math.log2(self.lux / _LUX_AT_EV_0)

    @property
    def paper_white(self) -> float:
        """The luminance of bare photo paper in this light, in cd/m2.

        >>> round(exactly(500).paper_white)
        142
        """
        return self.lux * PAPER_WHITE / math.pi

    def within(self, stops: float) -> "Illuminance":
        """Return the same light with its range wider by this many stops either way."""
        return Illuminance(self.lux, self.least / 2**stops, self.most * 2**stops)


def exactly(lux: float) -> Illuminance:
    """Return a light of exactly this illuminance."""
    return Illuminance(lux, lux, lux)


def by_phone(lux: float) -> Illuminance:
    """Return the light that a phone reads, with an error of up to a quarter either way."""
    return Illuminance(lux, lux * (1 - _PHONE_ERROR), lux * (1 + _PHONE_ERROR))


def by_meter(exposure: Exposure, receptor: Receptor) -> Illuminance:
    """Return the light at which a meter reads this exposure.

    ``receptor`` is ``flat`` or ``dome`` for a meter held where the print will hang, or
    ``card`` for one that is pointed at an 18 % grey card there.

    >>> light = by_meter(Exposure(100, 1 / 20, 2.8), Receptor.FLAT)
    >>> round(light.lux), round(light.least), round(light.most)
    (392, 376, 627)
    """
    if receptor == Receptor.CARD:
        return _scaled(REFLECTED, exposure.strength * math.pi / GREY_CARD)
    return _scaled(FLAT if receptor == Receptor.FLAT else DOME, exposure.strength)


def by_camera(exposure: Exposure, level: float) -> Illuminance:
    """Return the light in which a camera records an 18 % grey card at this level.

    ``level`` is linear, above 0 and up to 1: 0.18 if the exposure was exactly right. Cameras
    turn light into levels each in their own way, so the range is wider than that of a meter by a
    third of a stop either way.
    """
    stops = math.log2(level / GREY_CARD)
    light = _scaled(REFLECTED, exposure.strength * math.pi / GREY_CARD * 2**stops)
    return light.within(_CAMERA_STOPS)


def _scaled(constant: Constant, strength: float) -> Illuminance:
    return Illuminance(
        constant.usual * strength, constant.least * strength, constant.most * strength
    )
