"""A delivery read back, as text for a terminal and as a record."""

from collections.abc import Sequence

from proofs.commands.verify.run import FileVerified, Verified
from proofs.findings import Finding, Severity
from proofs.run.json_report import SCHEMA, JsonValue, finding_record


def verified_lines(verified: Verified) -> list[str]:
    """Return what each file meets, and everything that differs."""
    lines = [line for file in verified.files for line in _file_lines(file)]
    wide = max((len(d.where) for d in verified.differences), default=0)
    lines += [f"DIFFERS  {d.where:<{wide}}  {d.message}" for d in verified.differences]
    count, files = len(verified.differences), len(verified.files)
    told = f"{files} file{'s' * (files != 1)} read"
    if count:
        return [*lines, "", f"{told}; {count} thing{'s' * (count != 1)} not as it was made"]
    return [*lines, "", f"{told}; everything is as it was made"]


def verified_record(verified: Verified) -> dict[str, JsonValue]:
    """Return the same as a record."""
    return {
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
                "lab": [finding_record(finding) for finding in file.lab],
                "rules": [finding_record(finding) for finding in file.rules],
                "planned": [finding_record(finding) for finding in file.planned],
            }
            for file in verified.files
        ],
    }


def _file_lines(file: FileVerified) -> list[str]:
    lines = [f"{file.entry:>4}  {file.file}"]
    lines += _told("lab", file.lab)
    lines += _told("rules", file.rules)
    planned = "; ".join(f"{f.code} {f.severity.word}" for f in file.planned)
    return [*lines, f"      {'planned':<8}{planned}", ""] if planned else [*lines, ""]


def _told(head: str, findings: Sequence[Finding]) -> list[str]:
    """The findings one below the other under one head."""
    return [
        f"      {head if not n else '':<8}{_word(f):<8} {f.message}" for n, f in enumerate(findings)
    ]


def _word(finding: Finding) -> str:
    return "ok" if finding.severity is Severity.MET else finding.severity.word
