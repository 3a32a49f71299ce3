"""``proofs mount``, run as its user runs it, with its files read back."""

import json
from pathlib import Path
from typing import Any

import pypdfium2 as pdfium
import pytest

from proofs.lengths import inches
from proofs.outside.run_record import RECORD
from proofs.pages.stamp import STAMP
from tests.command import gradient, in_process, proofs, write_entries
from tests.manual_pages import ROOT, keys_of

RULES = ("--mount", "overlap-white", "--cutter", "hand", "--rules", "print-16x20-in")
FILES = ("mounting.pdf", "templates.pdf", "labels.pdf")
HEADS = (
    *("Timetable", "Material list", "Cutting guide", "All cuts", "Mounting plan", "Last look"),
    *("Print log", "Packing list"),
)
TITLE = "The long way round the lighthouse, in the wind, before anybody thought of breakfast"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two equal mounts, one that breaks a rule, a different one, and a file that is no picture."""
    path = tmp_path_factory.mktemp("mount")
    gradient(path / "a.jpg", 300, 200)
    gradient(path / "tall.jpg", 200, 300)
    (path / "broken.jpg").write_bytes((path / "a.jpg").read_bytes()[:500])
    write_entries(
        path,
        "number,title,file,size,mount",
        f'1,"{TITLE}",a.jpg,long 12 in,',
        "2,Two,a.jpg,long 12 in,",
        "3,Small,a.jpg,long 9 in,",
        "4,Tall,tall.jpg,long 14 in,double-white",
        "5,Lost,broken.jpg,,",
        "6,Bare,tall.jpg,long 12 in,no-window",
    )
    return path


@pytest.fixture(scope="module")
def run(folder: Path) -> tuple[Path, Any]:
    out = folder / "bench"
    said = proofs("mount", folder, "--out", out, "--paper-size", "letter", *RULES)
    assert said.code == 4, said.out + said.err
    return out, json.loads((out / "cuts.json").read_text("utf-8"))


def page_texts(path: Path) -> list[str]:
    pages = pdfium.PdfDocument(path.read_bytes())
    return [page.get_textpage().get_text_bounded() for page in pages]


def text_of(path: Path) -> str:
    return " ".join(page_texts(path))


def test_mounts_cut_alike_share_a_page(run: tuple[Path, Any]) -> None:
    out, record = run
    assert [
        (m["count"], [e["number"] for e in m["entries"]], len(m["mats"])) for m in record["mounts"]
    ] == [(2, ["1", "2"], 1), (1, ["4"], 2), (1, ["6"], 0)]
    text = text_of(out / "mounting.pdf")
    assert text.count("Mount 1 of 3") == 1
    assert "make 2" in text
    assert "top mat" in text


def test_what_breaks_a_rule_or_cannot_be_read_is_left_out(run: tuple[Path, Any]) -> None:
    _, record = run
    assert [(e["number"], e["status"]) for e in record["left_out"]] == [
        ("3", "broken"),
        ("5", "unreadable"),
    ]


def test_every_page_names_the_entries_that_it_leaves_out(run: tuple[Path, Any]) -> None:
    pages = [page for name in FILES for page in page_texts(run[0] / name)]
    words = "Entries left out: 3 (breaks a rule); 5 (cannot be read)"
    assert [page for page in pages if words not in page] == []


def test_an_entry_whose_print_must_be_made_again_is_named(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in", "2,a.jpg,long 12 in")
    in_process("arrived", tmp_path, "2", "9 3/4 x 6 1/2 in", *RULES)
    said = in_process("mount", tmp_path, "--out", tmp_path / "bench", *RULES)
    assert "print again before mounting: entry 2" in said.out
    words = "Entries left out: 2 (print again)"
    assert all(words in page for name in FILES for page in page_texts(tmp_path / "bench" / name))


def test_the_cuts_of_every_mat_make_up_its_board_with_the_opening(run: tuple[Path, Any]) -> None:
    mats = [mat for mount in run[1]["mounts"] for mat in mount["mats"]]
    at = [{cut["edge"]: cut["at_mm"] for cut in mat["cuts"]} for mat in mats]
    across = [
        edges["left"] + mat["openings"][0]["back_opening_mm"]["width"] + edges["right"]
        for edges, mat in zip(at, mats, strict=True)
    ]
    assert across == pytest.approx([mat["board_mm"]["width"] for mat in mats], abs=1e-6)


def test_the_bottom_mat_shows_equally_on_all_sides(run: tuple[Path, Any]) -> None:
    first, inner = run[1]["mounts"][1]["mats"]
    borders = [{c["edge"]: c["at_mm"] for c in mat["cuts"]} for mat in (first, inner)]
    # The bottom mat ends 1/8 in inside the top mat on each side.
    shown = [borders[1][edge] + inches("1/8").mm - borders[0][edge] for edge in borders[0]]
    assert shown == pytest.approx([shown[0]] * 4, abs=1e-6)
    # 1/4 in from the face of the bottom mat to the back of the top mat, and 1.4 mm of bevel.
    # All to 1/32 in.
    assert shown[0] == pytest.approx(inches("1/4").mm + 1.4, abs=inches("1/32").mm)


def test_the_table_lists_every_straight_cut_once(run: tuple[Path, Any]) -> None:
    uses = [use for setting in run[1]["settings"] for use in setting["uses"]]
    # Two mats with four cuts each, and a double mat with eight.
    assert sum(use["cuts"] for use in uses) == 16


def test_the_record_has_the_keys_of_the_manual(run: tuple[Path, Any]) -> None:
    record = run[1]
    mount = record["mounts"][0]
    mat, entry, setting = mount["mats"][0], mount["entries"][0], record["settings"][0]
    assert set(record) == keys_of("json-cuts", "cuts.json")
    assert set(mount) == keys_of("json-cuts", "A mount")
    assert set(mat) == keys_of("json-cuts", "A mat")
    assert set(mat["openings"][0]) == keys_of("json-cuts", "An opening")
    assert set(mat["cuts"][0]) == keys_of("json-cuts", "A cut")
    assert set(entry) == keys_of("json-cuts", "An entry on its mount")
    assert set(entry["prints"][0]) == keys_of("json-cuts", "A print")
    assert set(setting) == keys_of("json-cuts", "A setting")
    assert set(setting["uses"][0]) == keys_of("json-cuts", "A use")
    assert set(record["left_out"][0]) == keys_of("json-cuts", "An entry left out")
    board = record["boards"][0]
    assert set(board) == keys_of("json-cuts", "A kind of board")
    assert set(board["bought"][0]["sheets"][0][0]) == keys_of(
        "json-cuts", "A piece cut from a sheet"
    )


@pytest.fixture(scope="module")
def shelved(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path, Any]:
    """What is said, written and recorded where some boards lie on a shelf.

    Entries 1, 2 and 4 have mats of 16 x 20 in, 4 two of them, and all four a backing. The opening
    of 1 and 2 is 12 x 8 in less 1/8 in on each side.
    """
    path = tmp_path_factory.mktemp("shelved")
    for name in ("a.jpg", "tall.jpg", "broken.jpg"):
        (path / name).write_bytes((folder / name).read_bytes())
    (path / "entries.csv").write_bytes((folder / "entries.csv").read_bytes())
    (path / "loft.csv").write_text(
        "kind,size,opening,colour,thickness,count\n"
        "ready-cut mat,16x20 in,7 3/4x11 3/4 in,white,1.4 mm,1\n"
        "backing,16x20 in,,white,3/16 in,9\n"
        "blank mat,16x20 in,,white,1.4 mm,1\n"
    )
    (path / "job.toml").write_text('shelf = "loft.csv"\n')
    said = in_process("mount", path, "--out", path / "bench", *RULES)
    return said.out, path / "bench", json.loads((path / "bench/cuts.json").read_text("utf-8"))


def test_what_lies_on_the_shelf_is_taken_first(shelved: tuple[str, Path, Any]) -> None:
    said, _, record = shelved
    # By hand: a mat ready-cut for entry 1; blank ones for 2, 4 and a spare, and a lower one for 4.
    # One of those four lies there. Four backings and a spare lie there.
    assert "from the shelf: 7 boards, 4 will be left; " in said
    assert [row["left"] for row in record["shelf"]] == [0, 4, 0]
    assert [[one["line"] for one in kind["taken"]] for kind in record["boards"]] == [
        [2, 4],
        [3] * 5,
    ]


def test_a_ready_cut_mat_is_not_cut_again(shelved: tuple[str, Path, Any]) -> None:
    said, out, record = shelved
    assert "mount 1  take 1     entry 1" in said
    assert "mount 2  make 1     entry 2" in said
    assert [mount["ready_cut"] for mount in record["mounts"]] == [True, False, False, False]
    uses = [use for setting in record["settings"] for use in setting["uses"]]
    # One mat with four cuts, and a double mat with eight.
    assert sum(use["cuts"] for use in uses) == 12
    assert "take 1" in text_of(out / "mounting.pdf")


def test_the_material_list_says_what_will_be_left(shelved: tuple[str, Path, Any]) -> None:
    text = text_of(shelved[1] / "mounting.pdf")
    assert "What will be left on the shelf" in text
    assert "Ready-cut mat" in text


def test_the_shelf_is_recorded_as_the_manual_says(shelved: tuple[str, Path, Any]) -> None:
    record = shelved[2]
    assert set(record["shelf"][0]) == keys_of("json-cuts", "A row of the shelf")
    taken = record["boards"][0]["taken"][0]
    assert set(taken) == keys_of("json-cuts", "A board taken from the shelf")


@pytest.mark.parametrize(
    ("shelf", "job", "said"),
    [
        (
            "kind,size,thickness\nsheet,32x40,1.4 mm\n",
            "",
            "shelf.csv: line 2, size: '32x40' has no",
        ),
        ("", 'shelf = "gone.csv"\n', "job.toml: shelf: there is no file"),
    ],
)
def test_a_shelf_that_cannot_be_read_stops_the_run(
    tmp_path: Path, shelf: str, job: str, said: str
) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in")
    (tmp_path / "job.toml").write_text(job)
    (tmp_path / "shelf.csv").write_text(shelf or "kind,size,thickness\n")
    done = in_process("mount", tmp_path, "--out", tmp_path / "bench", *RULES)
    assert (done.code, said in done.err) == (3, True), done.err
    assert not (tmp_path / "bench").exists()


def test_every_file_is_in_the_record_of_the_run(run: tuple[Path, Any]) -> None:
    files = json.loads((run[0] / RECORD).read_text())["files"]
    assert set(files) == {"mounting.pdf", "templates.pdf", "labels.pdf", "cuts.json"}


def test_the_pages_are_in_the_order_of_the_work(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "bench"
    in_process("mount", folder, "--out", out, "--closing", "2030-05-31", *RULES)
    bookmarks = list(pdfium.PdfDocument(out / "mounting.pdf").get_toc())
    assert [mark.get_title() for mark in bookmarks] == list(HEADS)
    # Each leads to a page that has its words, and that names it at its foot.
    pages = page_texts(out / "mounting.pdf")
    shown = [pages[mark.get_dest().get_index()] for mark in bookmarks]
    assert [head for head, text in zip(HEADS, shown, strict=True) if head not in text] == []


def test_the_templates_of_whole_boards_are_made_if_asked_for(folder: Path, tmp_path: Path) -> None:
    counts = []
    for name, options in (("corners", []), ("whole", ["--whole"])):
        in_process("mount", folder, "--out", tmp_path / name, *options, *RULES)
        counts.append(len(pdfium.PdfDocument(tmp_path / name / "templates.pdf")))
    # Three kinds of mount of 16 x 20 in: two pages each in place of six.
    assert counts == [6, 18]


def test_the_closing_date_of_the_rules_is_counted_back_from(folder: Path, tmp_path: Path) -> None:
    rules = "rules/print-16x20-in.toml"
    (tmp_path / "rules").mkdir()
    ours = (ROOT / "profiles" / rules).read_text("utf-8")
    (tmp_path / rules).write_text(f"closing_date = 2030-05-31\n{ours}")
    out = tmp_path / "bench"
    said = in_process("mount", folder, "--out", out, "--profiles", tmp_path, *RULES)
    assert "closing date Fri 31 May 2030" in text_of(out / "mounting.pdf")
    assert b"DTSTART;VALUE=DATE:20300531" in (out / "timetable.ics").read_bytes()
    assert "no timetable" not in said.out


def test_a_closing_date_that_is_too_near_is_reported(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "bench"
    said = in_process("mount", folder, "--out", out, "--closing", "2020-05-29", *RULES)
    assert "The last day of receipt, Fri 29 May 2020, has passed." in said.out


@pytest.mark.parametrize(
    ("rules", "sheets"),
    [("print-16x20-in", "32 × 40 in"), ("print-40x50-cm", "815 × 1120 mm")],
)
def test_boards_are_cut_from_sheets_of_the_unit_of_the_rules(
    folder: Path, tmp_path: Path, rules: str, sheets: str
) -> None:
    in_process("mount", folder, "--out", tmp_path / "bench", "--anyway", "--rules", rules)
    assert f"Board in sheets of {sheets.replace('×', 'x')}" in text_of(
        tmp_path / "bench/mounting.pdf"
    )


def test_only_what_is_mounted_gets_a_label_but_all_are_counted(run: tuple[Path, Any]) -> None:
    labels = text_of(run[0] / "labels.pdf")
    assert [n for n in range(1, 7) if f"{n} of 6" in labels] == [1, 2, 4, 6]


def test_labels_come_on_a_sheet_of_labels(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "bench"
    said = in_process("mount", folder, "--out", out, "--labels", "a4-2x4", *RULES)
    assert said.code == 4
    assert "A4" in page_texts(out / "labels.pdf")[1]


def test_the_record_can_be_printed_instead_of_words(folder: Path, run: tuple[Path, Any]) -> None:
    said = in_process("mount", folder, "--out", run[0], "--json", *RULES)
    assert json.loads(said.out) == run[1]


def test_readings_change_the_opening_and_take_away_the_stamp(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 16 in")
    planned = in_process("mount", tmp_path, "--out", tmp_path / "planned", *RULES)
    assert "planned sizes, not measured ones: entry 1" in planned.out
    in_process("arrived", tmp_path, "1", "15 13/16 x 10 17/32 in", *RULES)
    measured = in_process("mount", tmp_path, "--out", tmp_path / "measured", *RULES)
    assert "planned sizes" not in measured.out
    texts = [text_of(tmp_path / name / "mounting.pdf") for name in ("planned", "measured")]
    stamped = [
        [STAMP in text for name in FILES for text in page_texts(tmp_path / run / name)]
        for run in ("planned", "measured")
    ]
    assert [set(pages) for pages in stamped] == [{True}, {False}]
    assert ["15 9/16" in text for text in texts] == [False, True]


def test_a_border_that_the_cutter_cannot_reach_is_a_warning(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in")
    short = (ROOT / "profiles/cutters/rail.toml").read_text("utf-8") + '[scale]\nreach = "4 in"\n'
    (tmp_path / "cutters").mkdir()
    (tmp_path / "cutters/short.toml").write_text(short)
    options = ("--profiles", tmp_path, *RULES, "--cutter", "short")
    said = in_process("mount", tmp_path, "--out", tmp_path / "bench", *options)
    words = "border beyond the cutter's reach of 4 in: left 4 1/8 in, right 4 1/8 in"
    assert f"warning: mount 1: {words}" in said.out
    assert said.code == 0
    assert words in in_process("arrived", tmp_path, *options).out


def test_every_page_names_what_is_mounted_anyway(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    rows = ("1,a.jpg,long 12 in", "2,a.jpg,long 12 in", "3,a.jpg,long 9 in", "4,lost.jpg,")
    write_entries(tmp_path, "number,file,size", *rows)
    in_process("arrived", tmp_path, "2", "9 3/4 x 6 1/2 in", *RULES)
    in_process("mount", tmp_path, "--out", tmp_path / "bench", "--anyway", *RULES)
    words = (
        "Entries left out: 4 (cannot be read). Mounted anyway: 2 (print again); 3 (breaks a rule)"
    )
    assert all(words in page for name in FILES for page in page_texts(tmp_path / "bench" / name))


def test_a_print_that_is_left_out_is_reported_in_its_measured_size(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in", "2,a.jpg,long 12 in")
    in_process("arrived", tmp_path, "2", "9 1/2 x 6 3/8 in", *RULES)
    said = in_process("mount", tmp_path, "--out", tmp_path / "bench", *RULES).out
    assert "image      9 1/2 × 6 3/8 in" in said
    assert "image      12 × 8 in" not in said


def test_anyway_mounts_what_breaks_a_rule(folder: Path, tmp_path: Path) -> None:
    said = in_process("mount", folder, "--out", tmp_path / "all", "--anyway", *RULES)
    record = json.loads((tmp_path / "all/cuts.json").read_text("utf-8"))
    assert [e["number"] for e in record["left_out"]] == ["5"]
    assert said.code == 4


def test_an_entry_mounted_anyway_keeps_the_exit_code_of_its_broken_rule(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 9 in")
    said = in_process("mount", tmp_path, "--out", tmp_path / "bench", "--anyway", *RULES)
    assert (said.code, said.err) == (1, "")
    assert said.out.splitlines()[-1] == "exit code 1: entry 1 breaks a rule"
    assert (tmp_path / "bench/mounting.pdf").is_file()


def test_a_folder_of_another_command_is_refused(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    said = in_process("mount", folder, "--out", tmp_path, *RULES)
    assert said.code == 5
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_nothing_left_to_mount_is_reported_and_nothing_is_written(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 9 in")
    said = in_process("mount", tmp_path, "--out", tmp_path / "bench", *RULES)
    assert (said.code, "no entry is left to mount" in said.err) == (1, True)
    assert not (tmp_path / "bench").exists()


def test_the_return_label_names_the_exhibitor(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in")
    address = "12 Quay Lane, Marrow Haven"
    (tmp_path / "job.toml").write_text(f'[exhibitor]\nname = "A. Maker"\naddress = "{address}"\n')
    in_process("mount", tmp_path, "--out", tmp_path / "bench", *RULES)
    packing = next(t for t in page_texts(tmp_path / "bench/mounting.pdf") if "Return label" in t)
    assert "A. Maker" in packing
    assert address in packing
    # The rules ask for no name, so the labels on the backs have none.
    assert "A. Maker" not in text_of(tmp_path / "bench/labels.pdf")


@pytest.fixture(scope="module")
def documents(tmp_path_factory: pytest.TempPathFactory) -> list[pdfium.PdfDocument]:
    """The PDFs of a bench whose exhibitor is known."""
    folder = tmp_path_factory.mktemp("authored")
    gradient(folder / "a.jpg", 300, 200)
    write_entries(folder, "number,file,size", "1,a.jpg,long 12 in")
    (folder / "job.toml").write_text('[exhibitor]\nname = "A. Maker"\n')
    in_process("mount", folder, "--out", folder / "bench", *RULES)
    return [pdfium.PdfDocument(path) for path in sorted((folder / "bench").glob("*.pdf"))]


def test_every_document_names_the_exhibitor_as_its_author(
    documents: list[pdfium.PdfDocument],
) -> None:
    authors = [document.get_metadata_value("Author") for document in documents]
    assert authors == ["A. Maker"] * 3


def test_every_document_has_bookmarks(documents: list[pdfium.PdfDocument]) -> None:
    titles = [[mark.get_title() for mark in document.get_toc()] for document in documents]
    labels, mounting, templates = titles
    assert (labels, templates) == (["Labels"], ["Templates"])
    parts = ["Material list", "Cutting guide", "All cuts", "Mounting plan", "Last look"]
    assert [title for title in mounting if title in parts] == parts
