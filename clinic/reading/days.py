"""Reads a day: ISO alone, because 03/04/2025 is two days."""

from __future__ import annotations

import re
from datetime import date

from clinic.columns import Column
from clinic.reading.faults import CellFault
from clinic.reading.limits import EARLIEST_YEAR
from clinic.reading.words import MONTHS, day_text

ISO_DAY = re.compile(r"(\d{4})-(\d\d)-(\d\d)", re.ASCII)
_NUMBERS = re.compile(r"(\d{1,2})[/. ](\d{1,2})[/. ](\d{4})", re.ASCII)
_NAMED = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[ -]([A-Za-z]{3,9})\.?,?[ -](\d{4})", re.ASCII)
_WITH_TIME = re.compile(r"(\d{4}-\d\d-\d\d)[T ]\d\d:\d\d", re.ASCII)
_FORM = "four-digit year, two-digit month and day, hyphens"


def read_day(column: Column, text: str, today: date | None, place: str) -> date:
    day = calendar_day(text)
    require_lived(column, day, today, place)
    return day


def calendar_day(text: str) -> date:
    """The day that ISO text names; anything else is answered with how to write it."""
    found = ISO_DAY.fullmatch(text)
    if not found:
        raise CellFault("day_form", _how_to_write(text))
    year, month, day = map(int, found.groups())
    if year < EARLIEST_YEAR:
        raise CellFault("day_year", f"before the year {EARLIEST_YEAR} (setting)")
    try:
        return date(year, month, day)
    except ValueError:
        raise CellFault("day_calendar", _not_in_calendar(year, month, day)) from None


def require_lived(column: Column, day: date, today: date | None, place: str) -> None:
    """No fact lies after today; an end that is still to come is left empty."""
    if today is None or day <= today:
        return
    where = f" at {place}" if place else ""
    sentence = f"after today ({day_text(today)}{where})"
    _, marked, while_open = column.meaning.rstrip(".").partition("; empty while ")
    if marked:
        sentence += f"; leave empty while {while_open}"
    raise CellFault("after_today", sentence)


def _not_in_calendar(year: int, month: int, day: int) -> str:
    if not 1 <= month <= 12:
        return f"there is no month {month:02d}"
    if (month, day) == (2, 29):
        return f"{year} has no 29 February"
    return f"{day} {MONTHS[month - 1]} {year} is not in the calendar"


def _how_to_write(text: str) -> str:
    """Names every day that the text could mean, and takes none of them."""
    if found := _WITH_TIME.match(text):
        return f"a day has no time: write {found[1]}"
    meant = _possible_days(text)
    if meant:
        return "write " + " or ".join(day.isoformat() for day in meant)
    return f"{_FORM}: write 2025-03-10"


def _possible_days(text: str) -> list[date]:
    if found := _NUMBERS.fullmatch(text):
        first, second, year = map(int, found.groups())
        tried = [(year, second, first), (year, first, second)]
    elif found := _NAMED.fullmatch(text):
        tried = [(int(found[3]), _month(found[2]), int(found[1]))]
    else:
        return []
    days = [_day_or_none(*parts) for parts in dict.fromkeys(tried)]
    return [day for day in days if day]


def _month(name: str) -> int:
    names = [month[: len(name)].lower() for month in MONTHS]
    return names.index(name.lower()) + 1 if name.lower() in names else 0


def _day_or_none(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
