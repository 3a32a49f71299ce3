"""Profiles: every shipped one can be read, and a faulty one is refused with the reason."""

import datetime
import json
import re
import tomllib
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.errors import ProfileError, UsageError
from proofs.lengths import ZERO, Length, Size, Unit, inches, millimetres
from proofs.measures import read_area, read_size
from proofs.records.cutters import Cutter, read_cutter
from proofs.records.job import (
    DEFAULT_BOARD,
    DEFAULT_PROFILES,
    Customer,
    Exhibitor,
    JobFile,
    read_job_file,
)
from proofs.records.lab_charges import Charges
from proofs.records.labs import Compression, FileFormat, Lab, RenderingIntent, read_lab
from proofs.records.mounts import BevelKind, Mount, WindowKind, WindowPlacing, read_mount
from proofs.records.papers import Paper, Sharpening, read_paper
from proofs.records.rules import (
    BoardRule,
    BorderRule,
    CatalogueRule,
    LabelLine,
    Rules,
    VisibleRule,
    read_rules,
)
from proofs.records.tables import Table
from tests.workbench import SHIPPED, a_job, a_mount

TOP = Path(__file__).parents[2]
CASES = json.loads((TOP / "tests" / "cases" / "profiles.json").read_text("utf-8"))
GOOD, FAULTS = CASES["good"], CASES["faults"]

Reader = Callable[[Table, str], Rules | Mount | Paper | Lab | Cutter]
READERS: dict[str, Reader] = {
    "rules": read_rules,
    "mounts": read_mount,
    "papers": read_paper,
    "labs": read_lab,
    "cutters": read_cutter,
}
FILES = sorted(path for kind in READERS for path in (TOP / "profiles" / kind).glob("*.toml"))
FAULT_IDS = [f"{kind}: {what}" for kind, what, *_ in FAULTS]


def table(text: str) -> Table:
    """Return the table of a profile's text."""
    return Table(tomllib.loads(text), "own.toml")


def replaced(kind: str, line: str, instead: str) -> Table:
    """Return a good profile with one line changed."""
    assert GOOD[kind].count(line) >= 1, line
    return table(GOOD[kind].replace(line, instead, 1))


def read_shipped(path: Path) -> Rules | Mount | Paper | Lab | Cutter:
    """Return what a shipped profile describes."""
    return READERS[path.parent.name](table(path.read_text("utf-8")), path.stem)


def refusal(kind: str, faulty: Table) -> str:
    """Return what a faulty profile is refused with."""
    with pytest.raises(ProfileError) as caught:
        READERS[kind](faulty, "own")
    return str(caught.value)


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_shipped_profile_can_be_read_and_states_its_source(path: Path) -> None:
    profile = read_shipped(path)
    assert profile.name == path.stem
    assert profile.title
    assert re.search(r"common practice|https?://|, \d{4}", profile.source)


def test_profiles_of_every_kind_are_shipped() -> None:
    assert {path.parent.name for path in FILES} == set(READERS)


@pytest.mark.parametrize(("option", "name"), DEFAULT_PROFILES.items())
def test_the_default_profiles_are_shipped(option: str, name: str) -> None:
    kind = option if option == "rules" else f"{option}s"
    assert name in SHIPPED.names(kind)


def test_the_defaults_are_those_in_the_readme() -> None:
    assert Size(inches(16), inches(20)) == DEFAULT_BOARD
    assert DEFAULT_PROFILES == {
        "rules": "print-16x20-in",
        "mount": "overlap-white",
        "paper": "lustre",
        "lab": "srgb-jpeg-300",
        "cutter": "hand",
    }


def test_rules_are_read_completely() -> None:
    assert read_rules(table(GOOD["rules"]), "own") == Rules(
        name="own",
        title="Rules",
        source="made up",
        edition="first",
        link="none",
        unit=Unit.IN,
        read_on=datetime.date(2026, 1, 31),
        closing_date=datetime.date(2026, 12, 1),
        board=BoardRule(
            read_size("16x20 in"),
            exact=False,
            either_way=False,
            panorama=read_size("16x24 in"),
            panorama_aspect=2.5,
        ),
        visible=VisibleRule(inches(10), inches(16), inches(4), inches(12), read_area("80 sq in")),
        borders=(BorderRule(inches("1.5"), read_size("8x10 in")), BorderRule(inches(2))),
        thickness_least=millimetres(3),
        thickness_most=millimetres(10),
        mat_colours=("white",),
        core_colours=("white", "black"),
        categories=("Mono", "Colour"),
        most_per_category=4,
        monochrome_categories=("Mono",),
        title_most=60,
        reminders=("One.",),
        catalogue=CatalogueRule(1920, 1200, 2_000_000, 75, "{category}-{number}_{title}", True),
    )


def test_rules_may_require_name_and_address_on_the_label() -> None:
    text = "title = 'T'\nsource = 'S'\n[label]\nask = ['name', 'address']"
    assert read_rules(table(text), "own").label_lines == (LabelLine.NAME, LabelLine.ADDRESS)


def test_rules_that_require_anything_else_on_a_label_are_refused() -> None:
    said = refusal("rules", table("title = 'T'\nsource = 'S'\n[label]\nask = ['shoe size']"))
    assert said.startswith("own.toml: label.ask: ")
    assert "'name', 'address'" in said


def test_rules_may_state_when_prints_come_back() -> None:
    text = "title = 'T'\nsource = 'S'\nclosing_date = 2030-03-15\nreturn_date = 2030-06-01"
    assert read_rules(table(text), "own").return_date == datetime.date(2030, 6, 1)
    with pytest.raises(ProfileError, match=r"return_date: .*expected a day after 2030-03-15"):
        read_rules(table(text.replace("2030-06-01", "2030-03-01")), "own")


def test_rules_may_have_no_limits_at_all() -> None:
    rules = read_rules(table("title = 'T'\nsource = 'S'"), "own")
    assert rules == Rules("own", title="T", source="S", edition="", link="", unit=Unit.IN)


def test_a_board_is_exact_and_either_way_round_by_default() -> None:
    text = "title = 'T'\nsource = 'S'\n[board]\nsize = '40x50 cm'"
    rule = read_rules(table(text), "own").board
    assert rule == BoardRule(read_size("40x50 cm"), exact=True, either_way=True)


def test_a_mount_is_read_completely() -> None:
    assert read_mount(table(GOOD["mounts"]), "own") == Mount(
        name="own",
        title="Mount",
        source="made up",
        window=WindowKind.OVERLAP,
        backing=inches("3/16"),
        board=read_size("16x20 in"),
        bevel=BevelKind.REVERSE,
        placing=WindowPlacing.CENTRED,
        overlap=inches("3/16"),
        hold=inches("1/4"),
        least_border=inches(2),
        mat=millimetres("1.4"),
        mat_colour="black",
        core_colour="white",
        backing_colour="white",
        tape=millimetres("0.1"),
    )


def test_a_mount_may_have_the_weights_of_its_boards() -> None:
    text = GOOD["mounts"].replace("[mat]", "[mat]\nweight = 910")
    mount = read_mount(table(text.replace("[backing]", "[backing]\nweight = 570.5")), "own")
    assert (mount.mat_weight, mount.backing_weight) == (910, 570.5)


def test_a_mount_may_give_the_opening_of_a_mat_that_is_cut_already() -> None:
    text = GOOD["mounts"].replace("[window]", "opening = '10 1/2 x 13 1/2 in'\n[window]")
    mount = read_mount(table(text), "ready-cut")
    assert mount.opening == Size(inches("10.5"), inches("13.5"))


def test_a_reveal_is_the_same_below_by_default() -> None:
    line, instead = "kind = 'overlap'\noverlap = '3/16 in'", "reveal = "
    mount = read_mount(replaced("mounts", line, f"kind = 'reveal'\n{instead}'1/4 in'"), "own")
    assert (mount.reveal, mount.reveal_bottom) == (inches("1/4"), inches("1/4"))


def test_a_paper_is_read_completely() -> None:
    paper = read_paper(table(GOOD["papers"]), "own")
    assert paper == Paper(
        "own", "Paper", "made up", millimetres("0.3"), "matt", Sharpening.OFF, 18.0
    )


@pytest.mark.parametrize(("finish", "black"), [("matt", 16), ("lustre", 9), ("gloss", 9)])
def test_a_paper_has_the_black_of_its_finish_by_default(finish: str, black: float) -> None:
    # The best blacks of matt and gloss papers are about 1.7 and 2.0 D, published measurements
    # say: L* 15.5 and 9.0, computed, in round numbers.
    lines = f"title = 'T'\nsource = 'S'\nfinish = '{finish}'"
    assert read_paper(table(lines), "own").black_lightness == black


def test_a_paper_is_0_27_mm_thick_by_default() -> None:
    paper = read_paper(replaced("papers", "thickness = '0.3 mm'", ""), "own")
    assert paper.thickness == millimetres("0.27")


def test_a_lab_is_read_completely() -> None:
    assert read_lab(table(GOOD["labs"]), "own") == Lab(
        name="own",
        title="Lab",
        source="made up",
        ppi=300,
        format=FileFormat.TIFF,
        bits=16,
        quality=90,
        compression=Compression.DEFLATE,
        colour_profile="srgb",
        intent=RenderingIntent.PERCEPTUAL,
        black_point_compensation=False,
        sharpens=True,
        sheets=(read_size("8x10 in"), read_size("297x420 mm")),
        margin=inches("1/8"),
        edge_loss=millimetres(3),
        scale_error=0.01,
    )


def test_a_lab_may_set_the_limits_for_lost_colour() -> None:
    assert read_lab(table(GOOD["labs"]), "own").lost_share == 0.02
    own = GOOD["labs"] + "\n[soft_proof]\nloss = 3\nshare = 0.1\n"
    lab = read_lab(table(own), "own")
    assert (lab.loss, lab.lost_share) == (3.0, 0.1)


ORDERING = """title = 'Lab'
source = 'made up'
[file]
ppi = 300
format = 'jpeg'
most_px = 12000
most_bytes = '20 MB'
[colour]
profile = 'srgb'
[print]
sheets = ['8x10 in', '297x420 mm']
edge_to_edge = ['10x8 in']
bleed = '3 mm'
papers = ['Lustre', 'Cotton', 'Cotton rag']
finishes = ['matt', 'Lustre']
prices = ['10x8 in: 4.50', '297x420 mm = 9,8', 'cotton 8x10 in: 6.20', 'Cotton rag 8x10 in: 7.10']
currency = 'EUR'
[naming]
pattern = '{copies}x_{number}'
length_most = 15
[upload]
most_bytes = '500 MB'
[papers]
cotton = 'matt'
[order]
postage = '6,50'
postage_free_from = '60'
tax = '8.1 %'
prices_include_tax = true
"""


def test_what_a_lab_requires_of_an_order_is_read_completely() -> None:
    lab = read_lab(table(ORDERING), "own")
    assert (lab.most_px, lab.most_bytes, lab.upload_most_bytes) == (12000, 20_000_000, 500_000_000)
    assert (lab.pattern, lab.name_most, lab.bleed) == ("{copies}x_{number}", 15, millimetres(3))
    assert (lab.papers, lab.finishes, lab.currency) == (
        ("Lustre", "Cotton", "Cotton rag"),
        ("matt", "Lustre"),
        "EUR",
    )
    assert lab.price(read_size("8x10 in")) == lab.price(read_size("10x8 in")) == Decimal("4.50")
    assert lab.price(read_size("420x297 mm")) == Decimal("9.8")
    assert lab.price(read_size("5x7 in")) is None
    assert lab.paper_profiles == (("Cotton", "matt"),)


def test_a_paper_may_have_prices_of_its_own() -> None:
    lab = read_lab(table(ORDERING), "own")
    assert lab.charges == Charges(Decimal("6.50"), Decimal(60), Decimal("8.1"), True)
    assert lab.edge_to_edge == (read_size("10x8 in"),)
    assert lab.has_prices
    assert lab.price(read_size("8x10 in"), "Lustre") == Decimal("4.50")
    assert lab.price(read_size("10x8 in"), "Cotton") == Decimal("6.20")
    assert lab.price(read_size("8x10 in"), "Cotton rag") == Decimal("7.10")
    # Without a price of its own it has that of the sheet.
    assert lab.price(read_size("297x420 mm"), "Cotton") == Decimal("9.8")


def test_a_blank_finish_is_that_of_the_paper_if_the_lab_has_it() -> None:
    lab = read_lab(table(ORDERING), "own")
    papers = ("", "lustre", "gloss")
    assert [lab.finish_named("", of_paper=paper) for paper in papers] == ["matt", "Lustre", "matt"]
    assert lab.finish_named("MATT", of_paper="lustre") == "matt"
    with pytest.raises(ValueError, match="finish: the lab has no 'mat'; did you mean 'matt'"):
        lab.finish_named("mat")


@pytest.mark.parametrize(
    ("line", "instead", "said"),
    [
        (
            "{copies}x_{number}",
            "fixed",
            "naming.pattern: found 'fixed'; expected text with at least",
        ),
        ("{copies}x_{number}", "{step}", "naming.pattern: found '{step}'"),
        ("{copies}x_{number}", "{number}.jpg", "without an ending"),
        ("length_most = 15", "length_most = 5", "naming.length_most: found 5"),
        ("10x8 in: 4.50", "10x8 in", "print.prices: "),
        (
            "10x8 in: 4.50",
            "5x7 in: 4.50",
            "sizes from the list of sheets, which does not have 5x7 in",
        ),
        (
            "edge_to_edge = ['10x8 in']",
            "edge_to_edge = ['5x7 in']",
            "print.edge_to_edge: found ['5x7 in']; expected sizes from the list of sheets",
        ),
        ("'6,50'", "'six'", "order.postage: found 'six'; expected an amount in quotes"),
        ("'6,50'", "6.5", "order.postage: found 6.5; expected an amount in quotes"),
        ("'8.1 %'", "'8.1'", "order.tax: found '8.1'; expected a rate in quotes such as '20 %'"),
        ("postage = '6,50'", "", "order.postage_free_from: "),
        ("tax = '8.1 %'", "", "order.prices_include_tax: "),
        ("'500 MB'", "500", "upload.most_bytes: found 500"),
        ("cotton 8x10 in", "silk 8x10 in", "or with a name of print.papers"),
        ("cotton 8x10 in", "cotton 5x7 in", "the list of sheets, which does not have 5x7 in"),
        ("cotton = 'matt'", "coton = 'matt'", "did you mean 'Cotton'?"),
        ("cotton = 'matt'", "cotton = ''", "papers.cotton: found ''; expected text in quotes"),
        ("papers = ['Lustre', 'Cotton', 'Cotton rag']", "", "or with a name of print.papers"),
    ],
)
def test_a_faulty_requirement_of_a_lab_is_refused(line: str, instead: str, said: str) -> None:
    assert said in refusal("labs", table(ORDERING.replace(line, instead, 1)))


@pytest.mark.parametrize(
    ("name", "suffix", "ppi"), [("srgb-jpeg-300", ".jpg", 300), ("wide-tiff-360", ".tif", 360)]
)
def test_a_shipped_lab_takes_its_kind_of_file(name: str, suffix: str, ppi: int) -> None:
    lab = SHIPPED.lab(name)
    assert (lab.suffix, lab.ppi, lab.bits) == (suffix, ppi, 8)


def test_a_cutter_is_read_completely() -> None:
    cutter = read_cutter(table(GOOD["cutters"]), "own")
    assert cutter == Cutter(
        name="own",
        title="Cutter",
        source="made up",
        cut=millimetres("0.4"),
        placing=inches("1/32"),
        unit=Unit.IN,
        step=inches("1/32"),
        scale_offset=-inches("1/64"),
        overrun=millimetres(2),
        reach=inches(5),
    )


def test_a_cutter_without_a_stop_has_no_reach() -> None:
    bare = GOOD["cutters"].replace("reach = '5 in'", "stop = false")
    assert not read_cutter(table(bare), "own").has_stop
    with pytest.raises(ProfileError, match="no reach, because 'stop' is false"):
        read_cutter(table(f"{GOOD['cutters']}stop = false"), "own")


def test_a_shipped_cutter_has_a_stop_if_it_runs_on_a_rail() -> None:
    assert (SHIPPED.cutter("rail").has_stop, SHIPPED.cutter("hand").has_stop) == (True, False)


def test_a_cutters_scale_may_be_left_out() -> None:
    text = GOOD["cutters"].partition("[scale]")[0]
    cutter = read_cutter(table(text), "own")
    assert (cutter.unit, cutter.step, cutter.scale_offset, cutter.overrun) == (
        None,
        None,
        ZERO,
        None,
    )


@pytest.mark.parametrize(("name", "cut"), [("hand", "1"), ("rail", "0.5")])
def test_a_shipped_cutter_is_as_accurate_as_common_practice(name: str, cut: str) -> None:
    # Common practice, no source: plan on 1 mm a cut by hand, half of it on a rail.
    cutter = SHIPPED.cutter(name)
    assert (cutter.cut, cutter.placing) == (millimetres(cut), millimetres(1))


@pytest.mark.parametrize(
    ("kind", "what", "line", "instead", "key", "found", "expected"), FAULTS, ids=FAULT_IDS
)
def test_a_faulty_profile_is_refused_with_file_key_value_and_remedy(
    kind: str, what: str, line: str, instead: str, key: str, found: str, expected: str
) -> None:
    said = refusal(kind, replaced(kind, line, instead))
    assert said.startswith(f"own.toml: {key}: ")
    assert found in said
    assert expected in said


def test_a_faulty_profile_ends_the_run_with_code_3() -> None:
    assert ProfileError.exit_code == 3


@given(name=st.text(st.characters(codec="ascii", categories=["Ll"]), min_size=1, max_size=12))
def test_any_unknown_key_is_refused_by_its_name(name: str) -> None:
    key = f"x-{name}"
    assert refusal("papers", table(f"{GOOD['papers']}{key} = 1")).startswith(f"own.toml: {key}: ")


def test_a_mistyped_word_is_refused_with_the_nearest_known_word() -> None:
    said = refusal("mounts", replaced("mounts", "kind = 'overlap'", "kind = 'overlp'"))
    assert said.endswith("'surround', 'none'; did you mean 'overlap'?")


def test_a_missing_word_is_not_taken_for_a_mistyped_one() -> None:
    assert refusal("mounts", replaced("mounts", "kind = 'overlap'", "")).endswith("'none'")


def test_unknown_keys_are_refused_in_a_table_of_a_list_too() -> None:
    text = "title = 'T'\nsource = 'S'\n[[border]]\nleast = '2 in'\nupto = '8x10 in'"
    said = refusal("rules", table(text))
    assert said == "own.toml: border[1].upto: unknown key; did you mean 'up_to'?"


def test_a_list_of_tables_that_is_one_table_is_refused() -> None:
    said = refusal("rules", table("title = 'T'\nsource = 'S'\n[border]\nleast = '2 in'"))
    assert said.startswith("own.toml: border: ")
    assert "tables, each under the heading [[border]]" in said


def test_a_job_file_is_read_completely() -> None:
    keys = ("rules", "mount", "paper", "lab", "cutter", "light", "profiles")
    text = "\n".join(f'{key} = "own {key}"' for key in keys)
    assert read_job_file(table(text)) == JobFile(*(f"own {key}" for key in keys))


def test_a_job_file_may_name_the_exhibitor() -> None:
    read = read_job_file(table('[exhibitor]\nname = "A. Maker"\naddress = "12 Quay Lane"'))
    assert read.exhibitor == Exhibitor("A. Maker", "12 Quay Lane")


EXHIBITOR = '[exhibitor]\nname = "A. Maker"\naddress = "12 Quay Lane"\n'


@pytest.mark.parametrize(
    ("text", "customer"),
    [
        # Nothing personal reaches a lab unless the job has this table.
        (EXHIBITOR, Customer()),
        (EXHIBITOR + "[customer]\naccount = 'HB-1'", Customer("A. Maker", "12 Quay Lane", "HB-1")),
        (EXHIBITOR + "[customer]\nname = 'The Section'", Customer("The Section", "12 Quay Lane")),
        ("[customer]\naddress = 'Pier 3'", Customer(address="Pier 3")),
    ],
)
def test_the_customer_of_a_lab_is_the_exhibitor_unless_the_job_says_otherwise(
    text: str, customer: Customer
) -> None:
    assert read_job_file(table(text)).customer == customer


def test_a_job_file_may_be_empty() -> None:
    assert read_job_file(table("")) == JobFile()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("mounts = 'a'", "own.toml: mounts: unknown key; did you mean 'mount'?"),
        ("lab = 3", "own.toml: lab: found 3; expected text in quotes"),
        ("jobs = 4", "own.toml: jobs: unknown key; known: rules, mount, paper, lab, cutter"),
    ],
)
def test_a_faulty_job_file_is_refused_like_a_profile(text: str, said: str) -> None:
    with pytest.raises(ProfileError) as caught:
        read_job_file(table(text))
    assert str(caught.value).startswith(said)


def test_a_job_finds_the_mount_that_an_entry_names_or_else_its_own() -> None:
    own, other = a_mount(name="own"), a_mount(name="other")
    job = a_job(mounts=(own, other))
    assert job.mount_named(None) == own
    assert job.mount_named("other") == other


def test_an_unknown_mount_is_refused_with_the_mounts_of_the_run() -> None:
    job = a_job(mounts=(a_mount(name="own"), a_mount(name="other")))
    with pytest.raises(UsageError, match="'third' is not among the mounts of this run: own, other"):
        job.mount_named("third")


def test_missing_lengths_are_zero() -> None:
    lines = "title = 'T'\nsource = 'S'\n[window]\nkind = 'none'\n[backing]\nthickness = '5 mm'"
    mount = read_mount(table(lines), "own")
    assert (mount.overlap, mount.mat, mount.tape, mount.least_border) == (ZERO, ZERO, ZERO, ZERO)
    assert mount.backing == Length(5_000_000)
    assert not mount.has_window


@pytest.mark.parametrize(
    ("kind", "line", "instead", "said"),
    [
        ("mounts", "board", 'board = "100x100 in"', "expected sides of at most 60 in"),
        ("rules", "size", 'size = "16x61 in"', "expected sides of at most 60 in"),
        ("labs", "margin", 'margin = "21 m"', "expected a length such as"),
    ],
)
def test_no_board_or_length_is_absurdly_large(
    kind: str, line: str, instead: str, said: str
) -> None:
    text, count = re.subn(rf"^{line} = .*$", instead, GOOD[kind], count=1, flags=re.M)
    assert count == 1
    with pytest.raises(ProfileError, match=said):
        READERS[kind](table(text), "own")
