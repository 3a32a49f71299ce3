"""How dark to print for the judges' light: what would hold a grey, and what to compare.

Density must not follow the ratio of the lights. Eyes adapt: next to nothing holds how light a
mid grey looks beside white, and what holds its brightness is far more than anyone wants to
print. So the steps to compare start at no change and go part of the way.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from proofs.densities import DENSITY_PER_STOP, signed
from proofs.plan.tones.appearance import Appearance, grey_seen
from proofs.plan.tones.metering import Illuminance
from proofs.plan.tones.tone import MID_LIGHTNESS, density, reflectance
from proofs.records.lights import Light

_STEP, _FURTHEST = 0.10, 2  # D a step, and the most steps towards the density that holds
_DARKEST_GREY = 4.0  # D beyond any paper: the end of the search
_HALVINGS = 60
_SAME_STOPS = 0.05  # lights this near are one light: meters disagree by more


@dataclass(frozen=True, slots=True)
class Level:
    """A level of light that ISO 3664 asks for, in lux, and how far it may be off."""

    name: str
    lux: float
    within: float
    use: str

    def allows(self, lux: float) -> bool:
        """Return whether so many lux are as good as the level itself."""
        return abs(lux - self.lux) <= self.within


# ISO 3664:2009 as secondary sources quote it; the standard was not read.
LEVELS = (
    Level("P1", 2000, 500, "comparing prints"),
    Level("P2", 500, 125, "judging single prints"),
)


def standing(light: Illuminance, level: Level) -> str:
    """Return where a light stands: ``inside``, ``perhaps``, ``partly``, ``below`` or ``above``.

    ``partly`` is a figure inside whose range reaches out, ``perhaps`` one outside whose range
    reaches in.

    >>> standing(Illuminance(392, 376, 400), LEVELS[1])
    'inside'
    """
    if level.allows(light.lux):
        return "inside" if level.allows(light.least) and level.allows(light.most) else "partly"
    if light.least <= level.lux + level.within and light.most >= level.lux - level.within:
        return "perhaps"
    return "below" if light.lux < level.lux else "above"


def stops_between(home_lux: float, judging_lux: float) -> float:
    """Return by how many stops the judging light is brighter; negative where it is dimmer.

    >>> stops_between(500, 2000)
    2.0
    """
    return math.log2(judging_lux / home_lux)


def holding_lightness(home_lux: float, judging_lux: float) -> float | None:
    """Return the change of density with which mid grey looks as light beside white as at home.

    Positive is darker. Source: CIECAM16.

    >>> round(holding_lightness(500, 2000), 3)
    0.003
    """
    return _holding(home_lux, judging_lux, lambda seen: seen.lightness)


def holding_brightness(home_lux: float, judging_lux: float) -> float | None:
    """Return the change of density with which mid grey looks as bright as at home.

    Positive is darker; None where not even white is as bright. Source: CIECAM16.

    >>> round(holding_brightness(500, 2000), 2), holding_brightness(2000, 200)
    (0.45, None)
    """
    return _holding(home_lux, judging_lux, lambda seen: seen.brightness)


def suggested_bracket(home: Light | float, judging: Light | float) -> tuple[float, ...]:
    """Return the changes of density to compare, rising, for a picture finished in one light.

    Steps of 0.10 from 0 towards the density that holds brightness, up to half of it, one at
    the least and two at the most; and one step the other way.

    >>> suggested_bracket(500, 2000), suggested_bracket(500, 500)
    ((-0.1, 0.0, 0.1, 0.2), (-0.1, 0.0, 0.1))
    """
    steps, way = _steps_towards(_lux(home), _lux(judging))
    return tuple(sorted(round(_STEP * way * n, 2) + 0.0 for n in range(-1, steps + 1)))


def reason(home: Light | float, judging: Light | float) -> str:
    """Return in a sentence why the suggested bracket is what it is.

    >>> reason(500, 500)
    'The lights are alike: compare one step either side of the picture as it is.'
    """
    home_lux, judging_lux = _lux(home), _lux(judging)
    stops = stops_between(home_lux, judging_lux)
    if abs(stops) < _SAME_STOPS:
        return "The lights are alike: compare one step either side of the picture as it is."
    hold = holding_brightness(home_lux, judging_lux)
    found = f"The judging light is {abs(stops):.1f} stops {'brighter' if stops > 0 else 'dimmer'}:"
    if hold is None:
        found += " no density would keep mid grey equally bright: even bare white is dimmer;"
    else:
        found += f" {signed(round(hold, 2))} D would keep mid grey equally bright;"
        if abs(hold) / 2 < _STEP:
            return f"{found} half of that is less than a step, so compare one step either side."
    way, other = ("darker", "lighter") if stops > 0 else ("lighter", "darker")
    furthest = signed(min(suggested_bracket(home, judging), key=lambda d: -d * stops))
    bound = "" if hold is None else "at most half of that, "
    return (
        f"{found} but eyes adapt most of the way, so the steps go {way} to {furthest}"
        f" ({bound}never beyond 0.20), with one step {other} to show where it goes wrong."
    )


def warning(stops: float) -> str:
    """Return the plain words that density does not follow the ratio of the lights.

    >>> warning(2.0)
    'Density does not follow the ratio of the lights: 2.0 stops are no reason for 0.60 D.'
    """
    plain = "Density does not follow the ratio of the lights"
    if abs(stops) < _SAME_STOPS:
        return f"{plain}."
    return (
        f"{plain}: {abs(stops):.1f} stops are no reason for {abs(stops) * DENSITY_PER_STOP:.2f} D."
    )


def _lux(light: Light | float) -> float:
    return light.lux if isinstance(light, Light) else light


def _steps_towards(home_lux: float, judging_lux: float) -> tuple[int, int]:
    """How many steps to go, and which way: 1 is darker, for a brighter judging light."""
    way = -1 if judging_lux < home_lux else 1
    hold = holding_brightness(home_lux, judging_lux)
    if hold is None:
        return _FURTHEST, way
    halfway = math.floor(abs(hold) / 2 / _STEP + 1e-9)
    return min(max(halfway, 1), _FURTHEST), way


def _holding(
    home_lux: float, judging_lux: float, correlate: Callable[[Appearance], float]
) -> float | None:
    """The change of density at mid grey that leaves a correlate of its appearance as it was."""
    if home_lux == judging_lux:
        return 0.0
    own = density(MID_LIGHTNESS)
    wanted = correlate(grey_seen(reflectance(MID_LIGHTNESS), home_lux))

    def seen(change: float) -> float:
        return correlate(grey_seen(10 ** -(own + change), judging_lux))

    lighter, darker = -own, _DARKEST_GREY
    if seen(lighter) < wanted:
        return None
    for _ in range(_HALVINGS):
        middle = (lighter + darker) / 2
        lighter, darker = (middle, darker) if seen(middle) > wanted else (lighter, middle)
    return round((lighter + darker) / 2, 9) + 0.0  # equal lights leave no crumb of a sign
