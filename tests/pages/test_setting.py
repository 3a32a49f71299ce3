"""Text set in lines; laws of our own, no outside source."""

from hypothesis import given
from hypothesis import strategies as st

from proofs.pages.setting import kept, shortened, wrapped

texts = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Mn", "Mc", "Me"]))
widths = st.integers(1, 30)


@given(text=texts, width=widths)
def test_no_line_is_wider_than_its_room(text: str, width: int) -> None:
    assert all(len(line) <= width for line in wrapped(text, width, len))


@given(text=texts, width=widths)
def test_nothing_but_blanks_is_lost_at_the_ends_of_lines(text: str, width: int) -> None:
    lines = wrapped(text, width, len)
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_a_word_broken_after_a_narrow_hyphen_stays_within_its_lines() -> None:
    widths = {"-": 3.0, "W": 10.0}
    lines = wrapped("-WWWWWW", 58, lambda line: sum(widths[one] for one in line))
    assert lines == ("-WWWWW", "W")


@given(text=texts)
def test_a_text_that_fits_stays_on_one_line(text: str) -> None:
    plain = " ".join(text.split())
    assert wrapped(text, len(plain), len) == (plain,)


def test_a_number_stays_with_its_unit() -> None:
    lines = wrapped("visible 9 3/4 × 6.42 in of 10 1/4 in", 18, len)
    assert lines == ("visible", "9 3/4 × 6.42 in of", "10 1/4 in")


def test_a_size_wider_than_a_line_is_broken_all_the_same() -> None:
    assert wrapped("16 × 20 in", 5, len) == ("16 ×", "20 in")


@given(text=texts, width=st.integers(2, 30))
def test_a_shortened_text_fits_and_says_that_it_was_cut(text: str, width: int) -> None:
    plain, short = " ".join(text.split()), shortened(text, width, len)
    assert len(short) <= width
    assert short == plain or short.endswith("…")


@given(text=texts, width=st.integers(1, 30))
def test_a_shortened_text_keeps_all_that_fits(text: str, width: int) -> None:
    plain, short = " ".join(text.split()), shortened(text, width, len)
    assert short in (plain, plain[: width - 1].rstrip() + "…")


def test_a_text_of_100_000_characters_is_shortened_after_few_measurements() -> None:
    measured: list[str] = []

    def width(line: str) -> float:
        measured.append(line)
        return len(line)

    assert shortened("x" * 100_000, 10, width) == "x" * 9 + "…"
    assert len(measured) < 20


def test_lines_left_out_leave_an_ellipsis() -> None:
    assert kept(("one", "two", "three"), 2, 4, len) == ("one", "two…")
    assert kept(("one", "two"), 2, 4, len) == ("one", "two")
