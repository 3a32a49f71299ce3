"""The choices of the steps that become prints, written into their cells of the entries file."""

import difflib
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from proofs.densities import signed
from proofs.errors import EntriesError, ProofsError, UsageError
from proofs.outside.files import newest_before, read_bytes, rewrite_keeping
from proofs.outside.locks import locked
from proofs.plan.entry.planning import follows_light, steps_of
from proofs.plan.tones.tone import Variant
from proofs.records.cells import CellError, clean_cell, read_chosen
from proofs.records.dialects import read_rows, replace_cell
from proofs.records.entries import Entry, EntryTable, read_entries
from proofs.run.text_report import first_few

_COLUMN = "chosen"


@dataclass(frozen=True, slots=True)
class Choice:
    """A step chosen for an entry: ``cell`` is the new text of its cell, ``content`` the new file.

    ``cell`` is the step's density, because a letter changes its meaning with the bracket.
    ``before`` is the step that was chosen before, or None. If the cell holds the density
    already, the file stays as it is, however the density is written there.
    """

    entry: Entry
    step: Variant
    before: Variant | None
    cell: str
    content: bytes


def choose(
    raw: bytes,
    name: str,
    number: str,
    wish: str,
    *,
    light_bracket: tuple[float, ...] | None = None,
) -> Choice:
    """Return an entries file with the density of a step written for the entry of this number.

    ``wish`` is a letter or a density; ``name`` is the file's, for messages. ``light_bracket``
    holds the densities that suit the judges' light, if one is named. Only that cell changes.
    Raises ``UsageError`` if there is no such entry or step, and ``EntriesError`` if the choice
    cannot be written into the file.
    """
    table = read_entries(raw, name)
    column = _column(table, name)
    entry = _usable(raw, name, column, _entry_numbered(table, number, name))
    try:
        planned = steps_of(entry, light_bracket)
    except ValueError as error:
        raise UsageError(f"entry {entry.number}: {error}") from None
    step = _step(planned, entry, wish)
    before = next((s for s in planned if entry.chosen in (s.step, s.density)), None)
    if isinstance(entry.chosen, str) and follows_light(entry, light_bracket):
        before = None  # in the light of that time the letter may have meant another step
    cell = _cell(step)
    if entry.chosen == step.density:
        return Choice(entry, step, before, cell, raw)
    return Choice(entry, step, before, cell, _written(raw, name, column, entry, cell))


def choose_all(
    raw: bytes,
    name: str,
    wishes: Sequence[tuple[str, str]],
    *,
    light_bracket: tuple[float, ...] | None = None,
) -> tuple[Choice, ...]:
    """Return the choice for each entry number and its wish; the last has the whole new file.

    Raises ``EntriesError`` with everything that is wrong with them; that of a single wish is
    raised as ``choose`` does.
    """
    made: list[Choice] = []
    faults: list[str] = []
    counts = Counter(clean_cell(number) for number, _ in wishes)
    faults += [f"entry {n} is named {count} times" for n, count in counts.items() if count > 1]
    for number, wish in wishes:
        try:
            choice = choose(raw, name, number, wish, light_bracket=light_bracket)
        except ProofsError as error:
            if len(wishes) == 1:
                raise
            faults.append(f"{number}={wish}: {error}")
        else:
            made.append(choice)
            raw = choice.content
    if faults:
        raise EntriesError(*faults, f"{name}: nothing was changed")
    return tuple(made)


def choose_in_file(
    path: Path,
    name: str,
    wishes: Sequence[tuple[str, str]],
    *,
    light_bracket: tuple[float, ...] | None = None,
) -> tuple[tuple[Choice, ...], str]:
    """Write choices into an entries file; return them, and the name of the earlier file.

    That name is blank if nothing changed. Otherwise as ``choose_all``.
    """
    with locked(path):
        raw = read_bytes(path)
        made = choose_all(raw, name, wishes, light_bracket=light_bracket)
        return made, _changed(path, raw, made[-1].content)


@dataclass(frozen=True, slots=True)
class Undone:
    """An entry whose cell ``chosen`` is again as it was; blank if no step was chosen."""

    number: str
    title: str
    chosen: str
    undone: str


def undo(raw: bytes, earlier: bytes, name: str, earlier_name: str) -> tuple[list[Undone], bytes]:
    """Return an entries file with the cells ``chosen`` of an earlier one, and what changed.

    Rows are the same if they have the same number; everything else stays as it is.
    Raises ``EntriesError`` if either is no entries file with that column.
    """
    before = {entry.number: cell for entry, cell in _chosen_cells(earlier, earlier_name)}
    undone: list[Undone] = []
    column = _column(read_entries(raw, name), name)
    for entry, cell in _chosen_cells(raw, name):
        again = before.get(entry.number, cell)
        if again != cell:
            raw = _written(raw, name, column, entry, again)
            undone.append(Undone(entry.number, entry.title, again.strip(), cell.strip()))
    return undone, raw


def undo_in_file(path: Path, name: str) -> tuple[list[Undone], str]:
    """Take the latest choices in an entries file back; otherwise as ``choose_in_file``.

    Raises ``EntriesError`` if no earlier file is kept next to it.
    """
    with locked(path):
        earlier = newest_before(path)
        if earlier is None:
            raise EntriesError(
                f"{name}: no earlier file is kept next to it, so there is no choice to take back"
            )
        raw = read_bytes(path)
        undone, content = undo(raw, read_bytes(earlier), name, earlier.name)
        return undone, _changed(path, raw, content)


def _changed(path: Path, raw: bytes, content: bytes) -> str:
    """Write a changed file; return the name of the earlier one, blank if nothing changed."""
    if content == raw:
        return ""
    return rewrite_keeping(path, content, raw).name


def undone_in_words(undone: Undone) -> str:
    """Return what was taken back as a sentence."""
    now = f"{undone.chosen} again" if undone.chosen else "not chosen, as before"
    return f"entry {undone.number}, {undone.title}: {now}; it was {undone.undone or 'not chosen'}"


def choice_in_words(choice: Choice) -> str:
    """Return the choice as a sentence, with the step that it replaces."""
    entry, step = choice.entry, choice.step
    way = "darker" if step.density > 0 else "lighter"
    tones = "tones as they are" if step.is_plain else f"{abs(step.density):.2f} D {way} at mid grey"
    before = choice.before
    was = f"; it was {before.words}" if before else ""
    if before == step:
        was = "; it was chosen already"
    return f"entry {entry.number}, {entry.title}: step {step.words}, {tones}{was}"


def _column(table: EntryTable, name: str) -> int:
    if _COLUMN not in table.columns:
        raise EntriesError(
            f"{name}: has no column 'chosen' to write into; add a column with that heading in the"
            " spreadsheet, and save it"
        )
    return table.columns.index(_COLUMN)


def _chosen_cells(raw: bytes, name: str) -> list[tuple[Entry, str]]:
    """Each entry of a file, with its cell ``chosen`` as it is written."""
    table = read_entries(raw, name)
    column, cells = _column(table, name), {row.line: row.cells for row in read_rows(raw, name)[1]}
    rows = [(entry, cells[entry.line]) for entry in table.entries if entry.line is not None]
    return [(entry, row[column] if column < len(row) else "") for entry, row in rows]


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
    known = ", ".join(s.words for s in planned)
    raise UsageError(f"entry {entry.number} has no step {wish!r}; its steps are {known}")


def _cell(step: Variant) -> str:
    """The density of a step, with as many decimals as it takes to be read as the same step."""
    text = signed(step.density)
    return text if read_chosen(text) == step.density else f"{step.density:+.4f}"
