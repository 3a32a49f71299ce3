"""A page of the manual on a terminal: what a browser would show, set in plain lines."""

from proofs.pages.manual_text import WIDTH, for_terminal


def test_a_long_paragraph_is_wrapped_and_loses_no_word() -> None:
    text = " ".join(f"word{n}" for n in range(60))
    lines = for_terminal(text).splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert " ".join(lines) == text


def test_an_item_hangs_under_its_first_word() -> None:
    item = "12. " + " ".join(["word"] * 30)
    first, second, *_ = for_terminal(item).splitlines()
    assert first.startswith("12. word")
    assert second.startswith("    word")


def test_an_item_inside_another_keeps_its_place() -> None:
    assert for_terminal("- one\n  - two") == "- one\n  - two"


def test_commands_and_their_output_stay_whole() -> None:
    long = "x" * 2 * WIDTH
    assert (
        for_terminal(f"```sh\nproofs check a\n\n{long}\n```") == f"    proofs check a\n\n    {long}"
    )


def test_a_block_inside_an_item_stays_where_it_is() -> None:
    assert for_terminal("1. Type:\n\n   ```sh\n   proofs check a\n   ```") == (
        "1. Type:\n\n   proofs check a"
    )


def test_a_table_is_set_in_columns_and_its_last_one_wrapped() -> None:
    told = " ".join(["word"] * 30)
    lines = for_terminal(f"| a | b |\n|---|---|\n| `x \\| y` | {told} |").splitlines()
    assert lines[0].split() == ["a", "b"]
    assert set(lines[1]) == {"-", " "}
    assert lines[2].startswith("`x | y`  word")
    assert lines[3].startswith("         word")
    assert max(map(len, lines)) <= WIDTH
    assert " ".join(lines[2:]).split().count("word") == 30


def test_a_link_to_a_page_becomes_the_command_that_shows_it() -> None:
    assert for_terminal("See [make](make.md), [the job](job.md#x) and [LICENSE](../LICENSE).") == (
        "See 'proofs manual make', the job ('proofs manual job') and LICENSE."
    )


def test_strong_words_are_plain_and_code_keeps_its_marks() -> None:
    assert for_terminal("**Take care** of `--out`.") == "Take care of `--out`."
