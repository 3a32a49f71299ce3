"""``proofs light``."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from proofs.cli.options import json_option, profiles_option, read_by, takes
from proofs.cli.output import print_lines, print_record
from proofs.commands.light import LightReading, reading_lines, record, versus_lines
from proofs.errors import UsageError
from proofs.outside.card import CardPhotograph, read_card
from proofs.outside.profiles import OwnFolders, ProfileFolders
from proofs.plan.tones.metering import (
    GREY_CARD,
    Exposure,
    Illuminance,
    Receptor,
    by_camera,
    by_meter,
    by_phone,
    exactly,
)
from proofs.records.lights import DEFAULT_FINISHED_UNDER, read_aperture, read_lux, read_seconds
from proofs.run.finished_under import finished_under
from proofs.run.inputs import ProfileNames, job_source

_ONE_SOURCE = (
    "name one light: a profile, or --lux, or --iso, --time and --aperture, or --card;"
    " see 'proofs light --help'"
)
_METER_DOUBT = "because makers calibrate meters differently"
_CAMERA_DOUBT = "because makers calibrate meters and cameras differently"
_PHONE_DOUBT = "because phones disagree"
_RECEPTOR_WORDS = {
    Receptor.FLAT: "flat receptor",
    Receptor.DOME: "dome receptor",
    Receptor.CARD: "off an 18 % grey card",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LightOptions:
    """The options of ``light``."""

    name: str
    iso: float | None
    time: float | None
    aperture: float | None
    receptor: Receptor
    lux: float | None
    phone: bool
    card: Path | None
    versus: str
    profiles: OwnFolders
    as_json: bool

    @property
    def metered(self) -> dict[str, float | None]:
        """The parts of an exposure, by option; None for those that were not given."""
        return {"iso": self.iso, "time": self.time, "aperture": self.aperture}

    def require_one_light(self) -> None:
        """Raise ``UsageError`` unless the options describe one light."""
        is_metered = any(part is not None for part in self.metered.values())
        sources = [bool(self.name), self.lux is not None, is_metered or self.card is not None]
        if sum(sources) != 1:
            raise UsageError(_ONE_SOURCE)
        if self.phone and self.lux is None:
            raise UsageError("--phone goes with --lux")
        if self.receptor != Receptor.FLAT and (not is_metered or self.card):
            raise UsageError("--receptor goes with --iso, --time and --aperture")


def _lux(text: str) -> float:
    value = read_lux(text)
    if value is None:
        raise ValueError(f"{text!r} is not a lux figure; write one such as '500'")
    return value


@click.command(short_help="Turn a light reading into lux, EV and the steps to compare.")
@click.argument("name", metavar="[LIGHT]", default="")
@click.option("--iso", type=click.FloatRange(min=1), help="ISO of an exposure reading.")
@click.option(
    "--time",
    metavar="1/20",
    callback=read_by(read_seconds),
    help="Exposure time of that reading, in seconds.",
)
@click.option(
    "--aperture", metavar="2.8", callback=read_by(read_aperture), help="f-number of that reading."
)
@click.option(
    "--receptor",
    type=click.Choice([receptor.value for receptor in Receptor]),
    default=Receptor.FLAT.value,
    show_default=True,
    callback=read_by(Receptor),
    help="How it was taken: incident with a flat or dome receptor, or off an 18 % grey card.",
)
@click.option("--lux", metavar="500", callback=read_by(_lux), help="A reading in lux.")
@click.option("--phone", is_flag=True, help="The lux are from a phone, accurate to ±25 %.")
@click.option(
    "--card",
    type=click.Path(path_type=Path),
    help="Photograph of an 18 % grey card, lit as the prints will be and filling the frame.",
)
@click.option(
    "--versus",
    metavar="LIGHT",
    default="",
    help="Where the picture was finished: a light, or a screen.",
)
@profiles_option
@json_option
@takes(LightOptions)
def light(options: LightOptions) -> None:
    """Report what a light reading means for prints that are judged in that light.

    LIGHT is the name of a profile ('proofs profiles lights' lists them) or a lux figure such
    as '800 lx'. The result gives EV at ISO 100, the lux and how far off they may be, and how
    they compare with ISO 3664. With --versus it also lists the steps to compare for a picture
    that was finished in that other light, or on a screen.

    \b
      proofs light --iso 100 --time 1/20 --aperture 2.8 --versus editing-desk
      proofs light --lux 500 --phone
      proofs light gallery-p1 --versus "120 lx"
      proofs light gallery-p1 --versus "screen 120 cd/m2, room 50 lx"
      proofs light --card card.jpg
    """
    folders = job_source(ProfileNames(profiles=options.profiles), Path()).folders
    options.require_one_light()
    reading = _reading(folders, options)
    finished = finished_under(folders, options.versus) if options.versus else None
    if options.as_json:
        print_record(record(reading, finished))
        return
    print_lines([*reading_lines(reading), ""])
    if finished:
        print_lines(versus_lines(reading, finished))
    else:
        print_lines(
            [
                "Which steps to compare: add --versus and where you finish pictures, such as"
                f" {DEFAULT_FINISHED_UNDER}, or 'screen 120 cd/m2, room 50 lx'."
            ]
        )


def _reading(folders: ProfileFolders, options: LightOptions) -> LightReading:
    """The reading of the light that the options describe."""
    if options.name:
        return _from_profile(folders, options.name)
    if options.lux is not None:
        return _from_lux(options.lux, is_phone=options.phone)
    if options.card:
        return _from_card(options.card, read_card(options.card), options)
    return _from_exposure(options)


def _from_profile(folders: ProfileFolders, name: str) -> LightReading:
    found = folders.light(name)
    known = exactly(found.lux)
    if found.name == found.title:
        return LightReading(found.title, known.ev, known)
    return LightReading(f"{found.name} - {found.title}", known.ev, known, light=found)


def _from_lux(lux: float, *, is_phone: bool) -> LightReading:
    read = by_phone(lux) if is_phone else exactly(lux)
    origin = f"{lux:g} lx on a {'phone' if is_phone else 'meter'}"
    return LightReading(origin, read.ev, read, _PHONE_DOUBT if is_phone else "")


def _from_exposure(options: LightOptions) -> LightReading:
    exposure = _exposure(options.metered, "an exposure also needs")
    found = by_meter(exposure, options.receptor)
    origin = f"{_exposure_text(exposure)}, {_RECEPTOR_WORDS[options.receptor]}"
    return LightReading(origin, exposure.ev, found, _METER_DOUBT)


def _from_card(path: Path, card: CardPhotograph, options: LightOptions) -> LightReading:
    """The reading of a grey card's photograph; options win over its EXIF."""
    own = {"iso": card.iso, "time": card.seconds, "aperture": card.aperture}
    parts = {part: own[part] if value is None else value for part, value in options.metered.items()}
    exposure = _exposure(parts, f"{path}: its EXIF lacks part of the exposure; add")
    found: Illuminance = by_camera(exposure, card.level)
    origin = (
        f"{path.name}: {_exposure_text(exposure)}; the card came out at {100 * card.level:.1f} %"
        f" of white (18 % would be correct), evenly lit to {100 * card.evenness:.0f} %"
    )
    return LightReading(
        origin, exposure.ev + math.log2(card.level / GREY_CARD), found, _CAMERA_DOUBT
    )


def _exposure(parts: dict[str, float | None], lacking: str) -> Exposure:
    """The exposure; ``lacking`` starts the error message that lists the missing options."""
    if missing := [part for part, value in parts.items() if value is None]:
        raise UsageError(f"{lacking} {_in_a_row(missing)}")
    return Exposure(*(value for value in parts.values() if value is not None))


def _in_a_row(parts: Sequence[str]) -> str:
    """Options in a sentence: ``--iso, --time and --aperture``."""
    *first, last = (f"--{part}" for part in parts)
    return f"{', '.join(first)} and {last}" if first else last


def _exposure_text(exposure: Exposure) -> str:
    seconds = exposure.seconds
    time = f"1/{1 / seconds:.0f}" if seconds < 0.4 else f"{seconds:g}"
    return f"{time} s at f/{exposure.aperture:g}, ISO {exposure.iso:g}"
