"""Nothing private of a picture, and no path, is in any file of any command unless it is asked for.

The folder's name is a secret too, so that a path in any output counts.
"""

from pathlib import Path
from random import Random

import pytest

from tests.command import in_process
from tests.edits import Workshop
from tests.private_pictures import SECRET, holds_secret, leaks, make_private, place_in

EVERYTHING = {
    "inspect": (),
    "make": ("--inspect", "--variants", "--proof-prints", "--soft-proof"),
    "strip": ("--proof-prints",),
    "deliver": ("--catalogue", "--soft-proof", "--margin-line", "--cut-marks", "--density", "0"),
    "mount": (),
}
CREDIT = ("--keep-copyright", "--creator", "B. Maker")


def a_shop(tmp_path: Path, command: str, *options: str) -> Workshop:
    """Return three small pictures, of which one is private, and a command on them."""
    shop = Workshop(tmp_path / "SECRET-FOLDER", command, Random(1))
    shop.set_up()
    make_private(shop.pictures / "a.jpg")
    assert holds_secret((shop.pictures / "a.jpg").read_bytes())
    shop.options["rules"] = ("--rules", "screen")
    shop.options["more"] = (*EVERYTHING[command], *options)
    return shop


@pytest.mark.parametrize("command", EVERYTHING)
def test_no_file_of_a_command_holds_anything_private(tmp_path: Path, command: str) -> None:
    shop = a_shop(tmp_path, command)
    said = shop.run()
    assert said.code in (0, 1), said
    assert leaks(shop.out) == []


@pytest.mark.parametrize("command", ["make", "deliver"])
def test_a_credit_that_is_kept_takes_nothing_private_along(tmp_path: Path, command: str) -> None:
    shop = a_shop(tmp_path, command, *CREDIT)
    assert shop.run().code in (0, 1)
    assert leaks(shop.out) == []
    assert b"B. Maker" in (shop.out / "prints/1_pier-a.jpg").read_bytes()


@pytest.mark.parametrize(("command", "more"), [("make", "variants"), ("deliver", "catalogue")])
def test_all_metadata_goes_into_finished_pictures_and_into_nothing_else(
    tmp_path: Path, command: str, more: str
) -> None:
    shop = a_shop(tmp_path, command, "--keep-metadata")
    assert shop.run().code in (0, 1)
    found = leaks(shop.out)
    assert {name.split("/")[0] for name in found} == {"prints", more}
    assert place_in((shop.out / found[0]).read_bytes())[1] == "N"
    assert not [name for name in found if b"SECRET-NOTE" in (shop.out / name).read_bytes()]


def test_zips_hold_nothing_private(tmp_path: Path) -> None:
    shop = a_shop(tmp_path, "deliver", "--zip")
    assert shop.run().code == 0
    assert leaks(shop.out) == []


def test_the_record_that_check_prints_holds_no_path(tmp_path: Path) -> None:
    said = in_process("check", a_shop(tmp_path, "make").pictures, "--json")
    assert said.code in (0, 1)
    assert SECRET not in said.out.encode()


def test_the_search_finds_words_inside_pdfs_and_zips(tmp_path: Path) -> None:
    shop = a_shop(tmp_path, "deliver", "--zip")
    shop.rows[1]["title"] = "A SECRET title"
    shop.write()
    assert shop.run().code == 0
    wanted = {"catalogue/Sea_2-A-SECRET-title.jpg", "delivery.zip", "soft-proof.pdf"}
    assert wanted <= set(leaks(shop.out))
