"""What ``proofs light`` says of a light on prints, for people and as a record for programs."""

from dataclasses import asdict, dataclass
from typing import Any

from proofs.densities import signed
from proofs.plan.tones.metering import Illuminance
from proofs.plan.tones.viewing import (
    LEVELS,
    Level,
    holding_brightness,
    holding_lightness,
    reason,
    standing,
    stops_between,
    suggested_bracket,
    warning,
)
from proofs.records.lights import Light

_WARM, _COLD = 4000, 6000  # kelvin; common practice, no source
_STEEP, _GRAZING = 25, 70  # degrees; common practice, no source
_STANDINGS = {
    "inside": "inside",
    "partly": "inside by its figure, not by its whole range:",
    "perhaps": "perhaps inside, by its range:",
    "below": "too dim:",
    "above": "brighter:",
}


@dataclass(frozen=True, slots=True)
class LightReading:
    """A light as it was measured or named.

    ``origin`` says how, ``ev`` is at ISO 100, ``doubt`` says why it is a range, where it is
    one, and ``light`` is the profile, where there is one.
    """

    origin: str
    ev: float
    illuminance: Illuminance
    doubt: str = ""
    light: Light | None = None


def reading_lines(reading: LightReading) -> list[str]:
    """Return a reading in plain words, a line a fact."""
    light = reading.illuminance
    spread = f", {lux_text(light.least)} to {lux_text(light.most)} {reading.doubt}"
    facts = [
        ("light", reading.origin),
        ("exposure", f"EV {reading.ev:.2f} at ISO 100"),
        ("on prints", f"{lux_text(light.lux)} lx{spread if light.is_range else ''}"),
        ("paper", f"bare white of {light.paper_white:.0f} cd/m² (it reflects 0.89)"),
        *((f"ISO 3664 {level.name}", _stands(light, level)) for level in LEVELS),
        *notes(reading.light),
    ]
    return _aligned(facts)


def versus_lines(reading: LightReading, home: Light) -> list[str]:
    """Return what a picture finished in the light ``home`` wants in this one, in plain words."""
    lux = reading.illuminance.lux
    stops = stops_between(home.lux, lux)
    steps = suggested_bracket(home, lux)
    facts = [
        ("judged in", f"{lux_text(lux)} lx, the light above"),
        ("finished in", f"{lux_text(home.lux)} lx: {_named(home)}"),
        ("difference", _difference(stops)),
        ("lightness", f"{_density(holding_lightness(home.lux, lux))} would hold that of mid grey"),
        (
            "brightness",
            f"{_density(holding_brightness(home.lux, lux))} would hold that of mid grey",
        ),
        ("steps", "; ".join(signed(step) for step in steps)),
    ]
    return [*_aligned(facts), reason(home, lux), warning(stops)]


def notes(light: Light | None) -> list[tuple[str, str]]:
    """Return a word each on the colour of a light, on UV and on glare."""
    kelvin = light.kelvin if light else None
    angle = light.angle if light else None
    return [
        ("colour", _colour(kelvin)),
        ("UV", _uv(light.uv if light else "unknown")),
        ("glare", _glare(angle)),
    ]


def record(reading: LightReading, home: Light | None) -> dict[str, Any]:
    """Return a reading, and the light that it is compared with, as JSON holds them."""
    light = reading.illuminance
    made: dict[str, Any] = {
        "origin": reading.origin,
        "light": asdict(reading.light) if reading.light else None,
        "ev_iso_100": round(reading.ev, 4),
        "lux": round(light.lux, 3),
        "lux_least": round(light.least, 3),
        "lux_most": round(light.most, 3),
        "paper_white_cd_m2": round(light.paper_white, 3),
        "iso_3664": {level.name: standing(light, level) for level in LEVELS},
        "notes": dict(notes(reading.light)),
        "versus": None,
    }
    if home:
        made["versus"] = {
            "light": asdict(home),
            "stops": round(stops_between(home.lux, light.lux), 4),
            "density_holding_lightness": _rounded(holding_lightness(home.lux, light.lux)),
            "density_holding_brightness": _rounded(holding_brightness(home.lux, light.lux)),
            "bracket": list(suggested_bracket(home, light.lux)),
            "reason": reason(home, light.lux),
        }
    return made


def lux_text(lux: float) -> str:
    """Return a lux figure with no more digits than it is good for.

    >>> lux_text(391.7), lux_text(4.26)
    ('392', '4.3')
    """
    return f"{lux:.0f}" if lux >= 10 else f"{lux:.1f}"


def _aligned(facts: list[tuple[str, str]]) -> list[str]:
    return [f"{word:<12} {fact}" for word, fact in facts]


def _named(light: Light) -> str:
    return light.title if light.name == light.title else f"{light.name} - {light.title}"


def _stands(light: Illuminance, level: Level) -> str:
    found = standing(light, level)
    asked = f"{level.lux:.0f} ± {level.within:.0f} lx, for {level.use}"
    if level.allows(light.lux):
        return f"{_STANDINGS[found]} {asked}"
    side = "below" if light.lux < level.lux else "above"
    stops = abs(stops_between(level.lux, light.lux))
    return f"{_STANDINGS[found]} {stops:.1f} stops {side} {asked}"


def _colour(kelvin: float | None) -> str:
    if kelvin is None:
        return (
            f"not known; below about {_WARM} K blues go dark, whites yellow: compare prints there"
        )
    if kelvin < _WARM:
        return (
            f"{kelvin:.0f} K is warm light: blues go dark, whites and greys yellow;"
            " compare colours there, not by a window"
        )
    if kelvin > _COLD:
        return f"{kelvin:.0f} K is cold light: reds go dull, whites and greys blue"
    return f"{kelvin:.0f} K, near the 5000 K that ISO 3664 asks for"


def _uv(uv: str) -> str:
    if uv == "with":
        return "with UV: papers with brighteners look whiter and bluer than under lamps without"
    if uv == "without":
        # P3 and P4 of the edition of 2025, from secondary sources; the standard was not read.
        return (
            "without UV: papers with brighteners look duller and yellower than by daylight"
            " (ISO 3664:2025 has P3 and P4 for such light, at the levels of P1 and P2)"
        )
    return "not known; papers with brighteners look whiter and bluer where there is UV"


def _glare(angle: float | None) -> str:
    advice = "tilt the print or step aside until black is blackest, gloss most of all"
    if angle is None:
        return f"not known; light best comes from about 45° beside: {advice}"
    if angle < _STEEP:
        return f"light from {angle:.0f}° beside straight on is mirrored to the eye: {advice}"
    if angle > _GRAZING:
        return (
            f"light from {angle:.0f}° grazes the print and shows every dent and the paper's grain"
        )
    return f"light from {angle:.0f}° beside passes the eye; {advice}"


def _difference(stops: float) -> str:
    if not round(stops, 2):
        return "none: the lights are equal"
    return f"the judging light is {abs(stops):.2f} stops {'brighter' if stops > 0 else 'dimmer'}"


def _density(change: float | None) -> str:
    if change is None:
        return "no density, for bare white falls short,"
    return f"{change:+.3f} D" if round(change, 3) else "0 D"


def _rounded(change: float | None) -> float | None:
    return None if change is None else round(change, 4) + 0.0
