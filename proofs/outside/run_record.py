"""The record of a run folder, and the journal of a run that has not ended.

The record lists the files that runs made, with their digests, the recipe keys of those that have
one, and the figures that were measured while they were made. The journal holds the same of the
run under way, line by line, because the record is only written at the beginning and in the end.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import append_line, is_there, read_bytes, write_whole

RECORD = "proofs-run.json"
JOURNAL = "proofs-run.journal"

_SCHEMA = 1
_MOST_BYTES = 500_000_000

Results = Mapping[str, object]
"""Figures as JSON holds them, by the key of what they were measured in."""

_NONE: Results = {}


@dataclass(frozen=True, slots=True)
class RunRecord:
    """What runs made in a folder.

    ``files`` holds the SHA-256 digests that each file may have, each with its recipe key, which
    may be blank; an empty digest means any content. ``own`` is the file that identifies the
    command of the last run, even if it was not made; blank for a run of an earlier version.
    """

    own: str = ""
    files: dict[str, dict[str, str]] = field(default_factory=dict)
    results: dict[str, object] = field(default_factory=dict)


def read_run_record(folder: Path) -> RunRecord:
    """Return the record of a folder, with what the journal adds. Raises ``WriteError``."""
    record = _read_record(folder / RECORD)
    for line in _lines_of(folder / JOURNAL):
        _add(record, line, folder / JOURNAL)
    return record


def write_run_record(
    folder: Path, own: str, files: Mapping[str, str], recipes: Mapping[str, str], results: Results
) -> None:
    """Write the record of a folder, unless that is what it says: a digest and a key by name."""
    keys = {name: key for name, key in recipes.items() if key and name in files}
    parts = (f'"own": {_text(own)}', _table("files", files), _table("recipes", keys))
    text = ",\n ".join((f'{{\n "schema": {_SCHEMA}', *parts, _table("results", results)))
    content = f"{text}\n}}\n".encode("utf-8", "backslashreplace")
    if not is_there(folder / RECORD) or (folder / RECORD).read_bytes() != content:
        write_whole(folder / RECORD, content)


def append_to_journal(
    folder: Path, files: Mapping[str, str], recipes: Mapping[str, str], results: Results = _NONE
) -> None:
    """Note files by their digests before they get their names; it is on the disk then."""
    lines = [json.dumps([name, sha256, recipes.get(name, "")]) for name, sha256 in files.items()]
    lines += [json.dumps({key: value}) for key, value in results.items()]
    if lines:  # all at once: each wait for the disk costs as much as a small file
        append_line(folder / JOURNAL, "\n".join(lines))


def _table(name: str, values: Mapping[str, object]) -> str:
    """A table with a line for each value."""
    lines = [f"  {_text(key)}: {_text(value)}" for key, value in sorted(values.items())]
    inside = ",\n".join(lines)
    return f'"{name}": {{\n{inside}\n }}' if lines else f'"{name}": {{}}'


def _text(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def _read_record(record: Path) -> RunRecord:
    try:
        content = json.loads(record.read_bytes())
        keys = _texts(content.get("recipes"))
        files = {
            str(name): {str(digest): keys.get(name, "")}
            for name, digest in content["files"].items()
        }
        results = content.get("results")
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise WriteError(f"{record}: is damaged; name a new folder for --out") from None
    for name in files:
        _refuse_senseless(record, name)
    own = str(content.get("own", ""))
    return RunRecord(own, files, dict(results) if isinstance(results, dict) else {})


def _texts(value: object) -> dict[str, str]:
    """The recipe keys of a record; one that is no text is as good as none."""
    pairs = value.items() if isinstance(value, dict) else ()
    return {name: key for name, key in pairs if isinstance(key, str)}


def _add(record: RunRecord, line: object, journal: Path) -> None:
    if isinstance(line, dict):
        record.results.update(line)
        return
    name, sha256, key = line if isinstance(line, list) else ("", "", "")
    _refuse_senseless(journal, name)
    record.files.setdefault(name, {})[sha256] = key


def _lines_of(journal: Path) -> Iterator[object]:
    """Each line of a run that was cut short; the last one may be half written."""
    if not is_there(journal):
        return
    for text in read_bytes(journal, error=WriteError, most=_MOST_BYTES).splitlines():
        try:
            line = json.loads(text)
        except (ValueError, TypeError, RecursionError):
            return
        if isinstance(line, list) and len(line) == 2:
            line = [*line, ""]  # by an earlier version
        is_pair = isinstance(line, list) and len(line) == 3
        if not isinstance(line, dict) and not (is_pair and all(map(_is_text, line))):
            return
        yield line


def _is_text(value: object) -> bool:
    return isinstance(value, str)


def _refuse_senseless(record: Path, name: str) -> None:
    """Raise ``WriteError`` for a name that no run can have recorded."""
    try:
        (record.parent / name).is_file()
    except OSError:  # a name that is too long for the system
        raise WriteError(f"{record}: is damaged; name a new folder for --out") from None
    parts = Path(name).parts
    if Path(name).is_absolute() or ".." in parts or not parts or "\0" in name:
        raise WriteError(f"{record}: names {name!r}, outside its folder; name a new --out")
