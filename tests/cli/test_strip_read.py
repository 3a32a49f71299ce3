"""``proofs strip-read``: a scan in, the lab's offset out, or a refusal in plain words.

The scans are simulated; the error given to the simulated lab is the reference (computed).
"""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from proofs.commands.strip_read import cautions, offset_in_words, reading_lines, shape_in_words
from proofs.inspection.wedge_finding import find_wedge
from proofs.inspection.wedge_reading import WedgeReading
from proofs.outside.pixels.colour.spaces import built_in_profile
from tests.command import gradient, in_process, write_entries
from tests.inspection.photographs import codes_with_spot, lamp_over_the_middle
from tests.inspection.print_and_scan import LARGE, SMALL, Scan, light_of, linear, scanned, sheet
from tests.near import CODES_8_BIT, READ_BACK

STRIP = Scan(offset=0.06, turn=4, ppi=150, noise=1.5, gradient=0.2, blur=0.6)
CLEAN = Scan(ppi=100, surroundings=False)


def saved(path: Path) -> Path:
    """Save the simulated scan of a strip as a JPEG."""
    grey = scanned(sheet(STRIP), STRIP)
    Image.fromarray(np.stack([grey] * 3, axis=-1)).save(path, quality=90)
    return path


def clean(scan: Scan = CLEAN) -> WedgeReading:
    return find_wedge(light_of(scan))


def table_of(out: str) -> list[list[str]]:
    return [line.split() for line in out.splitlines()[1:12]]


@pytest.fixture(scope="module")
def strip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return saved(tmp_path_factory.mktemp("scan") / "strip.jpg")


def test_the_offset_is_given_in_words(strip: Path) -> None:
    said = in_process("strip-read", strip)
    assert said.code == 0
    assert "the lab printed 0.06 D too dark at mid grey" in said.out


def test_every_step_has_a_row(strip: Path) -> None:
    rows = table_of(in_process("strip-read", strip).out)
    assert [row[0] for row in rows] == [str(10 * number) for number in range(11)]
    assert rows[0][1:] == ["black", "black", "-"]
    assert rows[5] == ["50", "0.73", "0.79", "+0.06"]
    assert rows[10][1] == "0.00"


def test_the_columns_are_aligned(strip: Path) -> None:
    lines = in_process("strip-read", strip).out.splitlines()[:12]
    assert len({len(line) for line in lines}) == 1


def test_the_limits_of_a_scan_are_stated(strip: Path) -> None:
    out = in_process("strip-read", strip).out
    assert "does not show absolute density, the depth of the black, or a colour cast" in out


def test_the_record_contains_the_same(strip: Path) -> None:
    record = json.loads(in_process("strip-read", strip, "--json").out)
    assert record["offset_density"] == pytest.approx(0.06, abs=READ_BACK)
    assert record["steps"][5]["difference"] == record["offset_density"]
    assert record["steps"][0]["density_asked"] is None
    assert record["file"] == "strip.jpg"
    assert record["cautions"] == []
    assert record["turn_degrees"] == pytest.approx(4, abs=0.5)


def test_a_small_wedge_in_a_sixteen_bit_scan_is_read(tmp_path: Path) -> None:
    scan = replace(STRIP, width=SMALL, ppi=200, offset=-0.10)
    path = tmp_path / "margin.png"
    deep = scanned(sheet(scan), scan).astype(np.uint16) * 257
    Image.fromarray(deep).save(path)
    record = json.loads(in_process("strip-read", path, "--json").out)
    assert record["offset_density"] == pytest.approx(-0.10, abs=READ_BACK)


def test_a_photograph_turned_by_exif_is_read(tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    exif = Image.Exif()
    exif[0x0112] = 6  # to be turned a quarter clockwise; EXIF 2.3, from memory
    Image.fromarray(scanned(sheet(STRIP), STRIP)).save(path, exif=exif, quality=92)
    record = json.loads(in_process("strip-read", path, "--json").out)
    assert record["offset_density"] == pytest.approx(0.06, abs=READ_BACK)
    assert record["turn_degrees"] == pytest.approx(94, abs=0.5)


def test_a_large_scan_is_reduced_and_read(tmp_path: Path) -> None:
    grey = Image.fromarray(scanned(sheet(STRIP), STRIP))
    path = tmp_path / "large.png"
    grey.resize((grey.width * 4, grey.height * 4)).save(path, compress_level=1)
    record = json.loads(in_process("strip-read", path, "--json").out)
    assert record["offset_density"] == pytest.approx(0.06, abs=READ_BACK)


def test_the_profile_of_a_scan_is_used(tmp_path: Path) -> None:
    """The same codes mean other tones with a linear profile than with none."""
    codes = np.rint(linear(scanned(sheet(STRIP), STRIP)) * 65535).astype(np.uint16)
    tagged, bare = tmp_path / "tagged.tif", tmp_path / "bare.tif"
    Image.fromarray(codes).save(tagged, icc_profile=built_in_profile("linear-grey"))
    Image.fromarray(codes).save(bare)
    record = json.loads(in_process("strip-read", tagged, "--json").out)
    assert record["offset_density"] == pytest.approx(0.06, abs=READ_BACK)
    assert "not its eleven grey steps" in in_process("strip-read", bare).err


def test_the_sheet_that_strip_makes_is_read_back(tmp_path: Path) -> None:
    """The file is not printed yet: its wedge has the tones asked for, to the rounding of codes."""
    gradient(tmp_path / "pier.jpg", 1500, 1000)
    write_entries(tmp_path, "file;size;bracket", "pier.jpg;6x4 in;+0.10")
    assert in_process("strip", tmp_path, "--rules", "none", "--out", tmp_path / "out").code == 0
    sheets = sorted((tmp_path / "out" / "strips").iterdir())
    record = json.loads(in_process("strip-read", sheets[0], "--json").out)
    assert record["offset_density"] == pytest.approx(0, abs=CODES_8_BIT)
    assert record["turn_degrees"] == 0


def test_the_plots_are_a_page(strip: Path, tmp_path: Path) -> None:
    plot = tmp_path / "strip.pdf"
    said = in_process("strip-read", strip, "--plot", plot)
    assert f"{plot}: the plots" in said.out
    document = pypdfium2.PdfDocument(plot)
    assert len(document) == 1
    text = document[0].get_textpage().get_text_bounded()
    assert "The lab printed 0.06 D too dark at mid grey." in text
    assert "strip.jpg" in text
    assert "L* asked" in text


def test_the_same_scan_gives_the_same_plots(strip: Path, tmp_path: Path) -> None:
    plots = [tmp_path / "one.pdf", tmp_path / "two.pdf"]
    assert [in_process("strip-read", strip, "--plot", plot).code for plot in plots] == [0, 0]
    assert plots[0].read_bytes() == plots[1].read_bytes()


def test_a_plot_must_be_a_pdf(strip: Path) -> None:
    said = in_process("strip-read", strip, "--plot", "strip.png")
    assert said.code == 2
    assert ".pdf" in said.err


def test_a_photograph_of_something_else_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "pier.jpg"
    gradient(path, 900, 600)
    said = in_process("strip-read", path)
    assert said.code == 4
    assert f"{path}: no whole grey wedge was found" in said.err
    assert "300 ppi" in said.err


def test_without_a_wedge_nothing_is_written(tmp_path: Path) -> None:
    path, plot = tmp_path / "pier.jpg", tmp_path / "pier.pdf"
    gradient(path, 900, 600)
    assert in_process("strip-read", path, "--plot", plot).code == 4
    assert not plot.exists()


def test_a_file_that_is_not_a_picture_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("no picture")
    assert in_process("strip-read", path).code == 4


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    assert in_process("strip-read", tmp_path / "nowhere.jpg").code == 4


@pytest.mark.parametrize(
    ("scan", "words"),
    [
        (replace(CLEAN, exposure=1.1), "paper white is burnt out"),
        (replace(CLEAN, veil=0.12), "reflects"),
        (replace(CLEAN, gradient=0.9), "falls off"),
        (replace(CLEAN, width=SMALL, ppi=150, noise=8.0), "noisy or coarse"),
        (replace(CLEAN, blur=2.3), "not sharp"),
    ],
)
def test_what_makes_a_reading_less_reliable_is_reported(scan: Scan, words: str) -> None:
    assert any(words in caution for caution in cautions(clean(scan)))


def test_a_clean_scan_gets_no_caution() -> None:
    assert cautions(clean()) == []


def test_a_reflection_is_stated_with_the_remedy(tmp_path: Path) -> None:
    path = tmp_path / "lamp.png"
    scan = replace(CLEAN, ppi=150, exposure=0.75)
    Image.fromarray(codes_with_spot(scan, lamp_over_the_middle(0.05, scan))).save(path)
    said = in_process("strip-read", path, "--json")
    record = json.loads(said.out)
    assert record["offset_density"] == pytest.approx(0, abs=READ_BACK)
    assert record["reflection_density"] == pytest.approx(0.12, abs=READ_BACK)
    assert record["offset_doubt_density"] > READ_BACK
    assert "looked 0.12 D too light, which was corrected" in record["cautions"][0]
    assert "switch the light off or move it" in record["cautions"][0]


def test_a_strong_reflection_is_refused_with_the_remedy(tmp_path: Path) -> None:
    path = tmp_path / "lamp.png"
    scan = replace(CLEAN, ppi=150, exposure=0.75)
    Image.fromarray(codes_with_spot(scan, lamp_over_the_middle(0.20, scan))).save(path)
    said = in_process("strip-read", path)
    assert said.code == 4
    assert f"{path}: a reflection or a shadow lies on the wedge" in said.err
    assert "switch the light off or move it, tilt the print" in said.err


def test_lost_shadows_are_reported() -> None:
    light = light_of(CLEAN).copy()
    crushed = np.where(light < 0.05, np.float32(0.01), light)
    assert any("equally black" in caution for caution in cautions(find_wedge(crushed)))


def test_a_shadow_on_the_white_end_is_reported() -> None:
    light = light_of(CLEAN).copy()
    light[240 + 24 : 240 + 40, 160 + 344 : 160 + 376] *= 0.93  # 2.4 in down, 1.6 in across
    assert any("differ by 0.03 D" in caution for caution in cautions(find_wedge(light)))


@pytest.mark.parametrize(
    ("gamma", "words"),
    [(1.15, "more contrast"), (0.87, "less contrast"), (1.0, "about the same")],
)
def test_the_shape_of_the_error_is_given_in_words(gamma: float, words: str) -> None:
    bent = light_of(CLEAN) ** np.float32(gamma)
    assert words in shape_in_words(find_wedge(bent))


def test_a_wedge_turned_the_other_way_is_reported_so() -> None:
    lines = reading_lines(find_wedge(light_of(Scan(width=LARGE, turn=-6, ppi=100))))
    assert any("turned 6° anticlockwise" in line for line in lines)


@pytest.mark.parametrize(
    ("offset", "words"),
    [(0.2, "0.20 D too dark"), (-0.104, "0.10 D too light"), (0.009, "as asked")],
)
def test_offsets_are_given_in_words(offset: float, words: str) -> None:
    assert words in offset_in_words(offset)
