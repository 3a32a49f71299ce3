"""How counts, figures, days and boards are put into words on every page."""

import datetime

from proofs.lengths import NM_PER_MM, Length, millimetres

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August", "September"),
    *("October", "November", "December"),
)
_PLIES = {2: millimetres("0.7"), 4: millimetres("1.4"), 8: millimetres("2.8")}  # common practice
_PLY_OFF = NM_PER_MM // 20


def sentence(text: str) -> str:
    """Return a text with a capital at its start, unless that is the name of a file.

    >>> sentence("overlap 1/8 in"), sentence("pier.tif: cannot be read")
    ('Overlap 1/8 in', 'pier.tif: cannot be read')
    """
    first = text.partition(" ")[0]
    return text[:1].upper() + text[1:] if first.rstrip(",;:").isalpha() else text


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun; without ``many`` the plural ends in "s".

    >>> counted(1, "entry", "entries"), counted(3, "sheet")
    ('1 entry', '3 sheets')
    """
    return f"{number} {one if number == 1 else many or f'{one}s'}"


def megabytes(count: int) -> str:
    """Return a number of bytes in megabytes of a million, rounded up to what a disk will show.

    >>> megabytes(83_100_000), megabytes(2_310_000), megabytes(900)
    ('84 MB', '2.4 MB', '0.1 MB')
    """
    tenths = -(-count // 100_000)
    return f"{tenths / 10:g} MB" if tenths < 100 else f"{-(-count // 1_000_000)} MB"


def typeset(figures: str) -> str:
    """Return figures with a true minus sign, and with a blank before a percent sign.

    >>> typeset("-0.10 D, 7.1%")
    '−0.10 D, 7.1 %'
    """
    return figures.replace("-", "−").replace("%", " %")


def in_words(day: datetime.date) -> str:
    """Return a date with its month in words, the same in every locale.

    >>> in_words(datetime.date(2026, 6, 1))
    '1 June 2026'
    """
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_weekday(number: int) -> str:
    """Return the short name of a day of the week, counted from Monday as 0."""
    return _WEEKDAYS[number]


def with_weekday(day: datetime.date) -> str:
    """Return a date with its day of the week.

    >>> with_weekday(datetime.date(2026, 10, 16))
    'Fri 16 October 2026'
    """
    return f"{_WEEKDAYS[day.weekday()]} {in_words(day)}"


def board_thickness(thickness: Length) -> str:
    """Return how thick a board is, in plies if it is sold by them.

    The nominal thickness of a ply is common practice, no source.

    >>> board_thickness(millimetres("1.4")), board_thickness(millimetres(5))
    ('4-ply (1.4 mm)', '0.2 in (5 mm)')
    """
    for plies, nominal in _PLIES.items():
        if abs(thickness.nm - nominal.nm) <= _PLY_OFF:
            return f"{plies}-ply ({round(thickness.mm, 2):g} mm)"
    return str(thickness)


def mat_name(place: int, count: int) -> str:
    """Return what a mat is called among the ``count`` mats of its mount, the top one first.

    >>> mat_name(0, 1), mat_name(0, 2), mat_name(1, 2), mat_name(1, 3), mat_name(2, 3)
    ('mat', 'top mat', 'bottom mat', 'middle mat', 'bottom mat')
    """
    if count == 1:
        return "mat"
    if place == 0:
        return "top mat"
    if place == count - 1:
        return "bottom mat"
    return "middle mat" if count == 3 else f"middle mat {place}"
