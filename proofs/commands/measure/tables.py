"""The text of ``proofs measure`` for many files: one table for each subject."""

import textwrap
import unicodedata
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from proofs.commands.measure.text import COLOURS
from proofs.commands.measure.worker import MeasuredFile
from proofs.findings import Severity
from proofs.inspection.tone_figures import BARE_WHITE, ToneFigures
from proofs.plan.entry.facts import PhotoFacts
from proofs.records.job import Job
from proofs.run.printable import printable
from proofs.run.text_report import finding_lines

_NAME_MOST = 22  # so that the widest table keeps within 80 columns
_PROFILE_MOST = 28
_NONE = "-"
_WIDE = 80
_INDENT = " " * 17  # where finding_lines sets its words
_FILES = ("files", "kind", "bits", "colour", "profile")
_SIZES = ("sizes", "pixels", "ppi", "print size")
_DENSITIES = ("densities", "mean", "median", "lightest 1 %", "darkest 1 %", "blocked", "bare")


def table_lines(files: Sequence[MeasuredFile], job: Job) -> list[str]:
    """Return many files as one table per subject, followed by their findings."""
    names = _short_names(files)
    read = [(n, f, f.facts, f.tones) for n, f in zip(names, files, strict=True)]
    sights = [
        (n, f.outcome.status, str(f.outcome.plan.layout.pictures[0].sight.size))
        for n, f, _, _ in read
        if f.outcome.plan
    ]
    tables = (
        (_FILES, [(n, *_kind_row(facts)) for n, _, facts, _ in read if facts]),
        (_SIZES, [(n, *_size_row(f, facts)) for n, f, facts, _ in read if facts]),
        (_DENSITIES, [(n, *_tone_row(tones)) for n, _, _, tones in read if tones]),
        (("mounted", "verdict", "visible"), sights),
    )
    lines = [line for headings, rows in tables if rows for line in (*_table(headings, rows), "")]
    if lines:
        black = f"L* {job.paper.black_lightness:g}, the deepest black of {job.paper.title}"
        lines += [f"blocked: darker than {black}", f"bare: at L* {BARE_WHITE:g} or above"]
    lines += _findings(names, files)
    return lines


def _findings(names: Sequence[str], files: Sequence[MeasuredFile]) -> list[str]:
    """Each finding that is not met, listed once with the names of the files that have it."""
    names_of: dict[tuple[str, ...], list[str]] = {}
    found = [(f, n) for n, file in zip(names, files, strict=True) for f in file.outcome.findings]
    for finding, name in sorted(found, key=lambda pair: -pair[0].severity):
        if finding.severity > Severity.MET:
            names_of.setdefault(tuple(finding_lines(finding)), []).append(name)
    lines = []
    for words, having in names_of.items():
        unnamed = [name for name in having if not words[0].strip().startswith(f"{name}: ")]
        listed = textwrap.wrap(", ".join(unnamed), _WIDE - len(_INDENT))
        lines += ["", *words, *(_INDENT + line for line in listed)]
    return lines


def _kind_row(facts: PhotoFacts) -> tuple[str, ...]:
    profile = _shortened(printable(facts.profile or _NONE), _PROFILE_MOST)
    return facts.kind.upper(), f"{facts.bits}", COLOURS[facts.channels], profile


def _size_row(file: MeasuredFile, facts: PhotoFacts) -> tuple[str, ...]:
    pixels = str(facts.pixels).removesuffix(" px")
    return pixels, f"{file.ppi:g}" if file.ppi else _NONE, str(file.size or _NONE)


def _tone_row(tones: ToneFigures) -> tuple[str, ...]:
    densities = (tones.mean, tones.median, tones.lightest, tones.darkest)
    lost = (tones.blocked_share, tones.bare_share)
    return (*(f"{d:.2f}" for d in densities), *(f"{100 * share:.1f} %" for share in lost))


def _table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Rows set in columns; numbers are aligned to the right."""
    columns = list(zip(headings, *rows, strict=True))
    widths = [max(map(_width, column)) for column in columns]
    rights = [_holds_numbers(column[1:]) for column in columns]
    lines = []
    for row in (headings, *rows):
        cells = [
            " " * (w - _width(cell)) + cell if right else cell + " " * (w - _width(cell))
            for cell, w, right in zip(row, widths, rights, strict=True)
        ]
        lines.append("  ".join(cells).rstrip())
    return lines


def _holds_numbers(cells: Sequence[str]) -> bool:
    written = [cell.rstrip(" %").replace(".", "", 1) for cell in cells if cell != _NONE]
    return bool(written) and all(cell.isdigit() for cell in written)


def _width(text: str) -> int:
    """The number of columns that a text takes: East Asian characters take two."""
    return sum(2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def _short_names(files: Sequence[MeasuredFile]) -> list[str]:
    """Short names of files; those that share a name keep their folders."""
    counts = Counter(file.path.name for file in files)
    paths = [Path(f.path.name) if counts[f.path.name] == 1 else f.path for f in files]
    return [_shortened(printable(str(path)), _NAME_MOST) for path in paths]


def _shortened(text: str, most: int) -> str:
    """A text, shortened in the middle if it is too long: names differ at both ends."""
    if len(text) <= most:
        return text
    head = (most - 1) // 2
    return f"{text[:head]}…{text[head + 1 - most :]}"
