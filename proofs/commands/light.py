"""The result of ``proofs light``, as text and as a JSON record."""

from dataclasses import asdict, dataclass
from typing import Any

from proofs.densities import signed
from proofs.plan.tones.appearance import Viewing
from proofs.plan.tones.metering import Illuminance
from proofs.plan.tones.viewing import (
    VIEWING_CONDITIONS,
    ViewingCondition,
    bracket_reason,
    change_for_same_brightness,
    change_for_same_lightness,
    compliance,
    ratio_warning,
    stops_between,
    suggested_bracket,
)
from proofs.records.lights import Light, Ultraviolet
from proofs.run.finished_under import FinishedUnder

_WARM, _COLD = 4000, 6000  # kelvin; common practice, no source
_STEEP, _GRAZING = 25, 70  # degrees; common practice, no source
_STANDINGS = {
    "inside": "within",
    "partly": "within by its reading, but not over its whole range:",
    "perhaps": "possibly within, given its range:",
    "below": "too dim:",
    "above": "brighter:",
}


@dataclass(frozen=True, slots=True)
class LightReading:
    """A light that was measured or named.

    ``origin`` says how, and ``ev`` is at ISO 100. ``doubt`` says why the lux are a range, if
    they are; ``light`` is the profile, if there is one.
    """

    origin: str
    ev: float
    illuminance: Illuminance
    doubt: str = ""
    light: Light | None = None


def reading_lines(reading: LightReading) -> list[str]:
    """Return a reading as text, one line for each fact."""
    light = reading.illuminance
    spread = f", {lux_text(light.least)} to {lux_text(light.most)} {reading.doubt}"
    facts = [
        ("light", reading.origin),
        ("exposure", f"EV {reading.ev:.2f} at ISO 100"),
        ("on prints", f"{lux_text(light.lux)} lx{spread if light.is_range else ''}"),
        ("paper", f"bare white of {light.paper_white:.0f} cd/m² (reflectance 0.89)"),
        *(
            (f"ISO 3664 {level.name}", _level_in_words(light, level))
            for level in VIEWING_CONDITIONS
        ),
        *_notes(reading.light),
    ]
    return _aligned(facts)


def versus_lines(reading: LightReading, finished: FinishedUnder) -> list[str]:
    """Return, as text, the steps to compare for a picture that was finished elsewhere."""
    lux = reading.illuminance.lux
    here, there = Viewing(lux), finished.viewing
    stops = stops_between(there, here)
    steps = suggested_bracket(there, here)
    facts = [
        ("judged in", f"{lux_text(lux)} lx, the light above"),
        ("finished in", _finished_in_words(finished)),
        ("difference", _difference(stops)),
        ("lightness", _keeping(change_for_same_lightness(there, here), "light")),
        ("brightness", _keeping(change_for_same_brightness(there, here), "bright")),
        ("steps", "; ".join(signed(step) for step in steps)),
    ]
    return [*_aligned(facts), bracket_reason(there, here), ratio_warning(stops)]


def _finished_in_words(finished: FinishedUnder) -> str:
    if finished.light:
        return f"{lux_text(finished.light.lux)} lx: {_named(finished.light)}"
    viewing = finished.viewing
    return (
        f"{finished.words}: its white is as bright as paper in {lux_text(viewing.lux)} lx,"
        f" in a surround that is {viewing.surround.name.lower()}"
    )


def record(reading: LightReading, finished: FinishedUnder | None) -> dict[str, Any]:
    """Return a reading, and the light that it is compared with, as a JSON record."""
    light = reading.illuminance
    made: dict[str, Any] = {
        "origin": reading.origin,
        "light": asdict(reading.light) if reading.light else None,
        "ev_iso_100": round(reading.ev, 4),
        "lux": round(light.lux, 3),
        "lux_least": round(light.least, 3),
        "lux_most": round(light.most, 3),
        "paper_white_cd_m2": round(light.paper_white, 3),
        "iso_3664": {level.name: compliance(light, level) for level in VIEWING_CONDITIONS},
        "notes": dict(_notes(reading.light)),
        "versus": None,
    }
    if finished:
        here, there = Viewing(light.lux), finished.viewing
        made["versus"] = {
            "light": asdict(finished.light) if finished.light else None,
            "screen": asdict(finished.screen) if finished.screen else None,
            "stops": round(stops_between(there, here), 4),
            "density_holding_lightness": _rounded(change_for_same_lightness(there, here)),
            "density_holding_brightness": _rounded(change_for_same_brightness(there, here)),
            "bracket": list(suggested_bracket(there, here)),
            "reason": bracket_reason(there, here),
        }
    return made


def lux_text(lux: float) -> str:
    """Return a lux figure without digits that mean nothing.

    >>> lux_text(391.7), lux_text(4.26)
    ('392', '4.3')
    """
    return f"{lux:.0f}" if lux >= 10 else f"{lux:.1f}"


def _aligned(facts: list[tuple[str, str]]) -> list[str]:
    return [f"{word:<12} {fact}" for word, fact in facts]


def _named(light: Light) -> str:
    return light.title if light.name == light.title else f"{light.name} - {light.title}"


def _level_in_words(light: Illuminance, level: ViewingCondition) -> str:
    words = _STANDINGS[compliance(light, level)]
    required = f"{level.lux:.0f} ± {level.within:.0f} lx, for {level.use}"
    if level.allows(light.lux):
        return f"{words} {required}"
    side = "below" if light.lux < level.lux else "above"
    stops = abs(stops_between(Viewing(level.lux), Viewing(light.lux)))
    return f"{words} {stops:.1f} stops {side} {required}"


def _notes(light: Light | None) -> list[tuple[str, str]]:
    """Remarks on the colour of a light, on UV and on glare."""
    return [
        ("colour", _colour(light.kelvin if light else None)),
        ("UV", _uv(light.uv if light else Ultraviolet.UNKNOWN)),
        ("glare", _glare(light.angle if light else None)),
    ]


def _colour(kelvin: float | None) -> str:
    if kelvin is None:
        return (
            f"not known; below about {_WARM} K blues go dark and whites go yellow: compare prints"
            " in that light"
        )
    if kelvin < _WARM:
        return (
            f"{kelvin:.0f} K is warm light: blues go dark, whites and greys go yellow;"
            " compare colours in that light, not at a window"
        )
    if kelvin > _COLD:
        return f"{kelvin:.0f} K is cold light: reds go dull, whites and greys go blue"
    return f"{kelvin:.0f} K, close to the 5000 K that ISO 3664 asks for"


def _uv(uv: Ultraviolet) -> str:
    if uv == Ultraviolet.WITH:
        return "with UV: papers with brighteners look whiter and bluer than under lamps without it"
    if uv == Ultraviolet.WITHOUT:
        # P3 and P4 of the edition of 2025, from secondary sources; the standard was not read.
        return (
            "without UV: papers with brighteners look duller and yellower than in daylight"
            " (ISO 3664:2025 has P3 and P4 for such light, at the levels of P1 and P2)"
        )
    return "not known; papers with brighteners look whiter and bluer where there is UV"


def _glare(angle: float | None) -> str:
    advice = "tilt the print or step aside until black looks deepest, above all with gloss"
    if angle is None:
        return f"not known; light from about 45° to the side is best: {advice}"
    if angle < _STEEP:
        return f"light from only {angle:.0f}° to the side is reflected into the eye: {advice}"
    if angle > _GRAZING:
        return (
            f"light from {angle:.0f}° grazes the print and shows every dent and the paper's grain"
        )
    return f"light from {angle:.0f}° to the side misses the eye; {advice}"


def _difference(stops: float) -> str:
    if not round(stops, 2):
        return "none: the lights are equal"
    return f"the judging light is {abs(stops):.2f} stops {'brighter' if stops > 0 else 'dimmer'}"


def _keeping(change: float | None, quality: str) -> str:
    """The change of density that keeps mid grey equally light, or equally bright."""
    if change is None:
        return f"no density would keep mid grey equally {quality}: even bare white is dimmer"
    density = f"{change:+.3f} D" if round(change, 3) else "0 D"
    return f"{density} would keep mid grey equally {quality}"


def _rounded(change: float | None) -> float | None:
    return None if change is None else round(change, 4) + 0.0
