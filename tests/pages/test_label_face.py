"""A label as it is set; laws of our own, no outside source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.outside.fonts import load_fonts
from proofs.pages.drawing import Mark, Shape, Text
from proofs.pages.label_face import LabelFace, label_face
from proofs.plan.labels import READ_POINTS, Asked, Label

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
def test_all_words_are_there_and_none_leaves_the_label(
    title: str, number: str, category: str, size: tuple[float, float]
) -> None:
    face = face_of(Label(number[:20], title, category, "2 of 4"), *size)
    set_ = texts_of(face)
    joined = "".join("".join(text.text.split()) for text in set_)
    assert "".join(title.split()) in joined
    assert "".join(category.split()) in joined
    assert all(text.x >= 0 and text.y >= 0 for text in set_)
    ends = [reach(text) for text in set_]
    assert max(x for x, _ in ends) <= size[0] + 1e-6
    assert max(y for _, y in ends) <= size[1] + 1e-6


def test_the_arrow_points_up_and_is_taller_than_half_of_the_label() -> None:
    shapes = [mark for mark in face_of(ROOMY).block.marks if isinstance(mark, Shape)]
    arrow = max(shapes, key=lambda shape: len(shape.points))
    tip, *others = sorted(arrow.points, key=lambda point: point[1])
    assert all(y > tip[1] for _, y in others)
    assert max(y for _, y in arrow.points) - tip[1] > HEIGHT / 2


def test_top_stands_below_the_arrow_larger_than_what_is_read_from_1_m() -> None:
    top = next(text for text in texts_of(face_of(ROOMY)) if text.text == "TOP")
    assert top.size > READ_POINTS


@pytest.mark.parametrize("words", ["", "12 Quay Lane, Old Harbour, by the second crane"])
def test_what_is_asked_stands_below_its_caption_and_right_of_the_organisers_room(
    words: str,
) -> None:
    label = Label("7", "The old landing", asked=(Asked("address", words),))
    caption = next(text for text in texts_of(face_of(label)) if text.text == "address")
    organiser = next(text for text in texts_of(face_of(label)) if "organiser" in text.text)
    assert caption.x > organiser.x + 100
