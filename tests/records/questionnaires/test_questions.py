"""Whatever is answered, the file that is written is read back as it was asked."""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.records.faults import Fault
from proofs.records.profile_kinds import READERS, noted
from proofs.records.questionnaires.kinds import NOTHING, QUESTIONS, Draft
from proofs.records.questionnaires.question import (
    Form,
    Question,
    Values,
    shown,
    with_value,
)
from proofs.records.questionnaires.toml_text import toml_text
from tests.workbench import SHIPPED

WORDS = st.text(st.characters(codec="utf-8"), min_size=1, max_size=20)
ASKED = [(kind, question) for kind, questions in QUESTIONS.items() for question in questions]
IDS = [f"{kind}: {question.key}" for kind, question in ASKED]
every_question = pytest.mark.parametrize(("kind", "question"), ASKED, ids=IDS)
STARTS = [(kind, name) for kind in QUESTIONS for name in SHIPPED.names(kind)]


def faults_of(kind: str, values: Values) -> tuple[Fault, ...]:
    """All that is wrong with these values."""
    return noted(lambda table: READERS[kind](table, "own"), values)[1]


def a_draft(kind: str, start: Values | None = None) -> Draft:
    """A draft before any answer."""
    return Draft(start or {}, lambda values: faults_of(kind, values), is_new=start is None)


def filled(draft: Draft, kind: str, answers: dict[str, list[str]]) -> Draft:
    """A draft with the first of the answers to each question that will do."""
    for question in QUESTIONS[kind]:
        if not question.applies(draft.values):
            draft = draft.left_out(question)
            continue
        for typed in [*answers.get(question.key, []), "", question.example]:
            try:
                draft = draft.answered(question, typed)
            except ValueError:
                continue
            break
    return draft


def answers_to(question: Question) -> st.SearchStrategy[list[str]]:
    """Answers that people may type, one after the other, if one will not do."""
    usual = [question.example, question.default, NOTHING, "3", "1 in", *question.choices]
    return st.lists(st.one_of(st.sampled_from(usual), WORDS), max_size=3)


@st.composite
def kinds_and_answers(draw: st.DrawFn) -> tuple[str, dict[str, list[str]]]:
    kind = draw(st.sampled_from(sorted(QUESTIONS)))
    return kind, {q.key: draw(answers_to(q)) for q in QUESTIONS[kind]}


@settings(max_examples=60)
@given(asked=kinds_and_answers())
def test_answers_that_were_accepted_are_read_back_from_the_file(
    asked: tuple[str, dict[str, list[str]]],
) -> None:
    kind, answers = asked
    draft = filled(a_draft(kind), kind, answers)
    read = tomllib.loads(toml_text(draft.values, QUESTIONS[kind], "Opening."))
    assert faults_of(kind, read) == ()
    assert read == draft.values


@given(start=st.sampled_from(STARTS), data=st.data())
def test_a_profile_that_another_starts_keeps_what_was_not_asked(
    start: tuple[str, str], data: st.DataObject
) -> None:
    kind, name = start
    values = tomllib.loads(SHIPPED.path(kind, name).read_text("utf-8"))
    draft = filled(a_draft(kind, values), kind, {"title": [data.draw(WORDS)]})
    read = tomllib.loads(toml_text(draft.values, QUESTIONS[kind], "Opening."))
    assert faults_of(kind, read) == ()
    assert read | {"title": ""} == values | {"title": ""}


def draft_in_which(kind: str, question: Question) -> Draft:
    """A draft with such answers that a question applies."""
    examples = {q.key: q.example for q in QUESTIONS[kind]}
    answers = {k: [shown(among[0]) if among else examples[k]] for k, among in question.only_if}
    return filled(a_draft(kind), kind, answers)


@every_question
def test_the_example_and_the_default_of_a_question_will_do(kind: str, question: Question) -> None:
    draft = draft_in_which(kind, question)
    assert question.applies(draft.values)
    assert draft.answered(question, question.example).faults_so_far() == []
    assert question.default == "" or shown(question.value(question.default)) == question.default


@every_question
def test_an_option_is_named_after_its_key(kind: str, question: Question) -> None:
    same = [q for q in QUESTIONS[kind] if q.option == question.option]
    assert same == [question]
    assert question.option not in {"--from", "--profiles", "--yours", "--defaults", "--icc"}


@pytest.mark.parametrize(("kind", "question"), [asked for asked in ASKED if asked[1].choices])
def test_what_is_chosen_from_is_what_the_reader_takes(kind: str, question: Question) -> None:
    draft = draft_in_which(kind, question)
    values = with_value(draft.values, question.key, question.value("none such"))
    said = [f.words for f in faults_of(kind, values) if f.path == question.key]
    assert [choice for choice in question.choices if repr(str(choice)) not in said[0]] == []


def test_an_answer_is_refused_at_once_with_the_reason_of_the_reader() -> None:
    (board,) = [q for q in QUESTIONS["rules"] if q.key == "board.size"]
    with pytest.raises(ValueError, match=r"found '16x20'; expected a size such as '16x20 in'"):
        a_draft("rules").answered(board, "16x20")


def test_an_answer_that_contradicts_an_earlier_one_is_refused() -> None:
    least, most = [q for q in QUESTIONS["rules"] if q.key.startswith("visible.longest")]
    draft = a_draft("rules").answered(least, "10 in")
    with pytest.raises(ValueError, match="expected at least 10 in"):
        draft.answered(most, "9 in")


def test_a_key_that_was_there_can_be_left_out() -> None:
    (board,) = [q for q in QUESTIONS["mounts"] if q.key == "board"]
    start = {"board": "16x20 in"}
    assert a_draft("mounts", start).answered(board, "").values == start
    assert a_draft("mounts", start).answered(board, NOTHING).values == {}


@pytest.mark.parametrize(
    ("form", "typed", "value"),
    [
        (Form.TEXT, " off-white ", "off-white"),
        (Form.TEXTS, "white, off-white", ["white", "off-white"]),
        (Form.TEXTS, "8x10 in: 4,50; 12x16 in: 9", ["8x10 in: 4,50", "12x16 in: 9"]),
        (Form.NUMBER, "0,005", 0.005),
        (Form.NUMBER, "16", 16),
        (Form.COUNT, "4", 4),
        (Form.YES_NO, "Yes", True),
    ],
)
def test_an_answer_is_read_in_its_form(form: Form, typed: str, value: object) -> None:
    assert Question("key", "", "", form=form).value(typed) == value


@pytest.mark.parametrize(
    ("form", "typed"),
    [
        (Form.NUMBER, "many"),
        (Form.COUNT, "4.5"),
        (Form.YES_NO, "perhaps"),
        (Form.DATE, "31 May"),
        (Form.DATES, "2026-01-01, x"),
        (Form.TEXT, "\udcff"),
    ],
)
def test_an_answer_in_another_form_is_refused_as_it_was_typed(form: Form, typed: str) -> None:
    with pytest.raises(ValueError, match=r"not|neither"):
        Question("key", "", "", form=form).value(typed)


@given(texts=st.lists(st.text("ab ,:", min_size=1).map(str.strip).filter(bool), min_size=1))
def test_a_list_is_shown_as_it_would_be_typed(texts: list[str]) -> None:
    assert Question("key", "", "", form=Form.TEXTS).value(shown(texts)) == [
        part for part in texts if part.strip()
    ]


@given(text=WORDS)
def test_any_text_can_be_written(text: str) -> None:
    values = with_value({"a b": {"c": [text]}}, "title", text)
    assert tomllib.loads(toml_text(values, [], "")) == values
