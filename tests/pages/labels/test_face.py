"""A label as it is set; laws of our own, no outside source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.outside.fonts import load_fonts
from proofs.pages.drawing import Mark, Shape, Text
from proofs.pages.labels.face import LabelFace, label_face
from proofs.plan.bench.labels import READ_POINTS, Label, RequiredLine
from tests.workbench import SHIPPED

FONTS = load_fonts()
WIDTH, HEIGHT = 360.0, 216.0
ROOMY = Label("7", "The old landing", "Open", "2 of 4")
texts = st.text(st.sampled_from("abc xyz WW-é"), min_size=1, max_size=400).map(str.strip)
filled = texts.filter(bool)
sizes = st.tuples(st.floats(120, 420), st.floats(80, 420))


def face_of(label: Label, width: float = WIDTH, height: float = HEIGHT) -> LabelFace:
    return label_face(label, width, height, FONTS.width)


def texts_of(face: LabelFace) -> list[Text]:
    return [mark for mark in face.block.marks if isinstance(mark, Text)]


def reach(mark: Mark) -> tuple[float, float]:
    assert isinstance(mark, Text)
    return mark.x + FONTS.width(mark.text, mark.weight, mark.size), mark.y


def test_a_title_that_has_room_is_read_from_afar_and_a_very_long_one_is_not() -> None:
    assert face_of(ROOMY).is_read_from_afar
    assert not face_of(Label("7", "pier " * 60)).is_read_from_afar


def test_blanks_within_a_title_stay_as_they_were_entered() -> None:
    assert 'Pier,  "Dawn"' in [text.text for text in texts_of(face_of(Label("7", 'Pier,  "Dawn"')))]


@given(title=filled, number=filled, category=texts, size=sizes)
def test_no_word_leaves_the_label_and_what_finds_no_room_is_known(
    title: str, number: str, category: str, size: tuple[float, float]
) -> None:
    face = face_of(Label(number[:20], title, category, "2 of 4"), *size)
    set_ = texts_of(face)
    joined = "".join("".join(text.text.split()) for text in set_)
    whole = "".join(title.split())
    assert (whole in joined) == face.has_whole_title
    begun = [text for text in set_ if text.size == face.title_points]
    assert face.title_points >= 9
    assert min(text.size for text in set_) >= 7.5
    assert any(whole.startswith("".join(text.text.rstrip("…").split())) for text in begun)
    assert all(text.x >= 0 and text.y >= 0 for text in set_)
    ends = [reach(text) for text in set_]
    assert max(x for x, _ in ends) <= size[0] + 1e-6
    assert max(y for _, y in ends) <= size[1] + 1e-6


def test_all_words_are_there_where_they_have_room() -> None:
    face = face_of(Label("2026-17", "The old landing, at dawn", "Open colour", "2 of 4"))
    joined = " ".join(text.text for text in texts_of(face))
    wanted = ("The old landing, at dawn", "2026-17", "Open colour, 2 of 4")
    assert [words for words in wanted if words not in joined] == []


LONGEST = "The old landing at dawn, seen from the quay, " * 4 + "with a heron wading"


@pytest.mark.parametrize("sheet", SHIPPED.names("labels"))
def test_a_title_of_200_characters_is_never_set_below_9_points(sheet: str) -> None:
    assert len(LONGEST) == 199
    size = SHIPPED.label_sheet(sheet).label
    face = face_of(Label("7", LONGEST, "Open"), size.width.points, size.height.points)
    title = [text for text in texts_of(face) if text.size == face.title_points]
    assert face.title_points >= 9
    assert title[-1].text.endswith("…") != face.has_whole_title


def test_the_arrow_points_up_and_is_taller_than_half_of_the_label() -> None:
    shapes = [mark for mark in face_of(ROOMY).block.marks if isinstance(mark, Shape)]
    arrow = max(shapes, key=lambda shape: len(shape.points))
    tip, *others = sorted(arrow.points, key=lambda point: point[1])
    assert all(y > tip[1] for _, y in others)
    assert max(y for _, y in arrow.points) - tip[1] > HEIGHT / 2


def test_top_stands_below_the_arrow_larger_than_what_is_read_from_1_m() -> None:
    top = next(text for text in texts_of(face_of(ROOMY)) if text.text == "TOP")
    assert top.size > READ_POINTS


def right_of_the_organisers_room(face: LabelFace) -> list[Text]:
    organiser = next(text for text in texts_of(face) if "organiser" in text.text)
    return [
        text for text in texts_of(face) if text.x > organiser.x + 60 and text.y > organiser.y - 9
    ]


def test_what_is_asked_and_not_told_has_its_caption_right_of_the_organisers_room() -> None:
    label = Label(
        "7", "The old landing", required=(RequiredLine("name", ""), RequiredLine("address", ""))
    )
    captions = right_of_the_organisers_room(face_of(label))
    assert [text.text for text in captions] == ["name", "address"]


REQUIRED = (
    RequiredLine("name", "A. Maker"),
    RequiredLine("address", "12 Quay Lane, Old Harbour, by the crane"),
)


@pytest.mark.parametrize("sheet", SHIPPED.names("labels"))
def test_name_and_address_stand_whole_in_one_size_of_readable_type(sheet: str) -> None:
    size = SHIPPED.label_sheet(sheet).label
    label = Label("7", "The old landing", required=REQUIRED)
    told = right_of_the_organisers_room(face_of(label, size.width.points, size.height.points))
    assert " ".join(text.text for text in told) == " ".join(asked.words for asked in REQUIRED)
    # 8 points is usual for an address in print: common practice, no source.
    assert {text.size >= 8 for text in told} == {True}


def test_what_is_told_leaves_a_line_for_what_is_not() -> None:
    label = Label("7", "The old landing", required=(REQUIRED[0], RequiredLine("address", "")))
    told = right_of_the_organisers_room(face_of(label))
    assert [text.text for text in told] == ["A. Maker", "address"]
