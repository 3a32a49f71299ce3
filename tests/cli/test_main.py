"""The program as a whole: what it says of its commands."""

import re

from proofs.cli.main import COMMANDS
from tests.command import in_process, proofs
from tests.test_floors import PROGRAM


def test_the_help_lists_all_commands_in_the_order_of_the_work() -> None:
    listed = in_process("--help").out.split("Commands:")[1]
    assert tuple(re.findall(r"^  ([a-z-]+)  ", listed, re.M)) == COMMANDS


def test_every_module_of_a_command_is_a_command() -> None:
    modules = {path.stem for path in (PROGRAM / "cli").glob("*.py")}
    commands = {name.replace("-", "_") for name in COMMANDS}
    shared = {"__init__", "main", "options", "output", "entry_lines", "progress"}
    inside = {"profiles_new"}  # a command of a command
    assert modules - commands == shared | inside


def test_a_command_that_is_not_there_is_told_by_its_name() -> None:
    said = proofs("prints")
    assert said.code == 2
    assert "No such command 'prints'" in said.err
