"""Rows of ``spotted.csv``: what each cell may hold, and what is said of one that is wrong."""

import pytest

from proofs.errors import EntriesError, ExitCode
from proofs.records.spotted import SPOTTED_COLUMNS, Tick, TickWord, read_ticks, tick_line

HEADER = ",".join(SPOTTED_COLUMNS)


def read(*rows: str, header: str = HEADER) -> tuple[Tick, ...]:
    return read_ticks("\n".join([header, *rows]).encode(), "spotted.csv")


def test_a_row_says_which_mark_of_which_picture_is_ticked() -> None:
    assert read("3,2,0.25,0.5,meant,0123456789ab") == (
        Tick("3", 0.25, 0.5, TickWord.MEANT, 2, "0123456789ab", line=2),
    )


def test_picture_and_fingerprint_may_be_left_out() -> None:
    (tick,) = read("3,0.25,0.5,spotted", header="number,left,top,word")
    assert (tick.picture, tick.fingerprint) == (1, "")


@pytest.mark.parametrize(
    ("text", "share"),
    [("0", 0), ("1", 1), ("0.4213", 0.4213), (".5", 0.5), ("42.13%", 0.4213), ("50 %", 0.5)],
)
def test_a_share_may_be_written_in_several_ways(text: str, share: float) -> None:
    assert read(f"3,1,{text},0.5,meant,")[0].left == pytest.approx(share, abs=1e-12)


def test_a_spreadsheet_may_write_commas_in_numbers() -> None:
    (tick,) = read_ticks("number;left;top;word\n3;0,25;0,5;meant\n".encode("utf-16"), "spotted.csv")
    assert (tick.left, tick.top) == (0.25, 0.5)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (",1,0.2,0.5,meant,", "line 2, number: it is blank; write the entry's number"),
        ("3,1,1.2,0.5,meant,", "line 2, left: '1.2' is not a share of the picture; write one"),
        ("3,1,0.2,-0.5,meant,", "line 2, top: '-0.5' is not a share"),
        ("3,1,0.2,120%,meant,", "line 2, top: '120%' is not a share"),
        ("3,1,.,0.5,meant,", "line 2, left: '.' is not a share"),
        ("3,1,0.2,,meant,", "line 2, top: '' is not a share"),
        ("3,1,0.2,0.5,dust,", "line 2, word: 'dust' is no word for a mark; write spotted or meant"),
        ("3,0,0.2,0.5,meant,", "line 2, picture: '0' is not a number; write 1 for the first"),
        ("3,1,0.2,0.5,meant,pier", "line 2, fingerprint: 'pier' is not the start of a SHA-256"),
        ('3,1,0.2,0.5,"meant', "line 2: a cell starts with a quotation mark"),
    ],
)
def test_a_row_that_cannot_be_understood_names_its_line_and_the_remedy(row: str, said: str) -> None:
    with pytest.raises(EntriesError, match=r"^spotted\.csv: ") as caught:
        read(row)
    assert said in str(caught.value)
    assert caught.value.exit_code is ExitCode.NOT_UNDERSTOOD


def test_a_missing_column_is_named_and_a_mistyped_one_suggested() -> None:
    with pytest.raises(EntriesError, match=r"line 1: no column is named 'word'; rename 'wrod'"):
        read("3,0.25,0.5,meant", header="number,left,top,wrod")
    with pytest.raises(EntriesError, match="no column is named 'top'; the columns are number, "):
        read("3,0.25,meant", header="number,left,word")


def test_a_line_to_paste_reads_back_as_the_tick() -> None:
    tick = Tick("3 a,b", 0.123456, 0.5, TickWord.SPOTTED, 2, "0123456789ab")
    (again,) = read(tick_line(tick))
    assert (again.number, again.word, again.picture) == ("3 a,b", TickWord.SPOTTED, 2)
    assert again.left == pytest.approx(tick.left, abs=5e-5)  # four decimals are written


def test_a_tick_with_a_fingerprint_is_of_one_version_only() -> None:
    tick = Tick("3", 0, 0, TickWord.MEANT, fingerprint="0123456789ab")
    assert tick.is_of("0123456789abcdef")
    assert not tick.is_of("ff23456789abcdef")
    assert Tick("3", 0, 0, TickWord.MEANT).is_of("ff23456789abcdef")
