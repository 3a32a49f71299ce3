"""What stands in a user's own cells, names and profiles never steers the terminal."""

import json
from pathlib import Path

import pytest

from tests.command import gradient, in_process, write_entries

STRANGE = "a\x1b[2J\x7f\u202egpj"
ESCAPED = r"a\x1b[2J\x7f\u202egpj"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "file,chosen", f"{STRANGE},")
    return tmp_path


def test_words_show_a_strange_cell_with_escapes(folder: Path) -> None:
    said = in_process("check", folder)
    assert said.code == 4
    assert ESCAPED + ": there is no such file" in said.out
    assert not set(STRANGE) - set("a[2Jgpjb") & set(said.out)


def test_a_tab_in_the_name_of_a_column_is_printed_as_an_escape(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    (tmp_path / "entries.csv").write_text('file,"shelf\tmark"\na.jpg,\n')
    said = in_process("check", tmp_path, "--rules", "none")
    assert "columns kept but not used: shelf\\tmark" in said.out
    assert "\t" not in said.out + said.err


def test_a_record_holds_a_strange_category_as_it_is_and_prints_it_with_escapes(
    tmp_path: Path,
) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "file,category", "a.jpg,natu\u202ere \U0001f469\u200d\U0001f3a8")
    said = in_process("check", tmp_path, "--json")
    assert r"natu\u202ere" in said.out
    found = json.loads(said.out)["entries"][0]["category"]
    assert found == "natu\u202ere \U0001f469\u200d\U0001f3a8"


def test_an_error_shows_a_strange_argument_with_escapes(folder: Path) -> None:
    said = in_process("arrived", folder, STRANGE, "wide")
    assert said.code == 2
    assert said.err.count("\n") == 1
    assert ESCAPED in said.err


def test_a_list_of_profiles_shows_a_strange_title_with_escapes(tmp_path: Path) -> None:
    own = tmp_path / "stock"
    own.mkdir()
    text = 'title = "\\u001b[2J"\nsource = "me"\nsheet = "32x40 in"\n'
    (own / "own.toml").write_text(text)
    said = in_process("profiles", "stock", "--profiles", tmp_path)
    assert said.code == 0, said.err
    assert r"\x1b[2J" in said.out
