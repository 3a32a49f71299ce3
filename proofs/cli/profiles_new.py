"""``proofs profiles new``."""

import sys
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import profiles_of_user, refuse_undecodable
from proofs.cli.output import print_lines
from proofs.commands.profiles.new import RULES_WIN, new_profile, path_in, write_profile
from proofs.errors import UsageError
from proofs.outside.files import is_folder
from proofs.outside.profiles import Origin, OwnFolders, ProfileFolders
from proofs.records.questionnaires.kinds import NOTHING, QUESTIONS, Draft
from proofs.records.questionnaires.printing import ICC_KEY
from proofs.records.questionnaires.question import Question, shown
from proofs.run.inputs import ProfileNames, job_source

_USED_BY = {
    "rules": "check ENTRIES --rules",
    "mounts": "check ENTRIES --mount",
    "papers": "check ENTRIES --paper",
    "labs": "check ENTRIES --lab",
    "cutters": "check ENTRIES --cutter",
    "lights": "check ENTRIES --light",
    "timetables": "mount ENTRIES --out DIR --timetable",
}
_HOW = (
    f"Enter takes the answer in brackets; {NOTHING} leaves a key out. Nothing is written before the"
    " last answer."
)


@click.group(short_help="Write a profile of your own, from answers to questions.")
def new() -> None:
    """Write a profile of your own, from answers to a few questions.

    Each answer can be given as an option. What is left is asked; where nobody can be asked, it
    takes its default. A file that is there is never replaced.
    """


def _command_of(kind: str) -> click.Command:
    """The command that writes profiles of a kind, with an option for each question."""

    def run(name: str, **options: Any) -> None:
        refuse_undecodable({"name": name, **options})
        _write(kind, name, options)

    return click.Command(
        kind,
        callback=run,
        params=[click.Argument(["name"]), *_shared(kind), *map(_option, QUESTIONS[kind])],
        short_help=f"Write profiles/{kind}/NAME.toml.",
        help=f"Write profiles/{kind}/NAME.toml beside the entries, and read it back."
        f"\n\nThe answer {NOTHING!r} leaves a key out.",
    )


def _shared(kind: str) -> list[click.Parameter]:
    """The options that are no answers."""
    folder = click.Path(path_type=Path, file_okay=False)
    file = click.Path(path_type=Path, exists=True, dir_okay=False)
    options = [
        click.Option(["--from", "like"], default="", metavar="NAME", help="Start from a profile."),
        click.Option(["--profiles"], type=folder, help="Write into this folder of profiles."),
        click.Option(
            ["--yours"], is_flag=True, help="Write into your own folder, for all exhibitions."
        ),
        click.Option(["--defaults"], is_flag=True, help="Ask nothing: take the defaults."),
    ]
    if kind == "labs":
        icc = click.Option(["--icc"], type=file, help="ICC profile, to be copied beside the file.")
        options.append(icc)
    return [*options]


def _option(question: Question) -> click.Option:
    among = f" One of: {', '.join(question.choices)}." if question.choices else ""
    default = f"  [default: {question.default}]" if question.default else ""
    return click.Option([question.option], metavar="ANSWER", help=question.words + among + default)


def _write(kind: str, name: str, options: Mapping[str, Any]) -> None:
    folders, folder = _folders(options["profiles"], of_user=options["yours"])
    icc, like = options.get("icc"), options["like"]
    profile = new_profile(kind, path_in(folder, kind, name), icc, folders, like)
    given = {q.key: options[q.option[2:].replace("-", "_")] for q in QUESTIONS[kind]}
    if given.get(ICC_KEY) is not None:
        if icc:
            raise UsageError("--colour-profile and --icc exclude each other; give one")
        profile = replace(profile, icc=None)  # not that of the profile it starts from
    is_asked = sys.stdin.isatty() and not options["defaults"]
    print_lines([*([RULES_WIN] if kind == "rules" else []), *([_HOW] if is_asked else [])])
    draft = profile.draft()
    for question in profile.questions:
        if not question.applies(draft.values):
            draft = draft.left_out(question)
        elif given[question.key] is not None or not is_asked:
            draft = _taken(draft, question, given[question.key] or "")
        else:
            draft = _asked(draft, question)
    files = write_profile(profile, draft)
    print_lines([f"{path}: written, and read back" for path in files])
    print_lines([f"to use it: proofs {_USED_BY[kind]} {name}"])


def _folders(named: Path | None, *, of_user: bool) -> tuple[ProfileFolders, Path]:
    """The folders that profiles are found in, and the one to write to."""
    if named and of_user:
        raise UsageError("--profiles and --yours exclude each other; give one")
    own = OwnFolders(named if named and is_folder(named) else None, profiles_of_user())
    folders = job_source(ProfileNames(profiles=own), Path()).folders
    here = dict(folders.origins).get(Origin.HERE, Path("profiles"))
    return folders, profiles_of_user() if of_user else named or here


def _taken(draft: Draft, question: Question, typed: str) -> Draft:
    """The draft with the answer of an option, or with what is proposed."""
    try:
        return draft.answered(question, typed)
    except ValueError as error:
        raise UsageError(f"{question.option}: {error}") from None


def _asked(draft: Draft, question: Question) -> Draft:
    """The draft with an answer from the terminal; asks again until there is one that will do."""
    proposed = shown(draft.proposed(question))
    among = f"one of {', '.join(question.choices)}" if question.choices else ""
    example = among or f"for example {question.example}"
    print_lines(["", question.words, f"  {example}"])
    while True:
        print_lines([f"  [{proposed}]"] if proposed else [])
        typed = click.prompt(" ", default="", show_default=False, prompt_suffix="> ")
        try:
            return draft.answered(question, typed)
        except ValueError as error:
            print_lines([f"  {error}"])


for _kind in QUESTIONS:
    new.add_command(_command_of(_kind))
