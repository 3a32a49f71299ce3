"""A season as a JSON record, for ``proofs season --json``.

Documented in the manual under ``json-season``. Lengths are in mm to six decimals, days as in
ISO 8601.
"""

import datetime
from collections.abc import Iterable

from proofs.commands.season.run import Season
from proofs.plan.season.exhibitions import (
    Exhibition,
    SeasonPicture,
    Showing,
    calendar,
    counted_results,
)
from proofs.plan.season.sharing import AlikeMounts, Reuse
from proofs.records.entries import EntryResult
from proofs.run.json_report import JsonValue, record_head, size_record

SCHEMA = 1


def season_record(season: Season) -> dict[str, JsonValue]:
    """Return the whole record."""
    return {
        **record_head(),
        "schema": SCHEMA,
        "away_days_assumed": season.away,
        "exhibitions": [_exhibition(one) for one in season.exhibitions],
        "pictures": [_picture(picture) for picture in season.pictures],
        "shared": [_reuse(one) for one in season.reuses],
        "mounts_alike": [_alike(one) for one in season.alike],
        "calendar": [
            {
                "day": event.day.isoformat(),
                "exhibition": event.exhibition,
                "what": event.what,
                "step": event.step,
            }
            for event in calendar(season.exhibitions)
        ],
    }


def _exhibition(one: Exhibition) -> dict[str, JsonValue]:
    away = one.away
    return {
        "name": one.name,
        "title": one.title,
        "entries": len(one.outcomes),
        "closing_date": _day(one.schedule.closing if one.schedule else None),
        "away_from": _day(away.first if away else None),
        "away_to": _day(away.last if away else None),
        "away_is_assumed": away.is_assumed if away else None,
        **_summed(one.results),
    }


def _picture(picture: SeasonPicture) -> dict[str, JsonValue]:
    return {
        "title": picture.title,
        "file": picture.file,
        "shown": [_showing(showing) for showing in picture.showings],
        **_summed(showing.result for showing in picture.showings),
    }


def _showing(showing: Showing) -> dict[str, JsonValue]:
    plan = showing.outcome.plan
    picture = plan.layout.pictures[showing.picture] if plan else None
    chosen = plan.chosen if plan else None
    return {
        **_place(showing),
        "title": showing.outcome.entry.title,
        "status": showing.outcome.status,
        "image_mm": size_record(picture.image.size if picture else None),
        "sight_size_mm": size_record(picture.sight.size if picture else None),
        "board_mm": size_record(plan.layout.board if plan else None),
        "paper": plan.paper_words if plan else None,
        "density": chosen.density if chosen else None,
        "result": showing.result.result or None,
        "award": showing.result.award or None,
    }


def _place(showing: Showing) -> dict[str, JsonValue]:
    return {
        "exhibition": showing.exhibition.name,
        "number": showing.outcome.entry.number,
        "picture": showing.picture + 1,
    }


def _reuse(one: Reuse) -> dict[str, JsonValue]:
    return {
        "first": _place(one.first),
        "second": _place(one.second),
        "print_differs": list(one.print_differs),
        "mount_differs": list(one.mount_differs),
        "step_is_open": one.is_open,
        "shares_print": one.shares_print,
        "shares_mount": one.shares_mount,
        "clash_from": _day(one.clash[0] if one.clash else None),
        "clash_to": _day(one.clash[1] if one.clash else None),
        "has_dates": one.has_dates,
    }


def _alike(one: AlikeMounts) -> dict[str, JsonValue]:
    return {
        "board_mm": size_record(one.plan.layout.board),
        "back_opening_mm": size_record(one.plan.layout.windows[0][0].back.size),
        "entries": [_place(showing) for showing in one.showings],
        "away_at_once": one.needed,
    }


def _summed(results: Iterable[EntryResult]) -> dict[str, JsonValue]:
    words, awards = counted_results(results)
    return {"results": dict(words), "awards": dict(awards)}


def _day(day: datetime.date | None) -> str | None:
    return day.isoformat() if day else None
