"""The typeface and what it lacks; which scripts it has to cover is the user's own list."""

from dataclasses import replace
from pathlib import Path

import pytest
import reportlab

from proofs.errors import UsageError
from proofs.outside.fonts import (
    DOT,
    Face,
    Fonts,
    load_fonts,
    missing_glyphs,
)
from proofs.pages.typography import LIGHT, REGULAR, SEMIBOLD

OURS = load_fonts()
# The reportlab wheel brings a font that has mathematical signs, which ours lacks.
MATHS = Path(reportlab.__file__).parent / "fonts" / "Vera.ttf"

SCRIPTS = {
    "western": "Crème brûlée, Straße, señor, Ærø",
    "central": "Žluťoučký kůň, Łódź, Győr, Škoda",
    "greek": "Άνεμος και άμμος, Ελλάδα",
    "cyrillic": "Ночной берег, Ђорђе, Її",
    "vietnamese": "Buổi sáng ở đồng bằng sông Cửu Long, Được mùa",
    "signs": "“pepper” ‘salt’ — – … × ° ½ ⅛ · − № € <b> & ″",
}


@pytest.mark.parametrize("text", SCRIPTS.values(), ids=SCRIPTS.keys())
def test_the_typeface_covers(text: str) -> None:
    assert missing_glyphs(OURS, text) == ""


def test_letters_written_with_a_loose_accent_count_as_whole_ones() -> None:
    # Unicode's canonical composition (NFC).
    assert missing_glyphs(OURS, "e\u0301 o\u031b\u0309") == ""


def test_what_is_missing_is_listed_once_in_its_order() -> None:
    assert missing_glyphs(OURS, "日本の日 → ok") == "日本の→"


def test_what_is_missing_prints_as_a_dot() -> None:
    assert [piece for _, piece in OURS.runs("日 ok", REGULAR)] == [f"{DOT} ok"]


def test_blanks_and_joiners_are_never_missing() -> None:
    # Nobody sees a zero-width joiner, a byte order mark or a tab on paper.
    assert missing_glyphs(OURS, "a\u200d\ufeff\tb\u00a0c\n") == ""


def test_a_font_of_the_users_draws_what_ours_lacks_and_nothing_else() -> None:
    fonts = load_fonts(MATHS)
    assert missing_glyphs(OURS, "a ∃ b") == "∃"
    assert missing_glyphs(fonts, "a ∃ b 日") == "日"
    runs = [(face.path.name, piece) for face, piece in fonts.runs("a∃b", LIGHT)]
    assert runs == [("OpenSans-Light.ttf", "a"), ("Vera.ttf", "∃"), ("OpenSans-Light.ttf", "b")]


def with_hebrew() -> Fonts:
    """Our faces with one beside them that has the Hebrew letters, none of them drawn here."""
    letters = dict.fromkeys(range(0x5D0, 0x5EB), 500.0)
    return replace(OURS, extra=Face("extra", MATHS, letters))


# UAX 9: within a text from left to right, words read the other way are set last letter first,
# numbers among them keep their order, and brackets are mirrored.
@pytest.mark.parametrize(
    ("text", "as_set"),
    [
        ("Pier", "Pier"),
        ("Très loin", "Très loin"),
        ("אור", "רוא"),
        ("pier אור 1", "pier 1 רוא"),
        ("אור 12 ים", "םי 12 רוא"),
        ("אור (ים)", "(םי) רוא"),
    ],
)
def test_a_title_read_from_right_to_left_is_set_so(text: str, as_set: str) -> None:
    assert "".join(piece for _, piece in with_hebrew().runs(text, REGULAR)) == as_set


def test_a_text_is_as_wide_as_its_pieces_and_grows_with_its_size() -> None:
    fonts = load_fonts(MATHS)
    pieces = [fonts.width(piece, REGULAR, 10) for _, piece in fonts.runs("a∃b", REGULAR)]
    assert fonts.width("a∃b", REGULAR, 10) == pytest.approx(sum(pieces))
    assert fonts.width("a∃b", REGULAR, 20) == pytest.approx(2 * sum(pieces))
    assert fonts.width("pier", LIGHT, 10) < fonts.width("pier", SEMIBOLD, 10)


def test_a_file_that_is_no_font_is_refused_with_its_name(tmp_path: Path) -> None:
    (tmp_path / "mine.ttf").write_bytes(b"not a font at all, but long enough to be looked at")
    with pytest.raises(UsageError, match=r"mine\.ttf: not a TrueType font; give"):
        load_fonts(tmp_path / "mine.ttf")


def test_a_damaged_font_is_refused(tmp_path: Path) -> None:
    (tmp_path / "half.ttf").write_bytes(MATHS.read_bytes()[:20_000])
    with pytest.raises(UsageError, match=r"half\.ttf"):
        load_fonts(tmp_path / "half.ttf")


def test_a_font_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"none\.ttf: is not a file"):
        load_fonts(tmp_path / "none.ttf")
