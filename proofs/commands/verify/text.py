"""A delivery read back, as text for a terminal and as a record.

Anybody may have written the texts in a delivery, so all of them are made safe to print.
"""

from collections.abc import Sequence

from proofs.commands.verify.run import FileVerified, Verified
from proofs.findings import Finding, Severity
from proofs.pages.columns import in_columns
from proofs.pages.wording import counted
from proofs.run.json_report import SCHEMA, JsonValue, findings_record
from proofs.run.printable import printable

_LONGEST_NAME = 200


def verified_lines(verified: Verified, *, in_full: bool = False) -> list[str]:
    """Return a line for each file, what needs a decision, and everything that differs.

    ``in_full`` states each point that a file meets instead.
    """
    if in_full:
        lines = [line for file in verified.files for line in _file_lines(file)]
    else:
        lines = _table(verified.files)
    places = [printable(d.where, most=_LONGEST_NAME) for d in verified.differences]
    wide = max(map(len, places), default=0)
    for place, difference in zip(places, verified.differences, strict=True):
        lines.append(f"DIFFERS  {place:<{wide}}  {printable(difference.message)}")
    count = len(verified.differences)
    result = counted(count, "difference") if count else "everything is as it was made"
    return [*lines, "", f"{counted(len(verified.files), 'file')} read; {result}"]


def verified_record(verified: Verified) -> dict[str, JsonValue]:
    """Return the same as a record."""
    record: dict[str, JsonValue] = {
        "schema": SCHEMA,
        "program": "proofs",
        "is_as_made": not verified.differences,
        "differences": [
            {"code": d.code, "where": d.where, "message": d.message} for d in verified.differences
        ],
        "files": [
            {
                "file": file.file,
                "entry": file.entry,
                "lab": findings_record(file.lab),
                "rules": findings_record(file.rules),
                "planned": findings_record(file.planned),
            }
            for file in verified.files
        ],
    }
    return {key: _printable_value(value) for key, value in record.items()}


def _printable_value(value: JsonValue) -> JsonValue:
    """The same value with all its texts safe to print."""
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, list):
        return [_printable_value(item) for item in value]
    if isinstance(value, dict):
        return {key: _printable_value(item) for key, item in value.items()}
    return value


def _table(files: Sequence[FileVerified]) -> list[str]:
    """A line for each file with the worst verdict of the lab's points, and of the rules."""
    rows = [
        (
            f"{printable(f.entry):>3}",
            printable(f.file),
            _worst(f.lab),
            _worst(f.rules),
            _worst(f.planned),
        )
        for f in files
    ]
    if not rows:
        return []
    head, *lines = in_columns([(" no", "file", "lab", "rules", "as planned"), *rows])
    table = [head]
    for file, line in zip(files, lines, strict=True):
        serious = [f for f in (*file.lab, *file.rules) if f.severity >= Severity.WARNING]
        table += [line, *_finding_lines("", serious)]
    return [*table, ""]


def _worst(findings: Sequence[Finding]) -> str:
    """The word of the worst finding; ``-`` if there is nothing to judge by."""
    return _word(max(findings, key=lambda f: f.severity)) if findings else "-"


def _file_lines(file: FileVerified) -> list[str]:
    lines = [f"{printable(file.entry):>4}  {printable(file.file)}"]
    lines += _finding_lines("lab", file.lab)
    lines += _finding_lines("rules", file.rules)
    planned = printable("; ".join(f"{f.code} {f.severity.word}" for f in file.planned))
    return [*lines, f"      {'planned':<8}{planned}", ""] if planned else [*lines, ""]


def _finding_lines(caption: str, findings: Sequence[Finding]) -> list[str]:
    """The findings one below the other, with one caption."""
    return [
        f"      {caption if not n else '':<8}{_word(f):<8} {printable(f.message)}"
        for n, f in enumerate(findings)
    ]


def _word(finding: Finding) -> str:
    return "ok" if finding.severity is Severity.MET else finding.severity.word
