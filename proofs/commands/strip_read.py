"""The result of ``proofs strip-read``, as text and as a JSON record."""

from typing import Any

from proofs.inspection.wedge_reading import WedgeReading, WedgeStep

_AS_ASKED = 0.01  # D; a scanner cannot measure less, common practice, no source
_ALIKE = 0.02  # D; the eye hardly sees less in light tones, common practice, no source
_SHADOWS, _LIGHTS = (20.0, 40.0), (60.0, 90.0)  # L*; below 20 the scanner's black interferes
_BURNT_MOST, _DARK_LEAST, _UNEVEN = 0.05, 0.06, 0.55
_REFLECTION_MOST = 0.02  # D; as much as two readings of a good scan may differ
_WHITE_OFF, _NOISE_MOST, _SOFT_MOST, _CRUSHED = 0.015, 0.012, 0.06, 0.002

LIMITS = (
    "A scan does not show absolute density, the depth of the black, or a colour cast: its white"
    " counts as paper white, and its black as no light at all. It is reliable only if the scanner"
    " left the tones alone: no automatic correction, no sharpening.",
    "A choice made on a strip already includes the lab's offset. What matters is that the final"
    " print, from the same lab on the same paper, matches the strip: scan it in the same way.",
)


def offset_in_words(offset: float) -> str:
    """Return the lab's offset at mid grey as a sentence without a full stop.

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
    """Return a reading as text: a table, then the offset, the cautions and the limits."""
    rows = [
        f"{'step L*':>7} {'D asked':>9} {'D read':>9} {'difference':>12}",
        *(_row(step) for step in reading.steps),
    ]
    facts = [
        f"offset   {offset_in_words(reading.offset)}",
        f"shape    {shape_in_words(reading)}",
        f"wedge    {_wedge_in_words(reading)}",
        *(f"caution  {caution}" for caution in cautions(reading)),
    ]
    return [*rows, "", *facts, "", *LIMITS]


def shape_in_words(reading: WedgeReading) -> str:
    """Return how the error changes from shadows to lights."""
    shadows, lights = _shadows(reading), _lights(reading)
    figures = (
        f"shadows (L* 20 to 40) {_signed(shadows)}, mid grey {_signed(reading.offset)},"
        f" lights (L* 60 to 90) {_signed(lights)} D"
    )
    if shadows - lights > _ALIKE:
        return f"{figures}: more contrast than asked"
    if lights - shadows > _ALIKE:
        return f"{figures}: less contrast than asked"
    return f"{figures}: about the same from dark to light"


def cautions(reading: WedgeReading) -> list[str]:
    """Return what makes a reading less reliable, as sentences without a full stop."""
    found = (*_light_cautions(reading), *_scan_cautions(reading))
    return [text for holds, text in found if holds]


def _light_cautions(reading: WedgeReading) -> list[tuple[bool, str]]:
    """What may be wrong with the light of the scan, and whether it is."""
    reflection = max(abs(reading.reflection), reading.reflection_doubt)
    white_off = abs(reading.mean_difference(100, 100))
    return [
        (
            reflection >= _REFLECTION_MOST,
            f"{_reflection_in_words(reading)}; switch the light off or move it, tilt the print away"
            " from it, or scan the print instead",
        ),
        (
            reading.burnt > _BURNT_MOST,
            "the scan's paper white is burnt out: mid grey may read too light; scan darker, so"
            " that white comes out at about 240 of 255",
        ),
        (
            reading.black > _DARK_LEAST,
            f"the black step reflects {100 * reading.black:.0f} % of the light of white: glare, a"
            " milky scan or a weak black; it was subtracted everywhere, which is right only for"
            " an even veil",
        ),
        (
            white_off > _WHITE_OFF,
            f"the L* 100 step and the white around it differ by {white_off:.2f} D and should be"
            " equal: glare, a shadow or dirt on the wedge",
        ),
        (
            reading.evenness < _UNEVEN,
            f"the light falls off to {100 * reading.evenness:.0f} % along the wedge; it was"
            " corrected by the white around the steps, but an even scan is more reliable",
        ),
    ]


def _reflection_in_words(reading: WedgeReading) -> str:
    left = f"{reading.reflection_doubt:.2f} D"
    if abs(reading.reflection) < _AS_ASKED:
        return (
            "light on one step that is not on the others, as from a small reflection or a mark:"
            f" the offset may be off by {left}"
        )
    way = "light" if reading.reflection > 0 else "dark"
    return (
        "a reflection or a shadow lies on the wedge: mid grey looked"
        f" {abs(reading.reflection):.2f} D too {way}, which was corrected, and the offset may still"
        f" be off by {left}"
    )


def _scan_cautions(reading: WedgeReading) -> list[tuple[bool, str]]:
    """What may be wrong with the detail and the shadows of the scan, and whether it is."""
    return [
        (
            reading.noise > _NOISE_MOST,
            f"the scan is noisy or coarse: the offset is accurate only to ±{reading.noise:.2f} D;"
            " scan at 300 ppi or more",
        ),
        (
            reading.softness > _SOFT_MOST,
            "the scan is not sharp: the dark steps read too light; scan at 300 ppi or more, with"
            " the sheet flat on the glass",
        ),
        (
            reading.steps[2].lightness_read < _CRUSHED * 100,
            "the dark steps are all equally black: the scan or the print has lost the shadows",
        ),
    ]


def record(reading: WedgeReading, file: str) -> dict[str, Any]:
    """Return a reading as a JSON record."""
    return {
        "file": file,
        "offset_density": _rounded(reading.offset),
        "offset_doubt_density": _rounded(reading.doubt),
        "reflection_density": _rounded(reading.reflection),
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


def _wedge_in_words(reading: WedgeReading) -> str:
    turn = f"{abs(reading.turn_degrees):.0f}°"
    way = "clockwise" if reading.turn_degrees > 0 else "anticlockwise"
    turned = "upright" if abs(reading.turn_degrees) < 0.5 else f"turned {turn} {way}"
    return (
        f"{turned}, {reading.width_px:.0f} px wide;"
        f" lit evenly to {100 * reading.evenness:.0f} %; noise ±{reading.noise:.3f} D"
    )


def _shadows(reading: WedgeReading) -> float:
    return reading.mean_difference(*_SHADOWS)


def _lights(reading: WedgeReading) -> float:
    return reading.mean_difference(*_LIGHTS)


def _plain(density: float) -> str:
    return f"{density + 0.0:.2f}" if abs(density) >= 0.005 else "0.00"


def _signed(difference: float) -> str:
    """A difference to two decimals; zero has no sign."""
    return f"{difference:+.2f}" if abs(difference) >= 0.005 else "0.00"


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4) + 0.0
