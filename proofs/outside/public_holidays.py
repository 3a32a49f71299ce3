"""Public holidays, as the ``holidays`` library lists them."""

import datetime
import difflib
from collections.abc import Iterable
from dataclasses import replace
from importlib.metadata import version

from proofs.errors import ProfileError
from proofs.records.timetables import PublicHolidays, Timetable

_DAYS_A_WORKING_DAY = 8  # with a single working day a week, and holidays among them
_FIRST_YEAR = 1900  # the library goes back no further for many countries
_ENGLISH = ("en_GB", "en_US")  # otherwise as the country itself calls them


def refuse_unknown_place(public: PublicHolidays, where: str) -> None:
    """Raise ``ProfileError`` if the library has no such country, or no such part of it."""
    import holidays  # here, because only timetables need it, and it takes 0.1 s

    known = holidays.list_supported_countries()
    if public.country not in known:
        hint = _hint(public.country, known, "write its two letters of ISO 3166, such as 'GB'")
        raise ProfileError(f"{where}: country: {public.country!r} is not known; {hint}")
    parts = known[public.country]
    if public.subdivision and public.subdivision not in parts:
        few = f"they are {', '.join(sorted(parts))}" if parts else "the country has none"
        hint = _hint(public.subdivision, parts, few)
        raise ProfileError(f"{where}: subdivision: {public.subdivision!r} is not known; {hint}")


def _hint(text: str, known: Iterable[str], otherwise: str) -> str:
    near = difflib.get_close_matches(text.upper(), known, n=1)
    return f"did you mean {near[0]!r}?" if near else otherwise


def with_public_holidays(timetable: Timetable, day: datetime.date) -> Timetable:
    """Return the timetable with the public holidays around a day that it is counted from.

    They reach as far back and ahead as all its steps can. Raises ``ValueError`` for a place that
    ``refuse_unknown_place`` refuses.
    """
    public = timetable.work_days.public
    if public is None:
        return timetable
    import holidays

    reach = 1 + sum(timetable.working_days) * _DAYS_A_WORKING_DAY // 365
    first, last = max(day.year - reach, _FIRST_YEAR), min(day.year + reach, datetime.MAXYEAR - 1)
    languages = holidays.list_localized_countries().get(public.country, ())
    found = holidays.country_holidays(
        public.country,
        subdiv=public.subdivision or None,
        years=range(first, last + 1),
        expand=False,
        language=next((one for one in _ENGLISH if one in languages), None),
    )
    looked_up = replace(
        public,
        source=f"holidays {version('holidays')}",
        names={day: found[day] for day in sorted(found)},
    )
    return replace(timetable, work_days=replace(timetable.work_days, public=looked_up))
