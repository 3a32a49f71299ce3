"""The line of each key, held to ``tomllib``: a text that ends before the line lacks the key."""

import tomllib
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st

from proofs.records.toml_lines import key_lines, line_of

KEYS = st.sampled_from(
    ["a", "b", "c-1", "a.b", "b . c", '"d e"', "'f#[g'", '"h\\u00e9".i', '"x\\"y"']
)
VALUES = st.sampled_from(
    [
        *("1", "'it'", '"# [no] heading"', "true", "2026-01-31", "-1.5e3", '""', "''"),
        *('"a \\" b" # c', "[1, 2] # [x]", "{ k = 1, l = '}' }", "[{ k = [1] }, {}]"),
        *('"""\nz = 1\n[z]\n"""', "'''\n'' ]'''", '"""a "" \\""""', "[\n  1, # ]\n  '[',\n]"),
        *('[\n  { k = 1 },\n  { l = """\n#""" },\n]', "''''quoted'''' # '''", '"\\\\" #"'),
    ]
)
HEADINGS = st.sampled_from(
    ["[t]", "[ t.u ]", "[[l]]", "[[l]] # x", "[l.m]", "[[l.n]]", "[t.'v w']", "[[ t . l ]]"]
)
STATEMENTS = st.one_of(
    st.builds("{} = {}".format, KEYS, VALUES), HEADINGS, st.sampled_from(["", "# [a]", "  "])
)


def parsed(lines: list[str]) -> dict[str, Any] | None:
    """What ``tomllib`` reads in these lines, or None if they are not TOML."""
    try:
        return tomllib.loads("\n".join(lines))
    except tomllib.TOMLDecodeError:
        return None


def paths(value: object, path: str = "", *, of_tables: bool = False) -> set[str]:
    """The paths of all that a value holds, as a reader of profiles would name them."""
    found: set[str] = {path} - {""}
    if isinstance(value, dict):
        for key, part in value.items():
            found |= paths(part, f"{path}.{key}" if path else key)
    if isinstance(value, list):
        for n, part in enumerate(value, 1):
            found |= paths(part, f"{path}[{n}]") if isinstance(part, dict) else set()
    return found


@given(statements=st.lists(STATEMENTS, max_size=12))
def test_a_key_is_not_there_before_its_line_and_is_there_at_the_end_of_its_statement(
    statements: list[str],
) -> None:
    lines = "\n".join(statements).split("\n")
    whole = parsed(lines)
    assume(whole is not None)
    found = key_lines("\n".join(lines))
    assert found.keys() <= paths(whole)
    for path in paths(whole):
        line = line_of(path, found)
        end = next(n for n in range(line, len(lines) + 1) if parsed(lines[:n]) is not None)
        assert path not in paths(parsed(lines[: line - 1]))
        assert path in paths(parsed(lines[:end]))


def test_keys_of_a_table_in_braces_have_the_line_of_the_table() -> None:
    lines = key_lines("title = 'T'\n\nboard = { size = '16x20 in', fit = 'exact' }\n")
    assert lines == {"title": 1, "board": 3}
    assert line_of("board.fit", lines) == 3


def test_a_key_that_is_missing_has_the_line_of_its_heading() -> None:
    lines = key_lines("title = 'T'\n[[border]]\nleast = '1 in'\n[[border]]\n")
    assert [line_of(f"border[{n}].up_to", lines) for n in (1, 2)] == [2, 4]
    assert line_of("source", lines) == 1
