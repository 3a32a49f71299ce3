"""How light a surface looks compared with white, and how bright: J and Q of CIECAM16.

Lightness J depends on the ratio to white and hardly changes with the light; brightness Q depends
on the light itself. Source: CIE 248:2022 as colour-science implements it, against which this
module is tested.
"""

import enum
import math
from dataclasses import dataclass

Triple = tuple[float, float, float]

D50_WHITE: Triple = (96.42956764, 100.0, 82.51046025)  # of x 0.34570, y 0.35850, CIE 015:2004
BACKGROUND = 20.0  # per cent: a mid grey surround, the model's own usual value
_CONES = (
    (0.401288, 0.650173, -0.051461),
    (-0.250268, 1.204414, 0.045854),
    (-0.002079, 0.048952, 0.953127),
)
_LEAST_CONE, _MOST_CONE = 0.26, 150.0  # beyond these the response continues as a straight line


class Surround(enum.Enum):
    """How bright the room is round a picture; the values are F and c of the model."""

    AVERAGE = 1.0, 0.69
    """A lit room: prints, and screens that are not much brighter than the room."""
    DIM = 0.9, 0.59
    DARK = 0.8, 0.525


@dataclass(frozen=True, slots=True)
class Viewing:
    """How a picture is viewed: by how much light, and in what surround.

    ``lux`` is the light on prints. A screen counts by the light in which white paper is as bright
    as the white of the screen.
    """

    lux: float
    surround: Surround = Surround.AVERAGE


@dataclass(frozen=True, slots=True)
class Appearance:
    """How a surface looks: ``lightness`` is J, 0 to 100 for white; ``brightness`` is Q."""

    lightness: float
    brightness: float


def adapting_luminance(lux: float) -> float:
    """Return L_A, in cd/m2: the luminance of a matt mid grey surround in this light.

    >>> round(adapting_luminance(500), 2)
    31.83
    """
    return BACKGROUND / 100 * lux / math.pi


def appearance(xyz: Triple, viewing: Viewing, *, white: Triple = D50_WHITE) -> Appearance:
    """Return how a surface looks in even light.

    ``xyz`` is that of the surface, 100 for white; the lux of ``viewing`` are above 0.

    >>> seen = appearance((17.35732218, 18.0, 14.85188285), Viewing(500))
    >>> round(seen.lightness, 2), round(seen.brightness, 1)
    (39.11, 117.6)
    """
    adapting = adapting_luminance(viewing.lux)
    adapts, impact = viewing.surround.value
    level = _level(adapting)
    cones_of_white = _cones(white)
    adapted = _adaptation(adapting, adapts)
    gains = [adapted * 100 / cone + 1 - adapted for cone in cones_of_white]
    induction = BACKGROUND / white[1]
    surface = _achromatic(_cones(xyz), gains, level, induction)
    of_white = _achromatic(cones_of_white, gains, level, induction)
    exponent = impact * (1.48 + math.sqrt(induction))
    lightness = 100 * max(surface / of_white, 0.0) ** exponent
    brightness = 4 / impact * math.sqrt(lightness / 100) * (of_white + 4) * level**0.25
    return Appearance(lightness, brightness)


def grey_seen(reflectance: float, viewing: Viewing) -> Appearance:
    """Return how a neutral surface with this reflectance, 0 to 1, looks under D50 light."""
    x, y, z = D50_WHITE
    return appearance((x * reflectance, y * reflectance, z * reflectance), viewing)


def _cones(xyz: Triple) -> Triple:
    one, two, three = (sum(m * v for m, v in zip(row, xyz, strict=True)) for row in _CONES)
    return one, two, three


def _level(adapting: float) -> float:
    """F_L: how the whole response rises with the light."""
    fourth = (1 / (5 * adapting + 1)) ** 4
    return 0.2 * fourth * 5 * adapting + 0.1 * (1 - fourth) ** 2 * math.cbrt(5 * adapting)


def _adaptation(adapting: float, adapts: float) -> float:
    """D: how far the eye adapts to the colour of the light, 0 to 1."""
    degree = adapts * (1 - math.exp((-adapting - 42) / 92) / 3.6)
    return min(max(degree, 0.0), 1.0)


def _achromatic(cones: Triple, gains: list[float], level: float, induction: float) -> float:
    red, green, blue = (_response(c * g, level) for c, g in zip(cones, gains, strict=True))
    return float((2 * red + green + blue / 20) * 0.725 * (1 / induction) ** 0.2)


def _response(cone: float, level: float) -> float:
    """The response of one kind of cone, without the offset of 0.1 that A subtracts again."""
    if cone < _LEAST_CONE:
        return _curve(_LEAST_CONE, level) * cone / _LEAST_CONE
    if cone > _MOST_CONE:
        return _curve(_MOST_CONE, level) + _slope(_MOST_CONE, level) * (cone - _MOST_CONE)
    return _curve(cone, level)


def _curve(cone: float, level: float) -> float:
    power = (level * cone / 100) ** 0.42
    return float(400 * power / (power + 27.13))


def _slope(cone: float, level: float) -> float:
    power = (level * cone / 100) ** 0.42
    return float(400 * 27.13 * 0.42 * power / (cone * (power + 27.13) ** 2))
