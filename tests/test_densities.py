"""Densities as people write them; one stop is log10 2 = 0.30103 D, computed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.densities import DENSITY_PER_STOP, checked, read_density, signed
from tests import near


def test_a_stop_is_three_tenths_of_density() -> None:
    assert pytest.approx(0.30103, abs=near.PRINTED_STOP) == DENSITY_PER_STOP


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("+0.10", 0.1),
        ("0.1", 0.1),
        ("-0,1", -0.1),
        ("\u22120.10", -0.1),
        ("+0.10 D", 0.1),
        (" 0 ", 0.0),
        ("1/2 stop", 0.1505),
        ("1/3 stop", 0.1003),
        ("1/4 stop", 0.0753),
        ("1/6 stop", 0.0502),
        ("-1/3 stop", -0.1003),
        ("1 stop", 0.301),
        ("1.5 stops", 0.4515),
        ("0,5 stop", 0.1505),
        ("-0.30", -0.3),
        ("+0.60", 0.6),
    ],
)
def test_a_density_is_read_as_people_write_it(text: str, change: float) -> None:
    # Half, third, quarter and sixth of a stop: 0.15051, 0.10034, 0.07526, 0.05017 D, computed.
    assert read_density(text) == pytest.approx(change, abs=near.ARITHMETIC)


@pytest.mark.parametrize(
    "text",
    [
        *("", "dark", "nan", "inf", "-inf", "1/0 stop", "0.1 0.2", "+0.10 in", "stop", "--0.1"),
        "9" * 400 + " stops",
    ],
)
def test_a_text_that_is_not_a_density_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(ValueError, match=r"write one such as '\+0.10'"):
        read_density(text)


@pytest.mark.parametrize("text", ["0.61", "-0.31", "2 stops", "-1 stop", "+0.6001"])
def test_a_density_out_of_range_is_refused_with_the_range(text: str) -> None:
    with pytest.raises(ValueError, match=r"outside -0.30 to \+0.60 D"):
        read_density(text)


@pytest.mark.parametrize("change", [-0.3, 0.6, 0.0])
def test_both_ends_of_the_range_are_allowed(change: float) -> None:
    assert checked(change) == change


@given(thousandths=st.integers(-300, 600))
def test_a_density_is_written_as_it_is_read(thousandths: int) -> None:
    assert read_density(signed(thousandths / 1000)) == thousandths / 1000


@given(hundredths=st.integers(-30, 60).filter(bool))
def test_a_change_has_its_sign_and_two_decimals(hundredths: int) -> None:
    assert signed(hundredths / 100) == f"{'+' if hundredths > 0 else '-'}0.{abs(hundredths):02d}"


def test_no_change_is_a_plain_0() -> None:
    assert signed(0.0) == signed(-0.0) == "0"
