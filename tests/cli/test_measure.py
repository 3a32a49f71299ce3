"""``proofs measure``: files written by other libraries, reported as they are.

Outside sources: sizes by hand (1 in = 25.4 mm; an overlap of 1/8 in hides 1/4 in of each side);
JFIF (ITU-T T.871), TIFF 6.0 and pHYs of PNG as Pillow and tifffile write them; EXIF orientation
by CIPA DC-008; the table of CIE L* and density.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from PIL import Image

from proofs.commands.measure.tables import table_lines
from proofs.commands.measure.worker import (
    MeasuredFile,
    MeasureTask,
    files_named,
    measure_file,
    unmeasured_file,
)
from proofs.findings import Severity
from proofs.lengths import inches
from proofs.measures import read_size
from proofs.records.rules import BorderRule
from proofs.run.workers import DIED, Trouble, guarded
from tests import near
from tests.command import Said, in_process, proofs
from tests.manual_pages import keys_of
from tests.workbench import TRUE, a_job, a_mount, by_code, some_rules

TEN_INCHES = (3000, 2000)  # at 300 ppi


def even(path: Path, size: tuple[int, int] = (60, 40), code: int = 119, **options: Any) -> Path:
    """Save a picture of even grey in RGB with Pillow and return its path."""
    Image.new("RGB", size, (code,) * 3).save(path, **options)
    return path


def record(*arguments: str | Path) -> Any:
    return json.loads(in_process("measure", *arguments, "--json").out)


def measured(path: Path, **options: Any) -> MeasuredFile:
    task = MeasureTask(path, a_job(), **options)
    result = guarded(measure_file, task)
    return result if isinstance(result, MeasuredFile) else unmeasured_file(task, result)


@pytest.mark.parametrize(
    ("name", "options", "ppi"),
    [
        ("a.jpg", {"dpi": (300, 300)}, 300),
        ("a.png", {"dpi": (240, 240)}, 240),
        ("a.tif", {"dpi": (360, 360)}, 360),
        ("a.tif", {"resolution_unit": 3, "x_resolution": 100, "y_resolution": 100}, 254),
        ("a.png", {}, None),
        ("a.webp", {}, None),
    ],
)
def test_the_resolution_is_that_of_the_tag(
    tmp_path: Path, name: str, options: dict[str, Any], ppi: float | None
) -> None:
    (file,) = record(even(tmp_path / name, **options))["files"]
    assert (file["ppi_tag"], file["ppi"]) == (ppi, ppi)
    assert (file["width_px"], file["height_px"]) == (60, 40)
    assert file["kind"] == {"a.jpg": "jpeg", "a.tif": "tiff"}.get(name, name[2:])


def test_the_record_has_the_keys_of_the_manual(tmp_path: Path) -> None:
    found = record(even(tmp_path / "a.jpg"))
    assert set(found) == keys_of("json-readings", "The record of measure")
    assert set(found["files"][0]) == keys_of("json-readings", "A measured file")


def test_the_size_on_paper_is_pixels_by_resolution(tmp_path: Path) -> None:
    # By hand: 60 and 40 px at 300 ppi are 5.08 and 3.386667 mm; at 120 ppi 12.7 and 8.466667 mm.
    path = even(tmp_path / "a.jpg", dpi=(300, 300))
    assert record(path)["files"][0]["print_mm"] == {"width": 5.08, "height": 3.386667}
    other = record(path, "--ppi", "120")["files"][0]
    assert other["print_mm"] == {"width": 12.7, "height": 8.466667}
    assert (other["ppi"], other["ppi_tag"]) == (120, 300)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_pixels_are_reported_as_hung_and_as_stored(tmp_path: Path, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    (file,) = record(even(tmp_path / "a.jpg", exif=exif))["files"]
    hung = {True: (40, 60), False: (60, 40)}[orientation >= 5]
    assert (file["width_px"], file["height_px"]) == hung
    assert (file["stored_width_px"], file["stored_height_px"]) == (60, 40)


@pytest.mark.parametrize(
    ("pixels", "photometric", "bits", "channels"),
    [
        (np.full((40, 60, 3), 119, np.uint8), "rgb", 8, 3),
        (np.full((40, 60, 3), 30561, np.uint16), "rgb", 16, 3),
        (np.full((40, 60), 119, np.uint8), "minisblack", 8, 1),
        (np.full((40, 60, 4), 100, np.uint8), "separated", 8, 4),
    ],
)
def test_bits_and_channels_are_those_of_the_file(
    tmp_path: Path, pixels: np.ndarray, photometric: str, bits: int, channels: int
) -> None:
    tifffile.imwrite(tmp_path / "a.tif", pixels, photometric=photometric, metadata=None)
    (file,) = record(tmp_path / "a.tif")["files"]
    assert (file["bits"], file["channels"], file["profile"]) == (bits, channels, None)
    assert "profile-missing" in [finding["code"] for finding in file["findings"]]


def test_densities_are_those_of_the_table(tmp_path: Path) -> None:
    # Codes 119 and 226 of sRGB are L* 50.03 and 89.87, that is 0.734 and 0.118 D.
    (file,) = record(even(tmp_path / "a.png"))["files"]
    assert file["median_density"] == pytest.approx(0.7341, abs=near.CODES_8_BIT)
    pixels = np.full((100, 100, 3), 119, np.uint8)
    pixels[:3] = 226
    pixels[3:8] = 0
    Image.fromarray(pixels).save(tmp_path / "b.png")
    (file,) = record(tmp_path / "b.png")["files"]
    assert file["lightest_1_percent_density"] == pytest.approx(0.118, abs=near.CODES_8_BIT)
    assert file["darkest_1_percent_density"] == 4
    assert (file["blocked_share"], file["bare_share"]) == (0.05, 0)


def test_ten_inches_under_an_eighth_of_overlap_leave_nine_and_three_quarters(
    tmp_path: Path,
) -> None:
    path = even(tmp_path / "a.jpg", TEN_INCHES, dpi=(300, 300))
    said = in_process("measure", path, "--mount", "overlap-white")
    assert said.code == 1
    assert "visible    9 3/4 × 6.42 in (24.77 × 16.3 cm)" in said.out
    assert (
        "longest visible side 9 3/4 in (24.77 cm) is below the minimum of 10 in (25.4 cm)"
        in said.out
    )
    # By hand: 9.75 in = 247.65 mm; two thirds of 254 mm less 6.35 mm = 162.983333 mm.
    (file,) = record(path, "--mount", "overlap-white")["files"]
    assert file["sight_size_mm"] == {"width": 247.65, "height": 162.983333}
    assert file["status"] == "broken"


def test_ten_inches_and_a_quarter_show_ten(tmp_path: Path) -> None:
    path = even(tmp_path / "a.jpg", (3075, 2000), dpi=(300, 300))
    (file,) = record(path, "--mount", "overlap-white", "--rules", "print-16x20-in")["files"]
    longest = next(f for f in file["findings"] if f["code"] == "longest-side")
    assert (longest["measured"], longest["severity"]) == (254, "at-risk")


def test_another_resolution_gives_another_verdict(tmp_path: Path) -> None:
    path = even(tmp_path / "a.jpg", TEN_INCHES, dpi=(300, 300))
    said = in_process("measure", path, "--ppi", "240", "--mount", "overlap-white")
    assert said.code == 0
    # By hand: 3000 px at 240 ppi are 12.5 in, less 1/4 in.
    assert "visible    12 1/4 × 8.08 in" in said.out
    assert "300" in said.out
    assert "ok         240 pixels per inch at print size" in said.out


def test_the_rules_alone_ask_for_verdicts_too(tmp_path: Path) -> None:
    path = even(tmp_path / "a.jpg", TEN_INCHES, dpi=(300, 300))
    found = record(path, "--rules", "print-40x50-cm")
    assert (found["rules"], found["mount"]) == ("print-40x50-cm", "overlap-white")
    assert found["files"][0]["status"] == "broken"


def test_without_mount_or_rules_nothing_is_judged(tmp_path: Path) -> None:
    found = record(even(tmp_path / "a.jpg", TEN_INCHES, dpi=(300, 300)))
    assert (found["rules"], found["mount"]) == (None, None)
    assert found["files"][0]["status"] == "measured"
    assert found["files"][0]["sight_size_mm"] is None


def test_a_file_without_a_size_on_paper_is_not_judged_and_gets_advice(tmp_path: Path) -> None:
    said = in_process("measure", even(tmp_path / "a.png"), "--mount", "overlap-white")
    assert said.code == 0
    assert "give one with --ppi" in said.out
    assert "1 file: 1 measured" in said.out


def test_a_picture_that_the_window_hides_is_broken(tmp_path: Path) -> None:
    path = even(tmp_path / "a.jpg", (60, 40), dpi=(300, 300))
    (file,) = record(path, "--mount", "overlap-white")["files"]
    assert file["findings"][0]["code"] == "nothing-visible"
    assert file["status"] == "broken"


def test_a_file_without_a_title_breaks_no_rule_on_titles(tmp_path: Path) -> None:
    rules = tmp_path / "own" / "rules"
    rules.mkdir(parents=True)
    text = "title = 'T'\nsource = 'S'\n[entries]\ntitle_most = 1\n"
    (rules / "short.toml").write_text(text)
    path = even(tmp_path / "long-name.jpg", TEN_INCHES, dpi=(300, 300))
    said = in_process("measure", path, "--rules", "short", "--profiles", tmp_path / "own")
    assert said.code == 0


def test_an_unreadable_file_is_reported_and_the_others_go_on(tmp_path: Path) -> None:
    good = even(tmp_path / "a.jpg")
    bad = tmp_path / "b.jpg"
    bad.write_text("no picture")
    said = in_process("measure", bad, good, tmp_path / "c.jpg")
    assert said.code == 4
    assert "UNREADABLE" in said.out
    assert "c.jpg: cannot be opened" in said.out
    assert "JPEG, 8 bits" in said.out
    assert "3 files: 2 unreadable, 1 measured" in said.out


def test_what_cannot_be_read_outweighs_a_broken_rule(tmp_path: Path) -> None:
    good = even(tmp_path / "a.jpg", TEN_INCHES, dpi=(300, 300))
    said = in_process("measure", tmp_path / "none.jpg", good, "--mount", "overlap-white")
    assert said.code == 4
    assert "exit code 4: file a.jpg breaks a rule; file none.jpg cannot be read" in said.out


def test_a_folder_means_its_pictures_in_natural_order(tmp_path: Path) -> None:
    paths = [even(tmp_path / name) for name in ("2.jpg", "10.png", "1.tif")]
    (tmp_path / "notes.txt").write_text("no picture")
    two, ten, one = paths
    assert files_named([tmp_path, two]) == (one, two, ten, two)


def test_a_folder_without_pictures_is_reported(tmp_path: Path) -> None:
    said = in_process("measure", tmp_path)
    assert said.code == 4
    assert "is a folder without pictures;" in said.out


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Said:
    folder = tmp_path_factory.mktemp("many")
    even(folder / "a.jpg", TEN_INCHES, dpi=(300, 300))
    even(folder / "a name that goes on and on and on.jpg", (3600, 2400), dpi=(300, 300))
    even(folder / "写真のなまえ.png")
    Image.new("L", (2000, 2000), 80).save(folder / "grey.tif", dpi=(240, 240))
    (folder / "spoilt.jpg").write_bytes(b"\xff\xd8\xff")
    return proofs("measure", folder, "--mount", "overlap-white")


def test_many_files_are_listed_in_tables_of_80_columns(many: Said) -> None:
    tables = many.out[many.out.index("files  ") : many.out.index("blocked: ")].splitlines()
    assert max(map(len, tables)) <= 80
    assert "a name tha… and on.jpg  3600 × 2400  300  12 × 8 in (30.48 × 20.32 cm)" in tables


def test_many_files_are_counted_by_their_verdicts(many: Said) -> None:
    assert many.code == 4
    assert "5 files: 1 met, 2 broken, 1 unreadable, 1 measured" in many.out
    assert "files a.jpg, grey.tif break rules; file spoilt.jpg cannot be read" in many.out


def test_there_is_no_progress_bar_without_a_terminal(many: Said) -> None:
    assert many.err == ""


def test_columns_are_aligned_with_their_headings(many: Said) -> None:
    lines = many.out.splitlines()
    heading = next(line for line in lines if line.startswith("densities"))
    row = next(line for line in lines if line.startswith("grey.tif") and "%" in line)
    assert len(row) == len(heading)
    assert row.index("0.0 %") + 5 == heading.index("blocked") + len("blocked")


def test_a_finding_of_several_files_is_listed_once(many: Said) -> None:
    assert many.out.count("no profile: taken as sRGB") == 1
    assert many.out.count("no profile: taken as grey") == 1


def test_the_gravest_finding_comes_first(many: Said) -> None:
    places = [
        many.out.index(word) for word in ("is cut short", "is below the minimum", "no profile")
    ]
    assert places == sorted(places)


def test_files_of_the_same_name_are_listed_with_their_folders(tmp_path: Path) -> None:
    folders = [tmp_path / name for name in ("x", "y")]
    for_each = [even(_made(folder) / "a.png") for folder in folders]
    files = [measured(path) for path in for_each]
    rows = [line for line in table_lines(files, a_job()) if "PNG" in line]
    assert len(rows) == 2
    assert rows[0] != rows[1]


def _made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def test_control_characters_in_a_name_are_escaped(tmp_path: Path) -> None:
    said = in_process("measure", even(tmp_path / "a\x1b[31m\n.png"))
    assert "\x1b" not in said.out
    assert r"a\x1b[31m\n.png" in said.out


def test_files_measured_at_once_come_in_the_order_they_were_named(tmp_path: Path) -> None:
    names = ["d.png", "a.png", "c.png", "b.png"]
    found = record(*(even(tmp_path / name) for name in names), "--jobs", "2")
    assert [Path(file["file"]).name for file in found["files"]] == names


def test_a_file_whose_worker_died_is_reported_as_failed(tmp_path: Path) -> None:
    lost = unmeasured_file(MeasureTask(tmp_path / "a.jpg", a_job()), DIED)
    assert lost.outcome.status == "failed"
    assert "the worker process died" in lost.outcome.findings[0].message


def test_a_fault_of_the_program_keeps_its_trace(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("out of order")

    monkeypatch.setattr("proofs.commands.measure.worker.tone_figures", broken)
    task = MeasureTask(even(tmp_path / "a.jpg"), a_job())
    trouble = guarded(measure_file, task)
    assert isinstance(trouble, Trouble)
    assert "RuntimeError: out of order" in trouble.trace
    assert unmeasured_file(task, trouble).outcome.status == "failed"


def test_a_size_from_whole_pixels_is_judged_with_half_a_pixel_to_spare(tmp_path: Path) -> None:
    # A border of 2 in on a board 20 in wide leaves 16 in at the face, and with 1/8 in of overlap
    # and 1.4 mm of bevel on each side an image of 16.13976 in: 4841.93 px at 300 ppi. Of the
    # 4842 px of its print file only 1.99988 in of border would be left.
    rules = some_rules(borders=(BorderRule(inches(2)),))
    path = even(tmp_path / "a.png", (4842, 600), dpi=(300, 300))
    border = {}
    for width in (4842, 4844):
        even(path, (width, 600), dpi=(300, 300))
        task = MeasureTask(path, a_job(rules=rules, cutter=TRUE), is_mounted=True)
        border[width] = by_code(measure_file(task).outcome.findings)["border"].severity
    assert border == {4842: Severity.MET, 4844: Severity.BROKEN}


def test_a_file_is_judged_at_its_own_size_behind_the_opening_that_a_mount_gives(
    tmp_path: Path,
) -> None:
    # 13 1/2 x 10 1/2 in and the overlap of 1/8 in ask for 3:2 of 16 1/8 x 10 3/4 in, 4838 x 3225
    # pixels at 300 ppi; of 12 x 8 in, 2 1/2 in of the height stay empty.
    given = a_mount(board=read_size("20x16 in"), opening=read_size("13 1/2 x 10 1/2 in"))
    large, small = (
        measure_file(MeasureTask(even(tmp_path / name, size), a_job(given), 300, is_mounted=True))
        for name, size in (("large.png", (4838, 3225)), ("small.png", (3600, 2400)))
    )
    found = by_code(large.outcome.findings)
    assert found["overlap-left"].severity is Severity.MET
    assert found["hidden-beyond"].severity is Severity.NOTE
    lost = by_code(small.outcome.findings)["overlap-left"]
    assert lost.severity is Severity.BROKEN
    assert lost.message == "the image is 2 1/2 in (6.35 cm) smaller than its opening: paper shows"
    assert lost.remedy.startswith("print it as an image of 16 1/8 × 10 3/4 in")
