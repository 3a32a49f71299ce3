"""How dark to print for the judges' light, and which steps to compare.

Density must not follow the ratio of the lights, because eyes adapt. To keep mid grey equally light
compared with white takes almost no change; to keep it equally bright takes far more than anyone
would print. So the steps to compare start at no change and go part of the way.
"""

import enum
import math
from collections.abc import Callable
from dataclasses import dataclass

from proofs.densities import DENSITY_PER_STOP, signed
from proofs.plan.tones.appearance import Appearance, grey_seen
from proofs.plan.tones.metering import Illuminance
from proofs.plan.tones.tone import MID_LIGHTNESS, density, reflectance

_STEP, _FURTHEST = 0.10, 2  # D per step, and the most steps towards the same brightness
_DARKEST_GREY = 4.0  # D, darker than any paper: the end of the search
_HALVINGS = 60
_SAME_STOPS = 0.05  # lights closer than this are the same: meters disagree by more


@dataclass(frozen=True, slots=True)
class ViewingCondition:
    """A viewing condition of ISO 3664: its illuminance in lux, and how far that may be off."""

    name: str
    lux: float
    within: float
    use: str

    def allows(self, lux: float) -> bool:
        """Return whether this illuminance meets the condition."""
        return abs(lux - self.lux) <= self.within


# ISO 3664:2009 as secondary sources quote it; the standard was not read.
VIEWING_CONDITIONS = (
    ViewingCondition("P1", 2000, 500, "comparing prints"),
    ViewingCondition("P2", 500, 125, "judging single prints"),
)


class Compliance(enum.StrEnum):
    """Whether a light, known only to a range, meets a viewing condition."""

    INSIDE = "inside"
    PARTLY = "partly"
    """Its usual value does, but not its whole range."""
    PERHAPS = "perhaps"
    """Its usual value does not, but part of its range does."""
    BELOW = "below"
    ABOVE = "above"


def compliance(light: Illuminance, condition: ViewingCondition) -> Compliance:
    """Return whether a light meets a viewing condition.

    >>> str(compliance(Illuminance(392, 376, 400), VIEWING_CONDITIONS[1]))
    'inside'
    """
    if condition.allows(light.lux):
        is_whole = condition.allows(light.least) and condition.allows(light.most)
        return Compliance.INSIDE if is_whole else Compliance.PARTLY
    lowest, highest = condition.lux - condition.within, condition.lux + condition.within
    if light.least <= highest and light.most >= lowest:
        return Compliance.PERHAPS
    return Compliance.BELOW if light.lux < condition.lux else Compliance.ABOVE


def stops_between(home_lux: float, judging_lux: float) -> float:
    """Return by how many stops the judging light is brighter; negative if it is dimmer.

    >>> stops_between(500, 2000)
    2.0
    """
    return math.log2(judging_lux / home_lux)


def change_for_same_lightness(home_lux: float, judging_lux: float) -> float | None:
    """Return the change of density that keeps mid grey equally light compared with white.

    Positive is darker. Source: CIECAM16.

    >>> round(change_for_same_lightness(500, 2000), 3)
    0.003
    """
    return _holding(home_lux, judging_lux, lambda seen: seen.lightness)


def change_for_same_brightness(home_lux: float, judging_lux: float) -> float | None:
    """Return the change of density that keeps mid grey equally bright.

    Positive is darker; None if even white is not as bright. Source: CIECAM16.

    >>> round(change_for_same_brightness(500, 2000), 2), change_for_same_brightness(2000, 200)
    (0.45, None)
    """
    return _holding(home_lux, judging_lux, lambda seen: seen.brightness)


def suggested_bracket(home_lux: float, judging_lux: float) -> tuple[float, ...]:
    """Return the changes of density to compare, rising, for a picture finished in one light.

    Steps of 0.10 from 0 towards the density that keeps the brightness, up to half of it, at
    least one and at most two; and one step the other way.

    >>> suggested_bracket(500, 2000), suggested_bracket(500, 500)
    ((-0.1, 0.0, 0.1, 0.2), (-0.1, 0.0, 0.1))
    """
    steps, way = _steps_towards(home_lux, judging_lux)
    return tuple(sorted(round(_STEP * way * n, 2) + 0.0 for n in range(-1, steps + 1)))


def bracket_reason(home_lux: float, judging_lux: float) -> str:
    """Return the reason for the suggested bracket, as a sentence.

    >>> bracket_reason(500, 500)
    'The lights are alike: compare one step either side of the picture as it is.'
    """
    stops = stops_between(home_lux, judging_lux)
    if abs(stops) < _SAME_STOPS:
        return "The lights are alike: compare one step either side of the picture as it is."
    hold = change_for_same_brightness(home_lux, judging_lux)
    found = f"The judging light is {abs(stops):.1f} stops {'brighter' if stops > 0 else 'dimmer'}:"
    if hold is None:
        found += " no density would keep mid grey equally bright: even bare white is dimmer;"
    else:
        found += f" {signed(round(hold, 2))} D would keep mid grey equally bright;"
        if abs(hold) / 2 < _STEP:
            return f"{found} half of that is less than a step, so compare one step either side."
    way, other = ("darker", "lighter") if stops > 0 else ("lighter", "darker")
    furthest = signed(min(suggested_bracket(home_lux, judging_lux), key=lambda d: -d * stops))
    bound = "" if hold is None else "at most half of that, "
    return (
        f"{found} but eyes adapt most of the way, so the steps go {way} to {furthest}"
        f" ({bound}never beyond 0.20), with one step {other} to show where it goes wrong."
    )


def ratio_warning(stops: float) -> str:
    """Return the warning that density does not follow the ratio of the lights.

    >>> ratio_warning(2.0)
    'Density does not follow the ratio of the lights: 2.0 stops are no reason for 0.60 D.'
    """
    plain = "Density does not follow the ratio of the lights"
    if abs(stops) < _SAME_STOPS:
        return f"{plain}."
    return (
        f"{plain}: {abs(stops):.1f} stops are no reason for {abs(stops) * DENSITY_PER_STOP:.2f} D."
    )


def _steps_towards(home_lux: float, judging_lux: float) -> tuple[int, int]:
    """The number of steps, and their direction: 1 is darker, for a brighter judging light."""
    way = -1 if judging_lux < home_lux else 1
    hold = change_for_same_brightness(home_lux, judging_lux)
    if hold is None:
        return _FURTHEST, way
    halfway = math.floor(abs(hold) / 2 / _STEP + 1e-9)
    return min(max(halfway, 1), _FURTHEST), way


def _holding(
    home_lux: float, judging_lux: float, correlate: Callable[[Appearance], float]
) -> float | None:
    """The change of density at mid grey that keeps a correlate of its appearance."""
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
    return round((lighter + darker) / 2, 9) + 0.0  # no minus zero
