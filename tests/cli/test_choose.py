"""``proofs choose``: the one cell changes, and every other byte stays as the spreadsheet saved it.

Outside sources: RFC 4180 for quotation marks and line ends; Python's own csv module writes the
tables and reads them again.
"""

import codecs
import csv
import io
from collections.abc import Sequence
from itertools import chain
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.commands.choose import choice_in_words, choose, choose_all, undo
from proofs.errors import EntriesError, UsageError
from proofs.records.dialects import read_rows
from proofs.records.entries import read_entries
from tests.command import Said, gradient, in_process, proofs, write_entries

ENCODINGS = {
    "utf-8": (b"", "utf-8"),
    "utf-8-sig": (codecs.BOM_UTF8, "utf-8"),
    "utf-16-le": (codecs.BOM_UTF16_LE, "utf-16-le"),
    "utf-16-be": (codecs.BOM_UTF16_BE, "utf-16-be"),
    "cp1252": (b"", "cp1252"),
}
STEPS = {"A": -0.1, "B": 0.0, "C": 0.1, "D": 0.2, "-0.10": -0.1, "0": 0.0, "+0,10": 0.1, "0.2": 0.2}
ROWS = ("number,title,file,chosen", "1,Pier,pier.jpg,", "2,Fog,fog.jpg,B", "3,Hull,hull.jpg,")

MARKED = "abé€ß\"',;\t =+-@"
QUOTINGS: tuple[Literal[0, 1], ...] = (csv.QUOTE_MINIMAL, csv.QUOTE_ALL)
own_texts = {  # the other writer leaves a line end of another kind unquoted, and that ends a row
    csv.QUOTE_ALL: st.text(st.sampled_from(MARKED + "\r\n"), max_size=8),
    csv.QUOTE_MINIMAL: st.text(st.sampled_from(MARKED), max_size=8),
}
cells_chosen = st.sampled_from(["", "B", "C", "+0.20", "'+0.10", " d ", "none yet", "0,1"])


@st.composite
def tables(draw: st.DrawFn) -> tuple[bytes, int, int]:
    """A file in some dialect, and the places of a row and of the column ``chosen`` in it."""
    columns = draw(st.permutations(["file", "title", "chosen", "Notiz", "number"]))
    count = draw(st.integers(1, 4))
    quoting = draw(st.sampled_from(QUOTINGS))
    rows: list[dict[str, str]] = [
        {
            "file": f"{n}.jpg",
            "title": "Müße",  # no ASCII, and no UTF-8 when saved as Windows-1252
            "chosen": draw(cells_chosen),
            "Notiz": draw(own_texts[quoting]),
            "number": str(n + 1),
        }
        for n in range(count)
    ]
    blanks: list[list[str]] = draw(st.sampled_from([[], [[]], [["", " ", ""]]]))
    separator = draw(st.sampled_from([",", ";", "\t"]))
    lines = [[*blanks, [row[column] for column in columns]] for row in rows]
    newline = draw(st.sampled_from(["\r\n", "\n", "\r"]))
    text = saved([columns, *chain.from_iterable(lines)], separator, newline, quoting=quoting)
    if draw(st.booleans()):
        text = text.rstrip("\r\n")
    if draw(st.booleans()):
        text = f"sep={separator}\r\n{text}"
    mark, code = ENCODINGS[draw(st.sampled_from(sorted(ENCODINGS)))]
    return mark + text.encode(code), draw(st.integers(0, count - 1)), columns.index("chosen")


def saved(
    rows: Sequence[Sequence[str]], separator: str, newline: str, *, quoting: Literal[0, 1]
) -> str:
    page = io.StringIO()
    csv.writer(page, delimiter=separator, lineterminator=newline, quoting=quoting).writerows(rows)
    return page.getvalue()


def decoded(raw: bytes) -> str:
    dialect, _ = read_rows(raw, "entries.csv")
    mark, code = ENCODINGS[dialect.encoding]
    return raw[len(mark) :].decode(code)


def table_of(raw: bytes) -> list[list[str]]:
    """The cells by Python's own reader."""
    dialect, _ = read_rows(raw, "entries.csv")
    page = io.StringIO(decoded(raw), newline="")
    return list(csv.reader(page, delimiter=dialect.separator))


def differences(before: list[list[str]], after: list[list[str]]) -> list[tuple[int, int]]:
    """Row and column of every cell that is not the same."""
    return [
        (row, column)
        for row, (old, new) in enumerate(zip(before, after, strict=True))
        for column, (was, is_now) in enumerate(zip(old, new, strict=True))
        if was != is_now
    ]


@given(table=tables(), wish=st.sampled_from(sorted(STEPS)))
def test_only_that_cell_changes_in_a_file_of_any_dialect(
    table: tuple[bytes, int, int], wish: str
) -> None:
    raw, place, column = table
    dialect, rows = read_rows(raw, "entries.csv")
    first, last = [r for r in rows if not r.is_blank][1 + place].spans[column]
    mark, code = ENCODINGS[dialect.encoding]
    text = decoded(raw)
    made = choose(raw, "entries.csv", str(place + 1), wish)
    assert made.content.startswith(mark + text[:first].encode(code))
    assert made.content.endswith(text[last:].encode(code))
    middle = made.content[len(mark + text[:first].encode(code)) :]
    middle = middle[: len(middle) - len(text[last:].encode(code))]
    assert middle.decode(code) in (made.cell, text[first:last])


@given(table=tables(), wish=st.sampled_from(sorted(STEPS)))
def test_a_second_reader_finds_all_other_cells_as_they_were(
    table: tuple[bytes, int, int], wish: str
) -> None:
    raw, place, column = table
    made = choose(raw, "entries.csv", str(place + 1), wish)
    changed = differences(table_of(raw), table_of(made.content))
    assert {where for _, where in changed} <= {column}
    assert len(changed) <= 1


@given(table=tables(), wish=st.sampled_from(sorted(STEPS)))
def test_the_step_chosen_is_read_back(table: tuple[bytes, int, int], wish: str) -> None:
    raw, place, _ = table
    made = choose(raw, "entries.csv", str(place + 1), wish)
    entry = read_entries(made.content, "entries.csv").entries[place]
    assert not entry.faults
    assert entry.chosen in (made.step.step, made.step.density)
    assert made.step.density == STEPS[wish]


def chosen_cells(raw: bytes) -> list[str]:
    return [row["chosen"] for row in csv.DictReader(io.StringIO(raw.decode()))]


def raw_of(*rows: str) -> bytes:
    return ("\n".join(rows) + "\n").encode()


def test_a_letter_is_written_as_the_density_that_it_means() -> None:
    raw = raw_of(*ROWS)
    assert chosen_cells(choose(raw, "a", "1", "c").content) == ["+0.10", "B", ""]
    assert chosen_cells(choose(raw, "a", "1", "A").content) == ["-0.10", "B", ""]
    assert chosen_cells(choose(raw, "a", "1", "B").content) == ["0", "B", ""]
    assert chosen_cells(choose(raw, "a", "3", "-0,1").content) == ["", "B", "-0.10"]
    assert chosen_cells(choose(raw, "a", "3", "0").content) == ["", "B", "0"]


def test_a_third_of_a_stop_is_written_so_that_it_is_read_as_the_same_step() -> None:
    raw = raw_of("file,bracket,chosen", "a.jpg,1/3 stop,")
    assert chosen_cells(choose(raw, "a", "1", "1/3 stop").content) == ["+0.1003"]


def test_a_letter_counts_the_density_that_is_chosen_already() -> None:
    # A 0, B +0.10, C +0.15 and D +0.20, as check, make and strip name them.
    raw = raw_of("file,bracket,chosen", "a.jpg,0; +0.10; +0.20,+0.15")
    assert chosen_cells(choose(raw, "a", "1", "D").content) == ["+0.20"]
    assert chosen_cells(choose(raw, "a", "1", "B").content) == ["+0.10"]


def test_a_letter_is_read_in_the_judges_light() -> None:
    raw = raw_of("file,bracket,chosen", "a.jpg,,", "b.jpg,from light,", "c.jpg,0; +0.30,")
    bright = (0.0, 0.1, 0.2, 0.3)  # made up; C is +0.20, where the default bracket has +0.10
    made = [choose(raw, "a", number, "C", light_bracket=bright) for number in ("1", "2")]
    assert [choice.cell for choice in made] == ["+0.20", "+0.20"]
    assert choose(raw, "a", "3", "B", light_bracket=bright).cell == "+0.30"


def test_a_letter_that_follows_the_light_is_replaced_without_a_guess_at_its_meaning() -> None:
    raw = raw_of("file,chosen", "a.jpg,B")
    made = choose(raw, "a", "1", "B", light_bracket=(0.0, 0.1))
    assert chosen_cells(made.content) == ["+0.10"]
    assert choice_in_words(made).endswith("step B (+0.10), 0.10 D darker at mid grey")


def test_the_same_step_again_changes_nothing() -> None:
    raw = raw_of(*ROWS)
    decided = choose(raw, "a", "2", "0").content
    assert chosen_cells(decided) == ["", "0", ""]
    assert choose(decided, "a", "2", "0").content == decided
    assert choose(decided, "a", "2", "B").content == decided
    differently = raw_of("file,chosen", '"a.jpg","0,1 D"')
    assert choose(differently, "a", "1", "C").content == differently


def test_a_cell_that_cannot_be_understood_is_replaced() -> None:
    raw = raw_of("file,chosen", "a.jpg,the dark one")
    assert chosen_cells(choose(raw, "a", "1", "D").content) == ["+0.20"]


def test_a_row_too_short_for_the_cell_is_filled_up() -> None:
    raw = b"file;title;chosen\na.jpg\n"
    assert choose(raw, "a", "1", "A").content == b"file;title;chosen\na.jpg;;-0.10\n"


def test_what_was_decided_is_said_in_words() -> None:
    raw = raw_of(*ROWS)
    said = choice_in_words(choose(raw, "a", "2", "D"))
    assert said == ("entry 2, Fog: step D (+0.20), 0.20 D darker at mid grey; it was B (0)")
    assert "0.10 D lighter" in choice_in_words(choose(raw, "a", "1", "A"))
    assert choice_in_words(choose(raw, "a", "2", "B")).endswith(
        "tones as they are; it was chosen already"
    )


@pytest.mark.parametrize(
    ("number", "wish", "words"),
    [
        ("4", "A", "has no entry '4'; the entries are: 1, 2, 3"),
        ("", "A", "has no entry ''"),
        ("1", "E", r"no step 'E'; its steps are A \(-0.10\), B \(0\), C \(\+0.10\), D \(\+0.20\)"),
        ("1", "+0.15", r"no step '\+0.15'; its steps are"),
        ("1", "dark", "neither a step nor a density; write one such as 'C'"),
        ("1", "0.9", r"-0.30 to \+0.60"),
        ("1", "", "no step ''"),
    ],
)
def test_an_entry_or_a_step_that_is_not_there_is_refused(
    number: str, wish: str, words: str
) -> None:
    with pytest.raises(UsageError, match=words):
        choose(raw_of(*ROWS), "entries.csv", number, wish)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (("file,title", "a.jpg,A"), "no column 'chosen'.*in the spreadsheet"),
        (("number,file,chosen", "1,a.jpg,", "1,b.jpg,"), "lines 2 and 3 both have the number '1'"),
        (("number,file,bracket,chosen", "1,a.jpg,dark,"), "line 2, bracket: .*then choose"),
        (("number,title", "1,A"), "no column is named 'file'"),
    ],
)
def test_a_file_that_cannot_take_the_choice_is_refused(rows: tuple[str, ...], words: str) -> None:
    with pytest.raises(EntriesError, match=words):
        choose(raw_of(*rows), "entries.csv", "1", "A")


def run(*arguments: str | Path) -> Said:
    return in_process("choose", *arguments)


def test_the_choice_is_written_and_the_old_file_kept(tmp_path: Path) -> None:
    path = write_entries(tmp_path, *ROWS)
    before = path.read_bytes()
    said = proofs("choose", path, "3", "C")
    assert (said.code, said.err) == (0, "")
    assert "entry 3, Hull: step C (+0.10)" in said.out
    assert "entries.before-1.csv" in said.out
    assert path.read_bytes() == before.replace(b"hull.jpg,", b"hull.jpg,+0.10")
    assert (tmp_path / "entries.before-1.csv").read_bytes() == before
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize("wish", ["-0.10", "-0,1", "\u22120.10", "-.1"])
def test_a_negative_density_needs_no_dashes_before_it(tmp_path: Path, wish: str) -> None:
    path = write_entries(tmp_path, *ROWS)
    assert run(tmp_path, "3", wish).code == 0
    assert b"hull.jpg,-0.10\n" in path.read_bytes()


def test_the_file_is_named_as_it_was_typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_entries(tmp_path, *ROWS)
    monkeypatch.chdir(tmp_path)
    assert f"\n{path.name}: 'chosen' is now -0.10;" in run(path.name, "1", "A").out
    assert run(path.name, "9", "A").err.startswith(f"proofs: {path.name}: has no entry '9'")


def test_an_older_copy_is_never_overwritten(tmp_path: Path) -> None:
    path = write_entries(tmp_path, *ROWS)
    first = path.read_bytes()
    run(path, "1", "A")
    second = path.read_bytes()
    run(path, "1", "D")
    assert (tmp_path / "entries.before-1.csv").read_bytes() == first
    assert (tmp_path / "entries.before-2.csv").read_bytes() == second


def test_nothing_to_change_leaves_no_copy(tmp_path: Path) -> None:
    path = write_entries(tmp_path, *ROWS[:2], "2,Fog,fog.jpg,0")
    said = run(path, "2", "B")
    assert (said.code, "nothing to change" in said.out) == (0, True)
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    path = write_entries(tmp_path / "there", *ROWS)
    link = tmp_path / "entries.csv"
    link.symlink_to(path)
    assert run(tmp_path, "3", "A").code == 0
    assert link.is_symlink()
    assert b"hull.jpg,-0.10\n" in path.read_bytes()


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("3", "Q"), 2, "its steps are"),
        (("9", "A"), 2, "has no entry '9'"),
        (("3",), 2, "such as '3 C'"),
        (("3", "A", "B"), 2, "not '3 A B'"),
        ((), 2, "nothing is named"),
        (("3", "A", "--anyway"), 2, "not '3 A --anyway'"),
    ],
)
def test_a_refusal_leaves_everything_as_it_was(
    tmp_path: Path, arguments: tuple[str, ...], code: int, words: str
) -> None:
    path = write_entries(tmp_path, *ROWS)
    before = path.read_bytes()
    said = run(path, *arguments)
    assert (said.code, said.out) == (code, "")
    assert words in said.err
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_what_was_chosen_in_one_light_is_printed_in_every_light(tmp_path: Path) -> None:
    gradient(tmp_path / "pier.jpg", 1500, 1000)
    path = write_entries(tmp_path, "file,chosen", "pier.jpg,")
    assert "step C (" in run(path, "1", "C", "--light", "2000 lx").out
    chosen = chosen_cells(path.read_bytes())[0]
    lights = ("2000 lx", "100 lx", "500 lx")
    said = [in_process("check", path, "--light", light, "--verbose").out for light in lights]
    assert [f" {chosen})" in out for out in said] == [True, True, True]


def test_a_letter_typed_by_hand_is_refused_if_the_light_sets_the_bracket(tmp_path: Path) -> None:
    gradient(tmp_path / "pier.jpg", 1500, 1000)
    path = write_entries(tmp_path, "file,bracket,chosen", "pier.jpg,,B", "pier.jpg,0; 0.1,B")
    by_default = in_process("check", path, "--rules", "none", "--verbose")
    assert (by_default.code, by_default.out.count("(chosen: B ")) == (0, 2)
    lit = in_process("check", path, "--rules", "none", "--light", "100 lx", "--verbose")
    assert lit.code == 3
    assert "line 2: chosen: B is the letter of a step that follows the judges' light" in lit.out
    assert "choose again with 'proofs choose'" in lit.out
    assert "A 0  B +0.10  (chosen: B +0.10)" in lit.out
    run(path, "1", "A", "--light", "100 lx")
    assert in_process("check", path, "--rules", "none", "--light", "100 lx").code == 0


def test_a_folder_without_an_entries_file_is_told_how_to_get_one(tmp_path: Path) -> None:
    said = run(tmp_path, "3", "A")
    assert (said.code, "'proofs start" in said.err) == (3, True)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    said = run(tmp_path / "entries.csv", "3", "A")
    assert (said.code, "there is no such file" in said.err) == (3, True)


# Several at once, and back


def test_several_choices_are_written_at_once_with_one_copy(tmp_path: Path) -> None:
    path = write_entries(tmp_path, *ROWS)
    before = path.read_bytes()
    said = run(tmp_path, "1=A", "2=D", "3=-0,1")
    assert (said.code, said.err) == (0, "")
    assert [line.partition(",")[0] for line in said.out.splitlines()[:3]] == [
        "entry 1",
        "entry 2",
        "entry 3",
    ]
    assert "'chosen' is set for 3 entries; the earlier file is kept as entries.before-1.csv" in (
        said.out
    )
    assert chosen_cells(path.read_bytes()) == ["-0.10", "+0.20", "-0.10"]
    assert (tmp_path / "entries.before-1.csv").read_bytes() == before
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize(
    ("choices", "words"),
    [
        (("1=A", "2=Q", "9=B"), ("2=Q: entry 2 has no step 'Q'", "9=B: ", "has no entry '9'")),
        (("1=A", "1=B"), ("entry 1 is named 2 times",)),
        (("1=A", "2="), ("2=: entry 2 has no step ''",)),
        (("=A", "2=B"), ("has no entry ''",)),
    ],
)
def test_one_choice_that_cannot_be_understood_changes_nothing(
    tmp_path: Path, choices: tuple[str, ...], words: tuple[str, ...]
) -> None:
    path = write_entries(tmp_path, *ROWS)
    before = path.read_bytes()
    said = run(path, *choices)
    assert (said.code, said.out) == (3, "")
    assert [word in said.err for word in words] == [True] * len(words)
    *faults, last = said.err.splitlines()
    assert faults
    assert all(line.startswith("proofs: ") for line in faults)
    assert last == f"proofs: {path}: nothing was changed"
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


@given(table=tables(), wishes=st.lists(st.sampled_from(sorted(STEPS)), min_size=4, max_size=4))
def test_choices_at_once_leave_the_file_that_they_leave_one_by_one(
    table: tuple[bytes, int, int], wishes: list[str]
) -> None:
    raw, _, _ = table
    pairs = [(e.number, w) for e, w in zip(read_entries(raw, "a").entries, wishes, strict=False)]
    one_by_one = raw
    for number, wish in pairs:
        one_by_one = choose(one_by_one, "a", number, wish).content
    assert choose_all(raw, "a", pairs)[-1].content == one_by_one


def choices_of(raw: bytes) -> list[float | str | None]:
    return [entry.chosen for entry in read_entries(raw, "a").entries]


@given(table=tables(), wishes=st.lists(st.sampled_from(sorted(STEPS)), min_size=4, max_size=4))
def test_what_is_undone_reads_as_it_did_before(
    table: tuple[bytes, int, int], wishes: list[str]
) -> None:
    raw, _, place = table
    pairs = [(e.number, w) for e, w in zip(read_entries(raw, "a").entries, wishes, strict=False)]
    changed = {n for n, w in pairs if choose(raw, "a", n, w).content != raw}
    chosen = choose_all(raw, "a", pairs)[-1].content
    undone, back = undo(chosen, raw, "a", "b")
    assert choices_of(back) == choices_of(raw)
    assert {column for _, column in differences(table_of(raw), table_of(back))} <= {place}
    assert [one.number for one in undone] == [n for n, _ in pairs if n in changed]


def test_the_latest_choices_are_taken_back_and_what_was_typed_since_stays(tmp_path: Path) -> None:
    path = write_entries(tmp_path, *ROWS)
    run(path, "1", "A")
    run(path, "2=C", "3=D")
    path.write_bytes(path.read_bytes().replace(b"Fog", b"Fog bank"))
    said = run(path, "--undo")
    assert (said.code, said.err) == (0, "")
    assert "entry 2, Fog bank: B again; it was +0.10" in said.out
    assert "entry 3, Hull: not chosen, as before; it was +0.20" in said.out
    rows = ("number,title,file,chosen", "1,Pier,pier.jpg,-0.10", "2,Fog bank,fog.jpg,B", ROWS[3])
    assert path.read_text("utf-8").splitlines() == list(rows)
    run(path, "--undo")  # of the undo
    assert chosen_cells(path.read_bytes()) == ["-0.10", "+0.10", "+0.20"]


def test_without_an_earlier_file_there_is_nothing_to_take_back(tmp_path: Path) -> None:
    path = write_entries(tmp_path, *ROWS)
    said = run(path, "--undo")
    assert (said.code, "no earlier file is kept" in said.err) == (3, True)
    assert run(path, "3", "C", "--undo").code == 2


def test_the_copy_made_last_counts_whatever_its_number(tmp_path: Path) -> None:
    path = write_entries(tmp_path, *ROWS)
    for step in "ABCD":
        run(path, "1", step)
    (tmp_path / "entries.before-1.csv").unlink()
    run(path, "1", "A")  # kept under the number that is free
    (tmp_path / "entries.before-x.csv").write_text("not ours")
    assert "entry 1, Pier: +0.20 again; it was -0.10" in run(path, "--undo").out
