"""The choice of the step that becomes the print, written into its cell of the entries file."""

import difflib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.densities import signed
from proofs.errors import EntriesError, UsageError
from proofs.outside.files import keep_before, read_bytes, refuse_read_only, rewrite
from proofs.outside.locks import locked
from proofs.plan.entry.planning import steps_of
from proofs.plan.tones.tone import Variant
from proofs.records.cells import CellError, clean_cell, read_chosen
from proofs.records.dialects import replace_cell
from proofs.records.entries import Entry, EntryTable, read_entries
from proofs.run.text_report import first_few

Steps = Callable[[Entry], Sequence[Variant]]

_COLUMN = "chosen"


@dataclass(frozen=True, slots=True)
class Choice:
    """A step chosen for an entry: ``cell`` is the new text of its cell, ``content`` the new file.

    ``before`` is the step that was chosen before, or None. If it is the same step, the file
    stays as it is, however the step is written there.
    """

    entry: Entry
    step: Variant
    before: Variant | None
    cell: str
    content: bytes


def choose(raw: bytes, name: str, number: str, wish: str, *, steps: Steps = steps_of) -> Choice:
    """Return an entries file with a step chosen for the entry of this number.

    ``wish`` is a letter or a density; ``name`` is the file's, for messages. Only that cell
    changes. Raises ``UsageError`` if there is no such entry or step, and ``EntriesError`` if
    the choice cannot be written into the file.
    """
    table = read_entries(raw, name)
    if _COLUMN not in table.columns:
        raise EntriesError(
            f"{name}: has no column 'chosen' to write into; add a column with that heading in the"
            " spreadsheet, and save it"
        )
    column = table.columns.index(_COLUMN)
    entry = _usable(raw, name, column, _entry_numbered(table, number, name))
    try:
        planned = steps(entry)
    except ValueError as error:
        raise UsageError(f"entry {entry.number}: {error}") from None
    step = _step(planned, entry, wish)
    before = next((s for s in planned if entry.chosen in (s.step, s.density)), None)
    cell = _cell(entry, step, wish, steps)
    if before == step:
        return Choice(entry, step, before, cell, raw)
    return Choice(entry, step, before, cell, _written(raw, name, column, entry, cell))


def choose_in_file(
    path: Path, name: str, number: str, wish: str, *, steps: Steps
) -> tuple[Choice, str]:
    """Write a choice into an entries file; return it, and the name of the earlier file.

    That name is blank if nothing changed. Otherwise as ``choose``.
    """
    with locked(path):
        raw = read_bytes(path)
        choice = choose(raw, name, number, wish, steps=steps)
        if choice.content == raw:
            return choice, ""
        refuse_read_only(path)
        kept = keep_before(path, raw)
        rewrite(path, choice.content)
        return choice, kept.name


def choice_in_words(choice: Choice) -> str:
    """Return the choice as a sentence, with the step that it replaces."""
    entry, step = choice.entry, choice.step
    way = "darker" if step.density > 0 else "lighter"
    tones = "tones as they are" if step.is_plain else f"{abs(step.density):.2f} D {way} at mid grey"
    before = choice.before
    was = f"; it was {before.step} ({signed(before.density)})" if before else ""
    if before == step:
        was = "; it was chosen already"
    chosen = f"entry {entry.number}, {entry.title}: step {step.step} ({signed(step.density)})"
    return f"{chosen}, {tones}{was}"


def _entry_numbered(table: EntryTable, number: str, name: str) -> Entry:
    wanted = clean_cell(number)
    found = [entry for entry in table.entries if entry.number == wanted]
    if len(found) > 1:
        lines = " and ".join(str(entry.line) for entry in found)
        raise EntriesError(
            f"{name}: lines {lines} both have the number {wanted!r}; give each row its own"
        )
    if found:
        return found[0]
    numbers = [entry.number for entry in table.entries]
    near = difflib.get_close_matches(wanted, numbers, n=1)
    hint = f"did you mean {near[0]!r}?" if near else f"the entries are: {first_few(numbers)}"
    raise UsageError(f"{name}: has no entry {wanted!r}; {hint}")


def _usable(raw: bytes, name: str, column: int, entry: Entry) -> Entry:
    """The entry; a fault in the cell that is to be written does not matter."""
    if not entry.faults:
        return entry
    blank = _written(raw, name, column, entry, "")
    again = next(e for e in read_entries(blank, name).entries if e.line == entry.line)
    if again.faults:
        fault = again.faults[0]
        remedy = f"; {fault.remedy}" if fault.remedy else ""
        raise EntriesError(f"{name}: {fault.message}{remedy}, then choose")
    return again


def _written(raw: bytes, name: str, column: int, entry: Entry, cell: str) -> bytes:
    assert entry.line is not None, "an entry of a file has a line"
    return replace_cell(raw, entry.line, column, cell, name=name)


def _step(planned: Sequence[Variant], entry: Entry, wish: str) -> Variant:
    try:
        wanted = read_chosen(wish)
    except CellError as error:
        raise UsageError(str(error)) from None
    for step in planned:
        if wanted in (step.step, step.density):
            return step
    known = ", ".join(f"{s.step} ({signed(s.density)})" for s in planned)
    raise UsageError(f"entry {entry.number} has no step {wish!r}; its steps are {known}")


def _cell(entry: Entry, step: Variant, wish: str, steps: Steps) -> str:
    """What to write: a letter only if it will go on meaning the same step, else the density.

    A chosen density is always one of the entry's steps. Once it is gone from the cell, the
    letters of the steps after it change.
    """
    if read_chosen(wish) == step.step and step in steps(replace(entry, chosen=step.step)):
        return step.step
    text = signed(step.density)
    return text if read_chosen(text) == step.density else f"{step.density:+.4f}"
