"""``proofs light`` as its user runs it; the figures behind it are checked in tests/plan."""

import json
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests import near
from tests.command import Said, in_process, proofs

EXPOSURE = ("--iso", "100", "--time", "1/20", "--aperture", "2.8")
WARNING = "Density does not follow the ratio of the lights"


def light(*arguments: str | Path) -> Said:
    return in_process("light", *arguments)


def record(*arguments: str | Path) -> Any:
    said = light(*arguments, "--json")
    assert said.code == 0, said.err
    return json.loads(said.out)


def a_card(path: Path, code: int, *, is_tagged: bool = True) -> Path:
    exif = Image.Exif()
    tags = {33434: 0.05, 33437: 2.8, 34855: 100} if is_tagged else {}
    exif.get_ifd(0x8769).update(tags)
    Image.new("RGB", (600, 400), (code, code, code)).save(path, exif=exif, quality=95)
    return path


def test_an_exposure_becomes_lux_with_a_range() -> None:
    # 392 lx, 376 to 627: computed with C = 250 and 240 to 400, as public articles quote them.
    said = proofs("light", *EXPOSURE)
    assert (said.code, said.err) == (0, "")
    assert "EV 7.29 at ISO 100" in said.out
    assert "392 lx, 376 to 627" in said.out
    assert "bare white of 111 cd/m²" in said.out


def test_a_light_is_compared_with_the_levels_of_iso_3664() -> None:
    # P1 and P2 of ISO 3664:2009 as secondary sources quote them.
    said = light("gallery-p2").out
    assert "ISO 3664 P1  too dim: 2.0 stops below 2000 ± 500 lx" in said
    assert "ISO 3664 P2  within 500 ± 125 lx" in said


@pytest.mark.parametrize(
    ("receptor", "lux"), [("flat", (392, 376, 627)), ("dome", (517, 502, 847)), ("card", (342,))]
)
def test_a_receptor_has_its_constants(receptor: str, lux: tuple[float, ...]) -> None:
    # Computed: C 250 of 240 to 400, C 330 of 320 to 540, and L = 19.6 cd/m2 off 18 %.
    made = record(*EXPOSURE, "--receptor", receptor)
    found = (made["lux"], made["lux_least"], made["lux_most"])
    assert found[: len(lux)] == pytest.approx(lux, abs=0.6)


def test_a_phone_is_accurate_to_a_quarter() -> None:
    assert "500 lx, 375 to 625 because phones disagree" in light("--lux", "500", "--phone").out
    assert "500 lx\n" in light("--lux", "500").out


def test_there_are_notes_on_warm_light_and_glare() -> None:
    said = light("living-room").out
    assert "2700 K is warm light" in said
    assert "without UV: papers with brighteners" in said
    assert "glare" in said


def test_there_is_a_note_on_cold_light() -> None:
    assert "6500 K is cold light" in light("north-window").out


@pytest.mark.parametrize(
    ("angle", "words"), [(10, "reflected into the eye"), (45, "misses the eye"), (80, "grazes")]
)
def test_the_note_on_glare_depends_on_the_angle(tmp_path: Path, angle: int, words: str) -> None:
    (tmp_path / "lights").mkdir()
    own = f'title = "Mine"\nsource = "made up"\nlux = 700\nangle = {angle}\n'
    (tmp_path / "lights" / "mine.toml").write_text(own)
    assert words in light("mine", "--profiles", tmp_path).out


def test_a_second_light_adds_steps_and_the_reason() -> None:
    # 0.003 D and 0.45 D: CIECAM16 by colour-science.
    said = light("gallery-p1", "--versus", "editing-desk").out
    assert "the judging light is 2.00 stops brighter" in said
    assert "+0.003 D would keep mid grey equally light" in said
    assert "+0.453 D would keep mid grey equally bright" in said
    assert "steps        0; +0.15; +0.20; +0.25\n" in said
    assert "about half of that, +0.20" in said
    assert WARNING in said


def test_in_a_dimmer_light_the_steps_go_lighter() -> None:
    said = light("editing-desk", "--versus", "2000 lx").out
    assert "the judging light is 2.00 stops dimmer" in said
    assert "steps        -0.25; -0.20; -0.15; 0\n" in said
    assert "-0.20 (never beyond" in said


def test_equal_lights_are_reported_as_equal() -> None:
    said = light("500 lx", "--versus", "editing-desk").out
    assert "none: the lights are equal" in said
    assert "steps        -0.05; 0; +0.05\n" in said


def test_a_brightness_that_no_density_can_keep_is_reported() -> None:
    said = light("200 lx", "--versus", "gallery-p1").out
    assert "no density would keep mid grey equally bright: even bare white is dimmer" in said
    assert "-0.20 (never beyond" in said


def test_without_a_second_light_one_is_suggested() -> None:
    said = light("gallery-p1").out
    assert "--versus and where you finish pictures" in said
    assert "steps  " not in said


def test_the_record_contains_every_figure() -> None:
    made = record("gallery-p1", "--versus", "editing-desk")
    assert (made["lux"], made["ev_iso_100"]) == (2000, 9.6439)
    assert made["light"]["kelvin"] == 5000
    assert made["iso_3664"] == {"P1": "inside", "P2": "above"}
    assert made["versus"]["bracket"] == [0.0, 0.15, 0.2, 0.25]
    assert made["versus"]["stops"] == 2
    assert made["versus"]["light"]["name"] == "editing-desk"


def test_a_picture_may_have_been_finished_on_a_screen() -> None:
    # 120 cd/m2 is white paper in 120 pi / 0.89 = 424 lx; 50 lx are 16 cd/m2 on white, less than a
    # fifth of that.
    said = light("gallery-p1", "--versus", "screen 120 cd/m2, room 50 lx").out
    assert "finished in  screen 120 cd/m², room 50 lx: its white is as bright as paper in" in said
    assert "424 lx, in a surround that is dim" in said
    assert "the judging light is 2.24 stops brighter" in said
    made = record("gallery-p1", "--versus", "screen of 120 cd/m² in a room of 50 lux")
    assert made["versus"]["screen"] == {"white": 120, "room_lux": 50}
    assert made["versus"]["light"] is None


@pytest.mark.parametrize("where", ["screen", "screen 120 cd/m2", "screen 5000 cd/m2, room 50 lx"])
def test_a_screen_without_its_figures_is_refused(where: str) -> None:
    said = light("gallery-p1", "--versus", where)
    assert (said.code, said.out) == (3, "")
    assert "finished_under: " in said.err


def test_a_record_without_a_second_light_has_none() -> None:
    made = record("--lux", "200")
    assert (made["versus"], made["light"]) == (None, None)


def test_a_density_that_no_print_can_have_is_null_in_the_record() -> None:
    assert record("200 lx", "--versus", "2000")["versus"]["density_holding_brightness"] is None


@pytest.mark.parametrize(("code", "lux"), [(118, 344), (85, 174), (160, 668)])
def test_a_reading_off_a_card_is_corrected_by_its_level(
    tmp_path: Path, code: int, lux: float
) -> None:
    # E = pi K N^2 / (t S 0.18) x level / 0.18, levels by the sRGB curve: computed.
    made = record("--card", a_card(tmp_path / "card.jpg", code))
    assert made["lux"] == pytest.approx(lux, rel=0.01)
    assert made["lux_least"] < made["lux"] < made["lux_most"]


def test_a_card_without_an_exposure_asks_for_it(tmp_path: Path) -> None:
    path = a_card(tmp_path / "card.jpg", 118, is_tagged=False)
    said = light("--card", path)
    assert (said.code, "add --iso, --time and --aperture" in said.err) == (2, True)
    assert "344 lx" in light("--card", path, *EXPOSURE).out


def test_only_what_exif_lacks_is_requested(tmp_path: Path) -> None:
    path, exif = tmp_path / "card.jpg", Image.Exif()
    exif.get_ifd(0x8769).update({33434: 0.05, 34855: 100})  # a lens without contacts
    Image.new("RGB", (600, 400), (118, 118, 118)).save(path, exif=exif, quality=95)
    assert "add --aperture\n" in light("--card", path).err
    assert "344 lx" in light("--card", path, "--aperture", "2.8").out


def test_an_option_wins_over_the_exif_of_the_card(tmp_path: Path) -> None:
    path = a_card(tmp_path / "card.jpg", 118)
    slow, fast = record("--card", path), record("--card", path, "--time", "1/40")
    assert fast["lux"] == pytest.approx(2 * slow["lux"], abs=near.PRINTED_LUX)


def test_a_picture_that_is_not_a_card_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "wood.jpg"
    Image.radial_gradient("L").resize((600, 600)).save(path)
    said = light("--card", path)
    assert (said.code, said.out) == (4, "")
    assert "too uneven to be a card" in said.err


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        ((), 2, "name one light"),
        (("editing-desk", "--lux", "500"), 2, "name one light"),
        (("--lux", "500", "--iso", "100"), 2, "name one light"),
        (("--iso", "100"), 2, "also needs --time and --aperture"),
        (("--lux", "bright"), 2, "'bright' is not a lux figure"),
        (("--lux", "0"), 2, "outside 1 to 100000 lx"),
        (("--time", "1/0"), 2, "write one such as '1/20'"),
        (("--aperture", "wide"), 2, "write one such as '2.8'"),
        (("editing-desk", "--phone"), 2, "--phone goes with --lux"),
        (("--lux", "500", "--receptor", "dome"), 2, "--receptor goes with"),
        (("--card", "card.jpg", "--receptor", "dome"), 2, "--receptor goes with"),
        (("moonlight",), 3, "no profile 'moonlight'"),
        (("editing-desk", "--versus", "moonlight"), 3, "no profile 'moonlight'"),
        (("--card", "missing.jpg"), 4, "cannot be opened"),
    ],
)
def test_nonsense_is_refused(arguments: tuple[str, ...], code: int, words: str) -> None:
    said = light(*arguments)
    assert (said.code, said.out) == (code, "")
    assert words in said.err


def test_the_lights_are_listed_among_the_profiles() -> None:
    said = in_process("profiles", "lights").out
    assert "gallery-p1" in said
    assert "hall-tungsten" in said
