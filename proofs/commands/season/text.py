"""A season as text: the exhibitions, a table of all pictures, what they share, and a calendar."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from proofs.commands.season.run import Season
from proofs.densities import signed
from proofs.lengths import Size, Unit
from proofs.pages.columns import cut_to, display_width, filled, in_columns
from proofs.pages.wording import counted, in_words, with_weekday
from proofs.plan.bench.timetable import STEP_WORDS
from proofs.plan.season.exhibitions import (
    OPEN,
    Event,
    Exhibition,
    SeasonPicture,
    Showing,
    calendar,
    counted_results,
)
from proofs.plan.season.sharing import AlikeMounts, Reuse
from proofs.records.entries import EntryResult
from proofs.run.entry_table import shown_size
from proofs.run.printable import printable
from proofs.run.text_report import closing_line, first_few

_GAP, _INDENT, _ASSUMED = "  ", "      ", "*"
_LEAST_TITLE, _GOOD_TITLE, _MOST_NAME = 15, 24, 16  # columns
_HEAD = ("picture", "exhibition", "no", "verdict", "image", "step", "result")


def season_lines(season: Season, width: int) -> Iterator[str]:
    """Yield all that is to be said of a season, in lines that fit this width where they can."""
    sections = (
        ("", _exhibitions(season)),
        ("", _table(season, width)),
        ("one picture at several exhibitions", _reuses(season.reuses, width)),
        ("mounts that are cut alike", _alike(season.alike, width)),
        ("calendar", _calendar(season.exhibitions, width)),
        ("results", _results(season)),
    )
    for title, lines in sections:
        found = list(lines)
        if found:
            yield ""
            yield from [title] if title else []
            yield from found


def ending_lines(season: Season) -> list[str]:
    """Return why the program ends with the code of the season; nothing if all went well."""
    code, reasons = season.exit_code, []
    for one in season.exhibitions:
        _, _, reason = closing_line(one.outcomes, code).partition(": ")
        reasons += [f"{printable(one.name)}: {reason}"] if reason else []
    return ["", f"exit code {code}: {'; '.join(reasons)}"] if code else []


def _exhibitions(season: Season) -> Iterator[str]:
    yield from in_columns(
        [("exhibition", "entries", "closes", "away"), *map(_row, season.exhibitions)]
    )
    if any(one.away and one.away.is_assumed for one in season.exhibitions):
        yield f"{_ASSUMED} assumed: back {counted(season.away, 'day')} after the closing date"
        yield "  -> return_date in the rules profile, or --away"
    undated = [one.name for one in season.exhibitions if not one.schedule]
    if undated:
        yield f"no closing_date in the rules of: {first_few(map(printable, undated))}"


def _row(one: Exhibition) -> tuple[str, ...]:
    closes = in_words(one.schedule.closing) if one.schedule else "not known"
    away = "not known"
    if one.away:
        mark = f" {_ASSUMED}" if one.away.is_assumed else ""
        away = f"{in_words(one.away.first)} to {in_words(one.away.last)}{mark}"
    return _name(one), str(len(one.outcomes)), closes, away


def _name(one: Exhibition) -> str:
    return cut_to(printable(one.name), _MOST_NAME)


def _table(season: Season, width: int) -> Iterator[str]:
    """The table: a line for each picture at each exhibition, in both units if they fit."""
    first = season.exhibitions[0].unit
    both = first, Unit.MM if first == Unit.IN else Unit.IN
    rows = [_HEAD, *(row for picture in season.pictures for row in _rows(picture, both))]
    if _columns(rows, width) is None:
        rows = [_HEAD, *(row for picture in season.pictures for row in _rows(picture, (first,)))]
    middle = _middle(rows)
    title, result = _columns(rows, width) or _narrow(rows, width)
    for start, *cells, last in rows:
        shown = [filled(cut_to(start, title), title)]
        shown += [filled(cell, wide) for cell, wide in zip(cells, middle, strict=True)]
        yield _GAP.join([*shown, cut_to(last, result) if result else ""]).rstrip()


_Row = tuple[str, ...]


def _middle(rows: Sequence[_Row]) -> list[int]:
    """The widths of all columns but the first and the last."""
    return [max(display_width(row[n]) for row in rows) for n in range(1, len(_HEAD) - 1)]


def _room(rows: Sequence[_Row], width: int) -> int:
    return width - sum(_middle(rows)) - len(_GAP) * (len(_HEAD) - 1)


def _columns(rows: Sequence[_Row], width: int) -> tuple[int, int] | None:
    """The widths of the first and the last column; None if their words do not fit."""
    title, result = (max(display_width(row[n]) for row in rows) for n in (0, -1))
    room = _room(rows, width)
    title = min(title, max(room - result, 0))
    return (title, result) if title >= min(_GOOD_TITLE, _longest_title(rows)) else None


def _narrow(rows: Sequence[_Row], width: int) -> tuple[int, int]:
    """The same where titles and results are cut off."""
    room = _room(rows, width)
    title = min(_longest_title(rows), _LEAST_TITLE)
    return title, max(room - title, 0)


def _longest_title(rows: Sequence[_Row]) -> int:
    return max(display_width(row[0]) for row in rows)


def _rows(picture: SeasonPicture, units: Sequence[Unit]) -> Iterator[_Row]:
    for n, showing in enumerate(picture.showings):
        outcome, plan = showing.outcome, showing.outcome.plan
        image = plan.layout.pictures[showing.picture].image.size if plan else None
        chosen = plan.chosen if plan else None
        yield (
            "" if n else printable(picture.title),
            _name(showing.exhibition),
            printable(showing.number),
            outcome.status.words,
            _sizes(image, units) if image else "",
            f"{chosen.step} {signed(chosen.density)}" if chosen else "-",
            printable(_result(showing.result)),
        )


def _sizes(size: Size, units: Sequence[Unit]) -> str:
    first, *rest = (shown_size(size, unit) for unit in units)
    return first + "".join(f" ({text})" for text in rest)


def _result(result: EntryResult) -> str:
    return ", ".join(filter(None, (result.result, result.award)))


def _reuses(found: Sequence[Reuse], width: int) -> Iterator[str]:
    for one in found:
        title = printable(one.first.outcome.entry.title)
        yield from _wrapped(f"{title}: {_where(one.first)}, {_where(one.second)}", width, "  ")
        yield from _wrapped(_words(one), width, _INDENT)


def _wrapped(text: str, width: int, indent: str) -> list[str]:
    return textwrap.wrap(text, width, initial_indent=indent, subsequent_indent=_INDENT)


def _where(showing: Showing) -> str:
    return f"{printable(showing.exhibition.name)} {printable(showing.number)}"


def _words(one: Reuse) -> str:
    """What one print or mount can do for both, or that both need it at once."""
    if one.clash:
        first, last = one.clash
        kind = f"they differ in {_listed(one.print_differs)}" if one.print_differs else "alike"
        return f"clash: both need it from {in_words(first)} to {in_words(last)}: two prints, {kind}"
    if not one.has_dates:
        return f"whether they clash is not known, for lack of a closing date; {_print_words(one)}"
    if one.shares_mount and not one.is_open:
        return "one mount serves both, one after the other"
    return _print_words(one)


def _print_words(one: Reuse) -> str:
    if one.print_differs:
        return f"another print: it differs in {_listed(one.print_differs)}"
    mount = f", in another mount ({_listed(one.mount_differs)})" if one.mount_differs else ""
    what = "the print is alike" if mount else "print and mount are alike"
    condition = ", if the same step is chosen for both" if one.is_open else ""
    return f"{what}{mount}{condition}"


def _listed(words: Sequence[str]) -> str:
    return ", ".join(words[:-1]) + " and " + words[-1] if len(words) > 1 else "".join(words)


def _alike(found: Sequence[AlikeMounts], width: int) -> Iterator[str]:
    for one in found:
        unit = one.showings[0].exhibition.unit
        board = shown_size(one.plan.layout.board, unit)
        opening = shown_size(one.plan.layout.windows[0][0].back.size, unit)
        where = ", ".join(_where(showing) for showing in one.showings)
        entries = counted(len(one.showings), "entry", "entries")
        yield from _wrapped(f"board {board}, opening {opening}: {where}", width, "  ")
        yield f"{_INDENT}at most {counted(one.needed, 'mount')} away at once, for {entries}"


def _calendar(exhibitions: Sequence[Exhibition], width: int) -> Iterator[str]:
    rows = [
        (f"  {with_weekday(event.day)}", cut_to(printable(event.exhibition), _MOST_NAME), what)
        for event in calendar(exhibitions)
        for what in [_event(event, exhibitions)]
    ]
    yield from (cut_to(line, width) for line in (in_columns(rows) if rows else []))


def _event(event: Event, exhibitions: Iterable[Exhibition]) -> str:
    if event.step is not None:
        name, words = STEP_WORDS[event.step]
        return f"{name}: {words}"
    if event.what == "closes":
        return "CLOSES: last day of receipt"
    away = next(one.away for one in exhibitions if one.name == event.exhibition)
    return "back, as assumed" if away and away.is_assumed else "back"


def _results(season: Season) -> Iterator[str]:
    if not any(one.result or one.award for e in season.exhibitions for one in e.results):
        return
    for exhibition in season.exhibitions:
        yield f"  {printable(exhibition.name)}: {_summed(exhibition.results)}"
    for picture in season.pictures:
        results = [showing.result for showing in picture.showings]
        if any(one.result or one.award for one in results):
            yield f"  {printable(picture.title)}: {_summed(results)}"


def _summed(results: Sequence[EntryResult]) -> str:
    words, awards = counted_results(results)
    ordered = sorted(words.most_common(), key=lambda one: one[0] == OPEN)  # the open ones last
    parts = [", ".join(f"{n} {printable(word)}" for word, n in ordered)]
    if awards:
        listed = ", ".join(f"{n} {printable(word)}" for word, n in awards.most_common())
        parts.append(f"awards: {listed}")
    return "; ".join(parts)
