"""Light profiles, and light readings as people write them. The ranges are common practice."""

from typing import Any

import pytest

from proofs.errors import ProfileError
from proofs.records.lights import (
    DEFAULT_FINISHED_UNDER,
    Lamp,
    Light,
    Ultraviolet,
    light_of_lux,
    read_aperture,
    read_light,
    read_lux,
    read_seconds,
)
from proofs.records.tables import Table
from tests.workbench import SHIPPED

LEAST = {"title": "A light", "source": "made up", "lux": 500}


def read(**values: Any) -> Light:
    return read_light(Table({**LEAST, **values}, "a.toml"), "a")


def test_a_light_needs_only_title_source_and_lux() -> None:
    light = read()
    assert (light.lux, light.kelvin, light.angle) == (500, None, None)
    assert (light.lamp, light.uv) == (Lamp.UNKNOWN, Ultraviolet.UNKNOWN)


def test_a_light_may_have_all_details() -> None:
    light = read(kelvin=2900, lamp="tungsten", uv="without", angle=30.5)
    assert (light.lamp, light.uv) == (Lamp.TUNGSTEN, Ultraviolet.WITHOUT)
    assert (light.kelvin, light.angle) == (2900, 30.5)


@pytest.mark.parametrize(
    ("values", "fault"),
    [
        ({"lux": 0}, "lux: found 0; expected a number from 1 to 100000"),
        ({"lux": "500 lx"}, "lux: found '500 lx'; expected a number"),
        ({"lux": None}, "lux: found nothing; expected a number from 1 to 100000"),
        ({"kelvin": 500}, "kelvin: found 500; expected a number from 1000 to 20000"),
        ({"lamp": "candle"}, "lamp: found 'candle'; expected one of 'led'"),
        ({"uv": True}, "uv: found True; expected one of 'with'"),
        ({"angle": 91}, "angle: found 91; expected a number from 0 to 90"),
        ({"kelvins": 5000}, "unknown key; did you mean 'kelvin'"),
    ],
)
def test_a_fault_names_the_key(values: dict[str, Any], fault: str) -> None:
    with pytest.raises(ProfileError, match=fault):
        read(**values)


@pytest.mark.parametrize("name", SHIPPED.names("lights"))
def test_the_lights_that_come_with_the_program_can_be_read(name: str) -> None:
    light = SHIPPED.light(name)
    assert light.name == name
    assert light.kelvin


@pytest.mark.parametrize(("name", "lux"), [("gallery-p1", 2000), ("gallery-p2", 500)])
def test_two_lights_are_those_of_the_standard_for_viewing(name: str, lux: float) -> None:
    # ISO 3664:2009 as secondary sources quote it: P1 2000 lx, P2 500 lx, D50.
    light = SHIPPED.light(name)
    assert (light.lux, light.kelvin, light.uv) == (lux, 5000, Ultraviolet.WITH)


def test_the_default_home_light_is_shipped() -> None:
    assert SHIPPED.light(DEFAULT_FINISHED_UNDER).lux == 500


def test_a_lux_figure_stands_for_a_light_without_a_name() -> None:
    assert SHIPPED.light("800 lx") == light_of_lux(800)


def test_a_lux_figure_out_of_range_is_refused() -> None:
    with pytest.raises(ProfileError, match="outside 1 to 100000 lx"):
        SHIPPED.light("0 lx")


def test_a_mistyped_name_is_answered_with_the_nearest_and_all_others() -> None:
    said = r"no profile 'galery-p1'; did you mean 'gallery-p1'\? there are: .*, museum-dim"
    with pytest.raises(ProfileError, match=said):
        SHIPPED.light("galery-p1")


def test_a_light_out_of_range_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="0 lx is outside 1 to 100000 lx"):
        Light("a", "A", "made up", lux=0.0)


@pytest.mark.parametrize(
    ("text", "lux"),
    [
        ("500 lx", 500),
        ("500", 500),
        (" 1210,5 LUX ", 1210.5),
        ("2000lx", 2000),
        ("editing-desk", None),
    ],
)
def test_lux_are_read_as_people_write_them(text: str, lux: float | None) -> None:
    assert read_lux(text) == lux


@pytest.mark.parametrize("text", ["0 lx", "0.5 lx", "100001 lx"])
def test_lux_out_of_range_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="outside 1 to 100000 lx"):
        read_lux(text)


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1/20", 0.05),
        ("1 / 20 s", 0.05),
        ("0.05", 0.05),
        ("0,5 s", 0.5),
        ('2"', 2),
        ("3 seconds", 3),
        ("1/2.5", 0.4),
    ],
)
def test_a_time_is_read_as_people_write_it(text: str, seconds: float) -> None:
    assert read_seconds(text) == pytest.approx(seconds)


@pytest.mark.parametrize("text", ["", "0", "1/0", "0/20", "-1", "fast", "1/20/3", "20 ms"])
def test_a_text_that_is_not_a_time_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(ValueError, match="write one such as '1/20'"):
        read_seconds(text)


@pytest.mark.parametrize(
    ("text", "aperture"), [("2.8", 2.8), ("f/2.8", 2.8), ("F2,8", 2.8), ("f 11", 11)]
)
def test_an_aperture_is_read_as_people_write_it(text: str, aperture: float) -> None:
    assert read_aperture(text) == pytest.approx(aperture)


@pytest.mark.parametrize("text", ["", "0", "f/", "1/2.8", "-2", "wide"])
def test_a_text_that_is_not_an_aperture_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(ValueError, match=r"write one such as '2\.8'"):
        read_aperture(text)
