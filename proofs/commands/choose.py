"""The decision which step becomes the print, written into the one cell that it belongs to."""

import difflib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from proofs.densities import signed
from proofs.errors import EntriesError, UsageError
from proofs.plan.entry.planning import steps_of
from proofs.plan.tones.tone import Variant
from proofs.records.cells import CellError, clean_cell, read_chosen
from proofs.records.dialects import replace_cell
from proofs.records.entries import Entry, EntryTable, read_entries

Steps = Callable[[Entry], Sequence[Variant]]

_COLUMN = "chosen"


@dataclass(frozen=True, slots=True)
class Choice:
    """A step chosen for an entry: ``cell`` is what its row is to say, ``content`` the new file.

    ``before`` is the step that was chosen before, or None; where it is the same, however it
    is written, the file stays as it is.
    """

    entry: Entry
    step: Variant
    before: Variant | None
    cell: str
    content: bytes


def choose(raw: bytes, name: str, number: str, wish: str, *, steps: Steps = steps_of) -> Choice:
    """Return an entries file with a step chosen for the entry of this number.

    ``wish`` is a letter or a density, ``name`` the file's, for messages. Only that cell
    changes. Raises ``UsageError`` where there is no such entry or step, and ``EntriesError``
    where the file cannot take the choice.
    """
    table = read_entries(raw, name)
    if _COLUMN not in table.columns:
        raise EntriesError(
            f"{name}: has no column 'chosen' to write into; head one so in the spreadsheet,"
            " and save it"
        )
    column = table.columns.index(_COLUMN)
    entry = _usable(raw, name, column, _entry_numbered(table, number, name))
    try:
        there = steps(entry)
    except ValueError as error:
        raise UsageError(f"entry {entry.number}: {error}") from None
    step = _step(there, entry, wish)
    before = next((s for s in there if entry.chosen in (s.step, s.density)), None)
    cell = _cell(entry, step, wish, steps)
    if before == step:
        return Choice(entry, step, before, cell, raw)
    return Choice(entry, step, before, cell, _written(raw, name, column, entry, cell))


def choice_in_words(choice: Choice) -> str:
    """Return in a sentence what was decided, and what it replaces."""
    entry, step = choice.entry, choice.step
    how = (
        "with its tones as they are"
        if step.is_plain
        else f"{abs(step.density):.2f} D {'darker' if step.density > 0 else 'lighter'} in mid grey"
    )
    before = choice.before
    was = f"; it was {before.step} ({signed(before.density)})" if before else ""
    if before == step:
        was = ", as it was already"
    told = f"entry {entry.number}, {entry.title}: step {step.step} ({signed(step.density)})"
    return f"{told}, the print {how}{was}"


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
    shown = ", ".join(numbers[:12]) + (", ..." if len(numbers) > 12 else "")
    hint = f"did you mean {near[0]!r}?" if near else f"there are: {shown}"
    raise UsageError(f"{name}: has no entry {wanted!r}; {hint}")


def _usable(raw: bytes, name: str, column: int, entry: Entry) -> Entry:
    """The entry, also where nothing but the cell to be written cannot be understood."""
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
    assert entry.line is not None, "an entry of a file stands on a line"
    return replace_cell(raw, entry.line, column, cell, name=name)


def _step(there: Sequence[Variant], entry: Entry, wish: str) -> Variant:
    try:
        wanted = read_chosen(wish)
    except CellError as error:
        raise UsageError(str(error)) from None
    for step in there:
        if wanted in (step.step, step.density):
            return step
    known = ", ".join(f"{s.step} ({signed(s.density)})" for s in there)
    raise UsageError(f"entry {entry.number} has no step {wish!r}; its steps are {known}")


def _cell(entry: Entry, step: Variant, wish: str, steps: Steps) -> str:
    """What to write: a letter only where it goes on meaning the same step.

    The density that an entry chose is always one of its steps; with that gone from the cell,
    the letters behind it move up.
    """
    if read_chosen(wish) == step.step and step in steps(replace(entry, chosen=step.step)):
        return step.step
    text = signed(step.density)
    return text if read_chosen(text) == step.density else f"{step.density:+.4f}"
