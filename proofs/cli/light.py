"""``proofs light``."""

import json
import math
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import read_by
from proofs.commands.light import LightReading, reading_lines, record, versus_lines
from proofs.errors import UsageError
from proofs.outside.card import read_card
from proofs.outside.profiles import ProfileFolders
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
from proofs.records.lights import USUAL_HOME, read_aperture, read_lux, read_seconds
from proofs.run.inputs import ProfileNames, find_folders

_ONE_SOURCE = (
    "name one light: a profile, or --lux, or --iso, --time and --aperture, or --card;"
    " see 'proofs light --help'"
)
_METER_DOUBT = "as makers calibrate meters"
_CAMERA_DOUBT = "as makers calibrate meters and cameras"
_PHONE_DOUBT = "as phones disagree"
_METERED = ("iso", "time", "aperture")


def _lux(text: str) -> float:
    value = read_lux(text)
    if value is None:
        raise ValueError(f"{text!r} is no lux figure; write one such as '500'")
    return value


@click.command(short_help="Turn a light reading into lux, EV and steps to compare.")
@click.argument("name", metavar="[LIGHT]", default="")
@click.option("--iso", type=click.FloatRange(min=1), help="ISO of an exposure reading.")
@click.option("--time", metavar="1/20", callback=read_by(read_seconds), help="Its time.")
@click.option("--aperture", metavar="2.8", callback=read_by(read_aperture), help="Its f-number.")
@click.option(
    "--receptor",
    type=click.Choice([receptor.value for receptor in Receptor]),
    default="flat",
    show_default=True,
    help="How it was read: incident with a flat or a dome receptor, or off an 18 % grey card.",
)
@click.option("--lux", metavar="500", callback=read_by(_lux), help="A reading in lux.")
@click.option("--phone", is_flag=True, help="A phone read the lux: true within a quarter.")
@click.option(
    "--card",
    type=click.Path(path_type=Path),
    help="Photograph of an 18 % grey card, lit as the prints will be and filling the frame.",
)
@click.option(
    "--versus", metavar="LIGHT", default="", help="The light that the picture was finished in."
)
@click.option(
    "--profiles",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    help="Folder of your own profiles; they come first.",
)
@click.option("--json", "as_json", is_flag=True, help="Print a record for programs instead.")
def light(versus: str, profiles: Path | None, as_json: bool, **asked: Any) -> None:
    """Turn a reading of the light that prints will be judged in into numbers.

    LIGHT is the name of a profile ('proofs profiles lights' lists them) or a lux figure such
    as '800 lx'. A reading says EV at ISO 100, the lux and how far they may be out, and where
    they stand against ISO 3664. With --versus it also says which steps to compare for a
    picture that was finished in that other light.

    \b
      proofs light --iso 100 --time 1/20 --aperture 2.8 --versus home
      proofs light --lux 500 --phone
      proofs light gallery-p1 --versus "120 lx"
      proofs light --card card.jpg
    """
    folders, _ = find_folders(ProfileNames(profiles=profiles), Path())
    reading = _reading(folders, asked)
    home = folders.light(versus) if versus else None
    if as_json:
        click.echo(json.dumps(record(reading, home), indent=2, ensure_ascii=False))
        return
    for line in reading_lines(reading):
        click.echo(line)
    click.echo()
    if not home:
        click.echo(f"Which steps to compare: add --versus {USUAL_HOME}, or another light.")
    for line in versus_lines(reading, home) if home else ():
        click.echo(line)


def _reading(folders: ProfileFolders, asked: dict[str, Any]) -> LightReading:
    """The reading of the one light that was asked for."""
    metered = any(asked[part] is not None for part in _METERED)
    sources = [bool(asked["name"]), asked["lux"] is not None, metered or bool(asked["card"])]
    if sum(sources) != 1:
        raise UsageError(_ONE_SOURCE)
    if asked["phone"] and asked["lux"] is None:
        raise UsageError("--phone goes with --lux")
    if asked["receptor"] != Receptor.FLAT and (not metered or asked["card"]):
        raise UsageError("--receptor goes with --iso, --time and --aperture")
    if asked["name"]:
        return _named(folders, asked["name"])
    if asked["lux"] is not None:
        return _in_lux(asked["lux"], is_phone=asked["phone"])
    return _photographed(asked) if asked["card"] else _metered(asked)


def _named(folders: ProfileFolders, name: str) -> LightReading:
    found = folders.light(name)
    known = exactly(found.lux)
    if found.name == found.title:
        return LightReading(found.title, known.ev, known)
    return LightReading(f"{found.name} - {found.title}", known.ev, known, light=found)


def _in_lux(lux: float, *, is_phone: bool) -> LightReading:
    read = by_phone(lux) if is_phone else exactly(lux)
    origin = f"{lux:g} lx on a {'phone' if is_phone else 'meter'}"
    return LightReading(origin, read.ev, read, _PHONE_DOUBT if is_phone else "")


def _metered(asked: dict[str, Any]) -> LightReading:
    missing = [part for part in _METERED if asked[part] is None]
    if missing:
        raise UsageError(f"an exposure also needs {_options(missing)}")
    exposure = Exposure(asked["iso"], asked["time"], asked["aperture"])
    how = {
        Receptor.FLAT: "flat receptor",
        Receptor.DOME: "dome receptor",
        Receptor.CARD: "off an 18 % grey card",
    }[asked["receptor"]]
    found = by_meter(exposure, Receptor(asked["receptor"]))
    return LightReading(f"{_exposure_text(exposure)}, {how}", exposure.ev, found, _METER_DOUBT)


def _photographed(asked: dict[str, Any]) -> LightReading:
    """The reading of a grey card's photograph; options stand in for what its EXIF lacks."""
    path: Path = asked["card"]
    card = read_card(path)
    own = {"iso": card.iso, "time": card.seconds, "aperture": card.aperture}
    parts = {part: own[part] if asked[part] is None else asked[part] for part in _METERED}
    if missing := [part for part, value in parts.items() if value is None]:
        raise UsageError(
            f"{path}: its EXIF does not tell the whole exposure; add {_options(missing)}"
        )
    exposure = Exposure(*(value for value in parts.values() if value is not None))
    found: Illuminance = by_camera(exposure, card.level)
    origin = (
        f"{path.name}: {_exposure_text(exposure)}; the card came out at {100 * card.level:.1f} %"
        f" of white (18 % would be just right), evenly lit to {100 * card.evenness:.0f} %"
    )
    return LightReading(
        origin, exposure.ev + math.log2(card.level / GREY_CARD), found, _CAMERA_DOUBT
    )


def _options(parts: list[str]) -> str:
    """Options in a sentence: ``--iso, --time and --aperture``."""
    *first, last = (f"--{part}" for part in parts)
    return f"{', '.join(first)} and {last}" if first else last


def _exposure_text(exposure: Exposure) -> str:
    seconds = exposure.seconds
    time = f"1/{1 / seconds:.0f}" if seconds < 0.4 else f"{seconds:g}"
    return f"{time} s at f/{exposure.aperture:g}, ISO {exposure.iso:g}"
