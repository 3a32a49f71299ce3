"""How dark to print for the judges' light, and which steps to compare.

Density must not follow the ratio of the lights, because eyes adapt. To keep mid grey equally light
compared with white takes almost no change; to keep it equally bright takes far more than anyone
would print. So the steps to compare lie about half of the way.
"""

import enum
import math
from collections.abc import Callable
from dataclasses import dataclass

from proofs.densities import DENSITY_PER_STOP, signed
from proofs.plan.tones.appearance import Appearance, Surround, Viewing, grey_seen
from proofs.plan.tones.metering import PAPER_WHITE, Illuminance
from proofs.plan.tones.tone import MID_LIGHTNESS, density, reflectance

_STEP, _FURTHEST = 0.05, 4  # D per step, and the most steps from the picture to the middle
_AVERAGE_FROM = 0.2  # the least ratio of whites at which a surround is an average one
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


def viewing_on_screen(white: float, room_lux: float) -> Viewing:
    """Return how a picture is viewed on a screen, from its white in cd/m2 and the room's light.

    Source of the surrounds: CIE 159:2004, 3.1, from memory: the white of the room over that of the
    screen is 0 in a dark surround, below 0.2 in a dim one.

    >>> viewing_on_screen(120, 50).surround.name, viewing_on_screen(120, 100).surround.name
    ('DIM', 'AVERAGE')
    """
    ratio = room_lux / math.pi / white
    surround = Surround.AVERAGE if ratio >= _AVERAGE_FROM else Surround.DIM
    return Viewing(white * math.pi / PAPER_WHITE, surround if ratio else Surround.DARK)


def stops_between(finished: Viewing, judging: Viewing) -> float:
    """Return by how many stops the judging light is brighter; negative if it is dimmer.

    >>> stops_between(Viewing(500), Viewing(2000))
    2.0
    """
    return math.log2(judging.lux / finished.lux)


def change_for_same_lightness(finished: Viewing, judging: Viewing) -> float | None:
    """Return the change of density that keeps mid grey equally light compared with white.

    Positive is darker; None if even white is not as light. Source: CIECAM16.

    >>> round(change_for_same_lightness(Viewing(500), Viewing(2000)), 3)
    0.003
    """
    return _holding(finished, judging, lambda seen: seen.lightness)


def change_for_same_brightness(finished: Viewing, judging: Viewing) -> float | None:
    """Return the change of density that keeps mid grey equally bright.

    Positive is darker; None if even white is not as bright. Source: CIECAM16.

    >>> round(change_for_same_brightness(Viewing(500), Viewing(2000)), 2)
    0.45
    >>> change_for_same_brightness(Viewing(2000), Viewing(200)) is None
    True
    """
    return _holding(finished, judging, lambda seen: seen.brightness)


def suggested_bracket(finished: Viewing, judging: Viewing) -> tuple[float, ...]:
    """Return the changes of density to compare, rising, for a picture finished in one light.

    The middle goes half of the way to the density that keeps the brightness, at most 0.20, with
    one step of 0.05 either side. The picture as it is is always among them.

    >>> suggested_bracket(Viewing(500), Viewing(2000))
    (0.0, 0.15, 0.2, 0.25)
    >>> suggested_bracket(Viewing(500), Viewing(500))
    (-0.05, 0.0, 0.05)
    """
    middle = _middle_steps(finished, judging)
    return tuple(round(_STEP * n, 2) + 0.0 for n in sorted({0, middle - 1, middle, middle + 1}))


def bracket_reason(finished: Viewing, judging: Viewing) -> str:
    """Return the reason for the suggested bracket, as a sentence.

    >>> bracket_reason(Viewing(500), Viewing(500))
    'The lights are alike: compare one step either side of the picture as it is.'
    """
    stops, middle = stops_between(finished, judging), _middle_steps(finished, judging)
    if abs(stops) < _SAME_STOPS and not middle:
        return "The lights are alike: compare one step either side of the picture as it is."
    hold = change_for_same_brightness(finished, judging)
    found = f"The judging light is {abs(stops):.1f} stops {'brighter' if stops > 0 else 'dimmer'}:"
    if hold is None:
        found += " no density would keep mid grey equally bright: even bare white is dimmer;"
    else:
        found += f" {signed(round(hold, 2))} D would keep mid grey equally bright;"
    if not middle:
        return f"{found} half of that is less than a step, so compare one step either side."
    half = "part of the way" if hold is None else "half of that"
    return (
        f"{found} but eyes adapt most of the way, so the steps lie about {half},"
        f" {signed(round(_STEP * middle, 2))} (never beyond 0.20), beside the picture as it is."
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


def _middle_steps(finished: Viewing, judging: Viewing) -> int:
    """The middle of the bracket in steps from the picture as it is; darker is positive."""
    hold = change_for_same_brightness(finished, judging)
    if hold is None:
        return -_FURTHEST
    half = math.floor(abs(hold) / 2 / _STEP + 0.5)
    return min(half, _FURTHEST) * (1 if hold > 0 else -1)


def _holding(
    finished: Viewing, judging: Viewing, correlate: Callable[[Appearance], float]
) -> float | None:
    """The change of density at mid grey that keeps a correlate of its appearance."""
    if finished == judging:
        return 0.0
    own = density(MID_LIGHTNESS)
    wanted = correlate(grey_seen(reflectance(MID_LIGHTNESS), finished))

    def seen(change: float) -> float:
        return correlate(grey_seen(10 ** -(own + change), judging))

    lighter, darker = -own, _DARKEST_GREY
    if seen(lighter) < wanted:
        return None
    for _ in range(_HALVINGS):
        middle = (lighter + darker) / 2
        lighter, darker = (middle, darker) if seen(middle) > wanted else (lighter, middle)
    return round((lighter + darker) / 2, 9) + 0.0  # no minus zero
