"""What a delivery says of whom it is for, of its cost and of its dates; prices are made up.

The sums are worked out by hand beside each check. ``sha256sum`` and ``verify`` read all of it back.
"""

import datetime
import json
from pathlib import Path

import pytest

from tests.command import gradient, in_process, pdf_text, write_entries
from tests.labs import JPEG, write_labs

LAB = JPEG + '\n[order]\npostage = "6.50"\ntax = "20 %"\n'
JOB = """
[exhibitor]
name = "A. Maker"
address = "12 Quay Lane, Old Harbour"

[customer]
account = "HB-2071"
"""
TIMETABLE = """
title = "Times of an express lab"
source = "made up"

[working_days]
strip = 0
prints = {days}
reserve = 0
bench = 0
drying = 0
shipping = 0
"""
USUAL = ("--lab", "charging", "--rules", "none", "--jobs", "1")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    gradient(tmp_path / "one.jpg", 900, 600)
    write_labs(tmp_path)
    (tmp_path / "profiles" / "labs" / "charging.toml").write_text(LAB, encoding="utf-8")
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    write_entries(
        tmp_path,
        "number,title,file,size,chosen,copies,paper",
        "1,One,one.jpg,long 4 in,0,2,",
        "2,Two,one.jpg,long 7 in,0,1,Cotton",
    )
    return tmp_path


def test_a_delivery_states_whom_it_is_for_and_what_it_costs(folder: Path) -> None:
    """2 x 2.50 + 6.00 = 11.00, postage 6.50, 20 % of 17.50 is 3.50: 21.00 in all."""
    said = in_process("deliver", folder, *USUAL, "--out", folder / "out")
    assert said.code == 0, said.out + said.err
    sums = "prints 11.00 EUR, postage 6.50 EUR, tax at 20 % 3.50 EUR"
    assert f"Cost 21.00 EUR ({sums})" in said.out
    order = (folder / "out" / "order.txt").read_text("utf-8")
    assert "For\nA. Maker\n12 Quay Lane, Old Harbour\nAccount HB-2071\n" in order
    ticket = pdf_text(folder / "out" / "ticket.pdf")
    assert "A. Maker 12 Quay Lane, Old Harbour Account HB-2071" in ticket
    assert "To pay 21.00 EUR" in ticket
    record = json.loads((folder / "out" / "delivery.json").read_bytes())
    assert (record["cost"], record["tax"], record["to_pay"]) == ("11.00", "3.50", "21.00")
    assert [(one["prints"], one["cost"]) for one in record["lines"]] == [(2, "5.00"), (1, "6.00")]
    assert in_process("verify", folder / "out").code == 0


def test_another_customer_in_the_record_is_noticed(folder: Path) -> None:
    in_process("deliver", folder, *USUAL, "--out", folder / "out")
    path = folder / "out" / "delivery.json"
    path.write_text(path.read_text("utf-8").replace("HB-2071", "HB-2072"), "utf-8")
    said = in_process("verify", folder / "out")
    assert said.code == 1
    assert "DIFFERS  order.txt      does not match the record" in said.out


def test_without_a_table_customer_nothing_of_the_exhibitor_reaches_the_lab(folder: Path) -> None:
    (folder / "job.toml").write_text(JOB.partition("[customer]")[0], encoding="utf-8")
    in_process("deliver", folder, *USUAL, "--out", folder / "out")
    assert "Quay Lane" not in (folder / "out" / "order.txt").read_text("utf-8")
    assert "Quay Lane" not in pdf_text(folder / "out" / "ticket.pdf")


@pytest.mark.parametrize(("days", "is_late"), [(0, False), (200, True)])
def test_the_day_is_compared_with_the_timetable_that_is_named(
    folder: Path, days: int, is_late: bool
) -> None:
    times = folder / "profiles" / "timetables"
    times.mkdir()
    (times / "express.toml").write_text(TIMETABLE.format(days=days), encoding="utf-8")
    soon = datetime.datetime.now().astimezone().date() + datetime.timedelta(days=5)
    options = (*USUAL, "--timetable", "express", "--needed-by", soon.isoformat())
    said = in_process("deliver", folder, *options, "--out", folder / "out")
    assert said.code == 0, said.out + said.err
    words = f"the timetable 'express' allows {days} working days"
    assert (words in said.out) == is_late


def test_an_unknown_timetable_is_refused_before_anything_is_made(folder: Path) -> None:
    said = in_process("deliver", folder, *USUAL, "--timetable", "expres", "--out", folder / "out")
    assert said.code == 3
    assert not (folder / "out").exists()


@pytest.mark.parametrize(("more", "saving"), [((), "3.50"), (("--cheapest",), "2.25")])
def test_a_cheaper_sheet_is_named_before_anything_is_made(
    folder: Path, more: tuple[str, ...], saving: str
) -> None:
    """Long 7 in needs 8 x 10 in at 6.00; the cheapest that holds it is 8 x 12 in at 4.75.

    On 5 x 7 in at 2.50, 1050 - 2 x 19 pixels of 150 per inch are 6.75 in, 3.6 % less.
    """
    said = in_process("deliver", folder, *USUAL, *more, "--out", folder / "out")
    assert "entry 2: an image of 6.75 × 4.5 in (17.14 × 11.42 cm) fits 7 × 5 in" in said.out
    assert f"it saves {saving} EUR a print; size: sheet 5x7 in" in said.out
