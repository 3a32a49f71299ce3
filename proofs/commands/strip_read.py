"""What ``proofs strip-read`` says of a wedge: for people, and as a record for programs."""

from typing import Any

from proofs.inspection.wedge_reading import WedgeReading, WedgeStep

_AS_ASKED = 0.01  # D; less is not to be told from nothing on a scanner, common practice, no source
_ALIKE = 0.02  # D; about what an eye tells apart in light tones, common practice, no source
_SHADOWS, _LIGHTS = (20.0, 40.0), (60.0, 90.0)  # L*; darker than 20 a scanner's own black decides
_BURNT_MOST, _DARK_LEAST, _UNEVEN = 0.05, 0.06, 0.55
_WHITE_OFF, _DOUBT_MOST, _SOFT_MOST, _CRUSHED = 0.015, 0.012, 0.06, 0.002

LIMITS = (
    "A scan cannot tell absolute density, how black the black is, or a colour cast: its own white"
    " and black are taken as the paper's white and no light at all. It is true only as far as the"
    " scanner left the tones alone: no automatic correction, no sharpening.",
    "A choice made on a strip has the lab's offset in it already. What matters is that the final"
    " print, from the same lab on the same paper, reads like the strip: scan it in the same way.",
)


def offset_in_words(offset: float) -> str:
    """Return the lab's offset at mid grey as a sentence without its stop.

    >>> offset_in_words(0.058), offset_in_words(-0.1), offset_in_words(0.003)
    ... # doctest: +NORMALIZE_WHITESPACE
    ('the lab printed 0.06 D too dark at mid grey',
     'the lab printed 0.10 D too light at mid grey',
     'the lab printed mid grey as asked, within 0.01 D')
    """
    if abs(offset) < _AS_ASKED:
        return "the lab printed mid grey as asked, within 0.01 D"
    return (
        f"the lab printed {abs(offset):.2f} D too {'dark' if offset > 0 else 'light'} at mid grey"
    )


def reading_lines(reading: WedgeReading) -> list[str]:
    """Return what a wedge tells, a table first, then the offset, cautions and limits."""
    rows = [
        f"{'step L*':>7} {'D asked':>9} {'D read':>9} {'difference':>12}",
        *(_row(step) for step in reading.steps),
    ]
    facts = [
        f"offset   {offset_in_words(reading.offset)}",
        f"shape    {shape_in_words(reading)}",
        f"wedge    {_seat_in_words(reading)}",
        *(f"caution  {caution}" for caution in cautions(reading)),
    ]
    return [*rows, "", *facts, "", *LIMITS]


def shape_in_words(reading: WedgeReading) -> str:
    """Return how the error runs from shadows to lights."""
    shadows, lights = _shadows(reading), _lights(reading)
    figures = (
        f"shadows (L* 20 to 40) {_signed(shadows)}, mid grey {_signed(reading.offset)},"
        f" lights (L* 60 to 90) {_signed(lights)} D"
    )
    if shadows - lights > _ALIKE:
        return f"{figures}: more contrast than asked"
    if lights - shadows > _ALIKE:
        return f"{figures}: less contrast than asked"
    return f"{figures}: about alike from dark to light"


def cautions(reading: WedgeReading) -> list[str]:
    """Return what makes a reading less sure, a sentence each without its stop."""
    white_off = abs(reading.mean_difference(100, 100))
    found = [
        (
            reading.burnt > _BURNT_MOST,
            "the scan's paper white is burnt out: mid grey may read too light; scan darker, so"
            " that white comes out at about 240 of 255",
        ),
        (
            reading.black > _DARK_LEAST,
            f"the black step sends back {100 * reading.black:.0f} % of white's light: glare, a"
            " milky scan or a greyish black; it was taken off all over, which holds for an even"
            " veil only",
        ),
        (
            white_off > _WHITE_OFF,
            f"the L* 100 step and the white around it are {white_off:.2f} D apart and should be"
            " one: glare, a shadow or dirt on the wedge",
        ),
        (
            reading.evenness < _UNEVEN,
            f"the light falls off to {100 * reading.evenness:.0f} % along the wedge; it was"
            " corrected by the white around the steps, but a flat scan is surer",
        ),
        (
            reading.doubt > _DOUBT_MOST,
            f"the scan is noisy or coarse: the offset is sure to ±{reading.doubt:.2f} D only; scan"
            " at 300 ppi or more",
        ),
        (
            reading.softness > _SOFT_MOST,
            "the scan is not sharp: the dark steps read too light; scan at 300 ppi or more, the"
            " sheet flat on the glass",
        ),
        (
            reading.steps[2].lightness_read < _CRUSHED * 100,
            "the dark steps are one black: the scan or the print has lost the shadows",
        ),
    ]
    return [text for holds, text in found if holds]


def record(reading: WedgeReading, file: str) -> dict[str, Any]:
    """Return a reading as JSON holds it."""
    return {
        "file": file,
        "offset_density": _rounded(reading.offset),
        "offset_doubt_density": _rounded(reading.doubt),
        "shadows_density": _rounded(_shadows(reading)),
        "lights_density": _rounded(_lights(reading)),
        "steps": [
            {
                "lightness": step.lightness,
                "density_asked": _rounded(step.density_asked),
                "density_read": _rounded(step.density_read),
                "difference": _rounded(step.difference),
                "lightness_read": round(step.lightness_read, 2),
            }
            for step in reading.steps
        ],
        "turn_degrees": round(reading.turn_degrees, 1),
        "width_px": round(reading.width_px, 1),
        "evenness": round(reading.evenness, 3),
        "black_share_of_white": round(reading.black, 4),
        "cautions": cautions(reading),
        "limits": list(LIMITS),
    }


def _row(step: WedgeStep) -> str:
    if step.density_asked is None or step.density_read is None or step.difference is None:
        return f"{step.lightness:7.0f} {'black':>9} {'black':>9} {'-':>12}"
    asked, read = _plain(step.density_asked), _plain(step.density_read)
    return f"{step.lightness:7.0f} {asked:>9} {read:>9} {_signed(step.difference):>12}"


def _seat_in_words(reading: WedgeReading) -> str:
    turn = f"{abs(reading.turn_degrees):.0f}°"
    way = "clockwise" if reading.turn_degrees > 0 else "anticlockwise"
    turned = "upright" if abs(reading.turn_degrees) < 0.5 else f"turned {turn} {way}"
    return (
        f"{turned}, {reading.width_px:.0f} px wide;"
        f" its light even to {100 * reading.evenness:.0f} %; noise leaves ±{reading.doubt:.3f} D"
    )


def _shadows(reading: WedgeReading) -> float:
    return reading.mean_difference(*_SHADOWS)


def _lights(reading: WedgeReading) -> float:
    return reading.mean_difference(*_LIGHTS)


def _plain(density: float) -> str:
    return f"{density + 0.0:.2f}" if abs(density) >= 0.005 else "0.00"


def _signed(difference: float) -> str:
    """A difference to hundredths; what rounds to nothing has no sign."""
    return f"{difference:+.2f}" if abs(difference) >= 0.005 else "0.00"


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4) + 0.0
