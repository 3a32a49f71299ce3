"""A profile as the text of a TOML file, with the questions that it answers as comments."""

import datetime
import json
import re
import textwrap
from collections.abc import Iterator, Mapping, Sequence

from proofs.records.questionnaires.question import Question, Values

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_WIDTH = 92  # of a comment, without its sign

Asked = Mapping[str, Question]


def toml_text(values: Values, questions: Sequence[Question], opening: str) -> str:
    """Return the text of a profile: a comment to open it, then each key below its question.

    A key that was asked for and has no value stands in a comment, with the example.
    """
    asked = {question.key: question for question in questions if question.applies(values)}
    return "\n".join([*_comment(opening), "", *_table(values, "", asked)]) + "\n"


def _table(values: Values, path: str, asked: Asked) -> Iterator[str]:
    """The lines of a table: its own keys first, then the tables inside it."""
    below = [key.removeprefix(path) for key in asked if key.startswith(path)]
    names = dict.fromkeys([*(key.partition(".")[0].removesuffix("[1]") for key in below), *values])
    inside = {key.partition(".")[0].removesuffix("[1]") for key in below if "." in key}
    tables = [name for name in names if name in inside or _is_table(values.get(name))]
    for name in names:
        if name not in tables:
            yield from _line(name, values.get(name), asked.get(path + name))
    for name in tables:
        yield from _inside(name, values.get(name), path, asked)


def _inside(name: str, value: object, path: str, asked: Asked) -> Iterator[str]:
    """The lines of the table, or of the tables, that a key of another holds."""
    heading = "".join(f"{_key(part)}." for part in path.split(".") if part) + _key(name)
    is_list = isinstance(value, list) or any(k.startswith(f"{path}{name}[1].") for k in asked)
    if not is_list:
        yield from ("", f"[{heading}]" if value is not None else f"# [{heading}]")
        yield from _table(_mapping(value), f"{path}{name}.", asked)
        return
    for n, part in enumerate(value if isinstance(value, list) else [None], 1):
        yield from ("", f"[[{heading}]]" if part is not None else f"# [[{heading}]]")
        yield from _table(_mapping(part), f"{path}{name}[{n}].", asked)


def _mapping(value: object) -> Values:
    return value if isinstance(value, Mapping) else {}


def _is_table(value: object) -> bool:
    if isinstance(value, list):
        return bool(value) and all(isinstance(part, Mapping) for part in value)
    return isinstance(value, Mapping)


def _line(name: str, value: object, question: Question | None) -> Iterator[str]:
    """A key with its value, below its question if it was asked for."""
    if question:
        among = f" One of: {', '.join(question.choices)}." if question.choices else ""
        yield from _comment(question.words + among)
    if value is not None:
        yield f"{_key(name)} = {_value(value)}"
    elif question:
        yield f"# {_key(name)} = {_value(question.value(question.example))}"


def _comment(words: str) -> list[str]:
    return [f"# {line}" for line in textwrap.wrap(words, _WIDTH)]


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _string(name)


def _value(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    return str(value) if isinstance(value, int | float) else _string(str(value))


def _string(text: str) -> str:
    """A text in quotes; the escapes of JSON are among those of TOML."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
