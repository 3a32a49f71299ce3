"""The manual documents every command, option, column, key and code there is, and no others."""

import itertools
import re
import tomllib
from collections.abc import Callable, Iterable, Iterator
from importlib import metadata
from typing import Any, ClassVar
from unittest import mock

import click
import pytest
from packaging.markers import Marker
from packaging.requirements import Requirement

from proofs import __version__, errors
from proofs.cli.main import COMMANDS, cli
from proofs.commands.verify import parts, records
from proofs.findings import Severity, Status
from proofs.outside import delivery_source
from proofs.outside.manual import page, topics
from proofs.outside.pixels.metadata import credit
from proofs.outside.pixels.source import file_limits, file_parts, tiff_directories
from proofs.outside.profiles import MOST_PROFILE_BYTES, profile_folders
from proofs.pages.manual_text import WIDTH
from proofs.records import columns, dialects, entries, tables
from proofs.records.columns import COLUMNS
from proofs.records.cutters import read_cutter
from proofs.records.inspections import read_inspection
from proofs.records.job import DEFAULT_PROFILES, read_job_file
from proofs.records.label_sheets import read_label_sheet
from proofs.records.labs import read_lab
from proofs.records.lights import read_light
from proofs.records.mounts import read_mount
from proofs.records.papers import read_paper
from proofs.records.profile_kinds import KINDS
from proofs.records.ruler_readings import READING_COLUMNS
from proofs.records.rules import read_rules
from proofs.records.stock import read_stock
from proofs.records.tables import Table
from proofs.records.timetables import read_timetable
from tests.command import in_process, proofs
from tests.manual_pages import (
    CONTENTS,
    PAGES,
    README,
    ROOT,
    Block,
    blocks,
    bulleted,
    keys_of,
    page_text,
    section,
)

TOPICS = [topic.name for topic in topics()]
READERS: dict[str, Callable[[Table, str], Any]] = {
    "rules": read_rules,
    "mounts": read_mount,
    "papers": read_paper,
    "labs": read_lab,
    "cutters": read_cutter,
    "lights": read_light,
    "stock": read_stock,
    "timetables": read_timetable,
    "labels": read_label_sheet,
    "inspections": read_inspection,
}
CODES = [
    error.exit_code
    for error in vars(errors).values()
    if isinstance(error, type) and issubclass(error, errors.ProofsError)
]
CONTEXT = click.Context(cli)
PAGE_OF_COMMAND = {"manual": "README"}
"""The pages of commands that are no topic of their own name."""

MOST_WIDE = 100
LINK = re.compile(r"!?\[([^\]]+)\]\([^)]+\)")


def options_of(command: str) -> set[str]:
    """The long options of a command."""
    found = cli.get_command(CONTEXT, command)
    assert found
    return {o for p in params_of(found) if isinstance(p, click.Option) for o in p.opts}


def params_of(command: click.Command) -> Iterator[click.Parameter]:
    """The parameters of a command, and of all commands inside it."""
    yield from command.params
    for inside in command.commands.values() if isinstance(command, click.Group) else ():
        yield from params_of(inside)


def options_in(text: str) -> set[str]:
    """The options that bullets of a text open with."""
    return {word for word in bulleted(text) if word.startswith("--")}


def prose(text: str) -> str:
    """A page without its fenced blocks."""
    for block in reversed(blocks(text)):
        text = text[: block.start] + text[block.end :]
    return text


SHARED = options_in(section(page_text("job"), "Shared options"))
COMMANDS_THAT_SHARE = set(
    re.findall(r"`([a-z-]+)`", section(page_text("job"), "Shared options").split(" have ")[0])
)


class Recorder(Table):
    """A table that remembers every key that anyone asked for, in all of its parts."""

    asked: ClassVar[list[str]] = []

    def _take(self, key: str, instead: object = None) -> object:
        Recorder.asked.append(key)
        return super()._take(key, instead)


def keys_asked(kind: str) -> set[str]:
    Recorder.asked = []
    for name in profile_folders(None).names(kind):
        path = profile_folders(None).path(kind, name)
        READERS[kind](Recorder(tomllib.loads(path.read_text()), path.name), name)
    return set(Recorder.asked)


def paper_names() -> set[str]:
    """Return what our lab profiles call their papers: keys of a table, but no words of ours."""
    folders = profile_folders(None)
    return {paper for lab in folders.names("labs") for paper in folders.lab(lab).papers}


def test_the_contents_list_every_page_once() -> None:
    there = {path.stem for path in PAGES.glob("*.md")} - {"README"}
    assert sorted(TOPICS) == sorted(there)


@pytest.mark.parametrize("topic", TOPICS)
def test_a_page_opens_with_its_title_and_the_summary_of_the_contents(topic: str) -> None:
    title, _, summary, *_ = page_text(topic).splitlines()
    listed = re.search(rf"^- \[{topic}\]\({topic}\.md\): (.*)$", CONTENTS, re.M)
    assert title.startswith("# ")
    assert listed
    assert summary == listed[1]


@pytest.mark.parametrize("topic", TOPICS)
def test_a_page_fits_a_terminal(topic: str) -> None:
    text = page_text(topic)
    pictures = {line for line in text.splitlines() if line.startswith("![")}
    wide = [line for line in prose(text).splitlines() if len(line) > MOST_WIDE]
    assert set(wide) - pictures == set()


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_has_a_page_that_shows_how_it_is_typed(command: str) -> None:
    assert f"proofs {command}" in page_text(PAGE_OF_COMMAND.get(command, command))


@pytest.mark.parametrize("command", sorted(set(COMMANDS) - set(PAGE_OF_COMMAND)))
def test_a_page_lists_all_options_of_its_command_and_no_others(command: str) -> None:
    text = section(page_text(command), "Options")
    shares = command in COMMANDS_THAT_SHARE
    assert options_in(text) | (SHARED if shares else set()) == options_of(command)
    assert ("[shared options](job.md)" in text) == shares


def test_the_page_on_the_job_names_the_commands_that_share_its_options() -> None:
    assert {c for c in COMMANDS if options_of(c) >= SHARED} == COMMANDS_THAT_SHARE


def test_no_page_names_an_option_that_does_not_exist() -> None:
    there = {option for command in COMMANDS for option in options_of(command)} | {"--help"}
    texts = [README, *(page_text(topic) for topic in TOPICS if topic != "changes")]
    # A scheduler and its workers are programs of another package.
    own = [re.sub(r"^\.venv/bin/dask (.*\\\n)*.*$", "", text, flags=re.M) for text in texts]
    named = {o for text in own for o in re.findall(r"(?<![\w-])(--[a-z][a-z-]+)", text)}
    assert named - there == {"--version"}


def test_the_columns_of_the_entries_file_are_those_that_are_read() -> None:
    assert tuple(bulleted(section(page_text("entries"), "Columns"))) == COLUMNS


def test_the_columns_of_a_table_of_readings_are_those_that_are_read() -> None:
    text = section(page_text("arrived"), "Where the readings are kept")
    sentence = re.search(r"The columns are (.*?)\. ", text, re.S)
    assert sentence
    assert set(re.findall("`(.*?)`", sentence[1])) == set(READING_COLUMNS)


@pytest.mark.parametrize("kind", KINDS)
def test_the_page_of_a_kind_of_profile_lists_the_keys_that_are_read(kind: str) -> None:
    text = page_text(kind)
    tables = re.findall(r"^## `\[+([a-z_]+)\]+`$", text, re.M)
    assert {*tables, *bulleted(text)} == keys_asked(kind) - paper_names()


def test_the_page_on_the_job_lists_the_keys_of_the_job_file() -> None:
    Recorder.asked = []
    read_job_file(Recorder({}, "job.toml"))
    words = re.findall(
        r"`\[?([a-z_]+)\]?`", section(page_text("job"), "job.toml").split("keys:")[1]
    )
    assert set(words) - {"job"} == set(Recorder.asked)


def test_the_page_on_the_job_names_the_default_profiles() -> None:
    assert all(f"`{name}`" in page_text("job") for name in DEFAULT_PROFILES.values())


@pytest.mark.parametrize(
    "block",
    [b for topic in TOPICS for b in blocks(page_text(topic)) if b.language == "toml"],
    ids=lambda block: block.words or "an example",
)
def test_an_example_in_toml_can_be_read(block: Block) -> None:
    assert tomllib.loads(block.text)


def test_the_exit_codes_are_those_of_the_errors_and_of_a_broken_rule() -> None:
    listed = re.findall(r"^\| (\d+) \|", page_text("exit-codes"), re.M)
    assert {int(code) for code in listed} == {0, 1, 130, *CODES}


MEGA = 1_000_000
LIMITS = {
    f"at most {file_limits.MOST_MEGAPIXELS} megapixels",
    f"at most {file_limits.MOST_METADATA // MEGA} MB besides its pixels",
    f"at most {file_limits.MOST_LAYERS // MEGA} MB of layers",
    f"at most {file_limits.largest_source(0) // MEGA} MB larger",
    f"at most {file_limits.MOST_SCANS} scans",
    f"at most {file_parts.MOST_JPEG_SEGMENTS:,} segments",
    f"at most {file_parts.MOST_PNG_CHUNKS:,} chunks",
    f"at most {tiff_directories.MOST_DIRECTORIES} pages, with {tiff_directories.MOST_TAGS:,} tags",
    f"at most {credit.LARGEST_BLOCK // 1000} kB each",
    f"at most {entries.MOST_CHARACTERS} characters",
    f"column `notes` {entries.MOST_NOTES:,}",
    f"at most {dialects.MOST_TABLE_BYTES // MEGA} MB, {dialects.MOST_LINES:,} lines",
    f"and {columns.MOST_COLUMNS} columns",
    f"at most {MOST_PROFILE_BYTES // MEGA} MB",
    f"more than {tables.LONGEST.mm / 1000:.0f} m",
    f"at most {tables.LONGEST_BOARD.inches:.0f} in long",
    f"at most {delivery_source.MOST_NAMES:,} files",
    f"lists them in at most {delivery_source.LARGEST_DIRECTORY // MEGA} MB",
    f"at most {records.LARGEST_RECORD // MEGA} MB, the list of check sums"
    f" {parts.LARGEST_SUMS // MEGA} MB",
    f"{parts.LARGEST_OTHER // 10**9} GB",
}


@pytest.mark.parametrize("limit", sorted(LIMITS))
def test_the_page_on_limits_states_each_limit_as_it_is_enforced(limit: str) -> None:
    assert limit in " ".join(section(page_text("limits"), "The most that it reads").split())


@pytest.mark.parametrize("status", list(Status))
def test_every_status_is_named(status: str) -> None:
    assert f"`{status}`" in section(page_text("json-report"), "An entry")


@pytest.mark.parametrize("severity", list(Severity))
def test_every_severity_is_named(severity: Severity) -> None:
    assert f"`{severity.word}`" in section(page_text("json-report"), "A finding")


def test_the_changes_have_a_heading_for_this_version() -> None:
    assert f"## {__version__}\n" in page_text("changes")


def test_an_old_word_of_the_changes_appears_nowhere_else() -> None:
    rows = re.findall(r"^\| ([^|]+?) \| [^|]+ \|$", page_text("changes"), re.M)
    old = {word.strip() for row in rows[1:] for word in row.split(";")} | {"handoff", "slug"}
    texts = [prose(README), *(prose(page_text(t)) for t in TOPICS if t != "changes")]
    found = {word for word in old for text in texts if word.casefold() in text.casefold()}
    assert found == set()


def test_the_manual_without_a_topic_lists_all_topics_with_a_line_each() -> None:
    said = in_process("manual")
    assert said.code == 0
    assert all(f"  {t.name} " in said.out and t.summary in said.out for t in topics())
    assert max(map(len, said.out.splitlines())) <= MOST_WIDE


@pytest.mark.parametrize("topic", TOPICS)
def test_a_page_is_printed_whole_in_lines_that_fit_a_terminal(topic: str) -> None:
    said = in_process("manual", topic)
    assert (said.code, said.err) == (0, "")
    text = re.sub(r"^ *```.*$", "", LINK.sub(r"\1", page(topic)), flags=re.M)
    assert [word for word in re.findall(r"[^\W_]+", text) if word not in said.out] == []
    assert "](" not in said.out
    fenced = {line.strip() for b in blocks(page(topic)) for line in b.text.splitlines()}
    wide = {line.strip() for line in said.out.splitlines() if len(line) > WIDTH}
    assert wide - fenced == set()


def test_a_page_comes_out_of_a_pipe_without_a_pager() -> None:
    said = proofs("manual", "Verify")
    assert said.code == 0
    assert said.out.startswith("Verify\n======\n\nCheck that a delivery is still as it was made.\n")
    assert said.out.endswith(".\n")


def test_a_page_on_a_terminal_goes_through_the_pager() -> None:
    with mock.patch("click.echo_via_pager") as pager:
        said = in_process("manual", "verify")
    assert said.code == 0
    assert pager.call_args.args[0].startswith("Verify\n======\n")


@pytest.mark.parametrize(
    ("topic", "near"),
    [("verfy", "verify"), ("strips", "strip"), ("json", "json-report"), ("delivery", "deliver")],
)
def test_a_topic_that_does_not_exist_is_answered_with_names_that_are_near(
    topic: str, near: str
) -> None:
    said = in_process("manual", topic)
    assert said.code == 2
    assert repr(topic) in said.err
    assert near in said.err.split("did you mean")[1]


def test_a_topic_that_is_near_to_none_is_answered_with_where_to_look() -> None:
    said = in_process("manual", "xyzzy")
    assert said.code == 2
    assert "'proofs manual' lists the topics" in said.err


def test_keys_are_found_however_many_share_a_bullet() -> None:
    text = "- `a`: one\n- `b`, `c`,\n  `d e`: more `f`\n- plain `g`\n"
    assert bulleted(text) == ["a", "b", "c", "d"]
    assert keys_of("json-run", "proofs-run.json") == {
        "schema",
        "own",
        "files",
        "recipes",
        "results",
    }


def named_packages(heading: str) -> dict[str, str]:
    """The licence of each package in a table of the page on licences."""
    rows = re.findall(r"^\| ([^|]+) \| [^|]+ \| ([^|]+) \|$", section(LICENCES, heading), re.M)
    return {plain_name(package): licence for package, licence in rows[1:]}


def plain_name(package: str) -> str:
    return re.sub(r"[-_.]+", "-", package).lower()


def needed_by(package: str) -> set[str]:
    """The packages that one needs on any system, with the Pythons that the program runs on."""
    needs = [Requirement(need) for need in metadata.requires(package) or []]
    return {plain_name(need.name) for need in needs if need.marker is None or is_met(need.marker)}


def is_met(marker: Marker) -> bool:
    """Whether a condition on a need holds somewhere, without extras."""
    places = itertools.product(("3.11", "3.12", "3.13"), ("Linux", "Darwin", "Windows"))
    return any(
        marker.evaluate({"python_version": python, "platform_system": system, "extra": ""})
        for python, system in places
    )


def installed_families(package: str) -> set[str]:
    """The families of licences that an installed package states in its metadata."""
    held = metadata.metadata(package)
    said = [*(held.get_all("License-Expression") or [])]
    # Some put the whole text there, which names those of all parts.
    said += [words for words in held.get_all("License") or [] if "\n" not in words]
    said += [c for c in held.get_all("Classifier") or [] if c.startswith("License")]
    return families(" ".join(said).replace("Lesser General Public License", "LGPL"))


def families(words: str) -> set[str]:
    return {family for family in FAMILIES if re.search(rf"\b{family}", words)}


LICENCES = page_text("licences")
DIRECT, INDIRECT = named_packages("What `proofs` names"), named_packages("What those packages need")
CLUSTER = named_packages("What the extra `cluster` adds")
EVERY = {**DIRECT, **INDIRECT, **CLUSTER}
FAMILIES = ("LGPL", "GPL", "BSD", "MIT", "Apache", "PSF", "MPL", "Zlib", "CC0", "Unlicense")


def test_the_page_on_licences_names_what_the_project_asks_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = {plain_name(re.split(r"[\[<>=]", need)[0]) for need in project["dependencies"]}
    assert set(DIRECT) == asked


def installed(names: Iterable[str]) -> set[str]:
    return {name for name in names if list(metadata.Distribution.discover(name=name))}


def test_the_page_on_licences_names_all_that_those_packages_need() -> None:
    needed = {need for name in installed({*DIRECT, *INDIRECT}) for need in needed_by(name)}
    assert needed <= {*DIRECT, *INDIRECT}
    older = {"colorama", "six", "typing-extensions"}  # each needed by some versions only
    assert set(INDIRECT) - older <= needed


def test_the_page_on_licences_names_all_that_the_extra_for_a_cluster_brings() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    (asked,) = project["optional-dependencies"]["cluster"]
    named = plain_name(re.split(r"[\[<>=]", asked)[0])
    needed = {need for name in installed(CLUSTER) for need in needed_by(name)} | {named}
    assert needed <= EVERY.keys()
    assert CLUSTER.keys() <= needed


@pytest.mark.parametrize(
    ("package", "licence"),
    sorted((name, EVERY[name]) for name in installed(EVERY)),
)
def test_a_licence_is_of_the_family_that_the_installed_package_states(
    package: str, licence: str
) -> None:
    now, _, earlier = licence.partition("; earlier ")
    assert installed_families(package) in [families(now), families(earlier) or families(now)]
    assert families(now)


def test_all_that_is_needed_on_this_machine_is_installed_to_be_compared() -> None:
    assert installed({*DIRECT, *INDIRECT}) >= {*DIRECT, *INDIRECT} - {
        "colorama",
        "typing-extensions",
    }
