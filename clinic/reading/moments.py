"""Reads a moment: clinic time unless an offset is given; a time that happened twice is asked."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo

from clinic.columns import Column
from clinic.reading.days import calendar_day, require_lived
from clinic.reading.faults import CellFault
from clinic.reading.limits import WIDEST_OFFSET_HOURS

_MOMENT = re.compile(
    r"(?P<day>\d{4}-\d\d-\d\d)T(?P<hour>\d\d):(?P<minute>\d\d)"
    r"(?::(?P<second>\d\d)(?:\.(?P<fraction>\d{1,6}))?)?(?P<offset>Z|[+-]\d\d:\d\d)?",
    re.ASCII,
)
_DAY_ONLY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_SPACED = re.compile(r"\d{4}-\d\d-\d\d +\d\d:\d\d.*", re.ASCII)
_MINUTE = timedelta(minutes=1)


def read_moment(
    column: Column, text: str, zone: ZoneInfo, today: date | None, place: str
) -> datetime:
    """The moment in UTC, so that comparing two never compares two clock faces."""
    found = _MOMENT.fullmatch(text)
    if not found:
        raise CellFault("moment_form", _how_to_write(text))
    wall = datetime.combine(calendar_day(found["day"]), _time_of_day(found))
    offset = found["offset"]
    moment = wall.replace(tzinfo=_fixed(offset)) if offset else _in_zone(wall, zone)
    require_lived(column, moment.astimezone(zone).date(), today, place)
    return moment.astimezone(UTC)


def _how_to_write(text: str) -> str:
    if _DAY_ONLY.fullmatch(text):
        return f"the time is missing: write {text}T09:40"
    if _SPACED.fullmatch(text):
        day, _, rest = text.partition(" ")
        return f"write {day}T{rest.strip()}"
    return "a date and a time: write 2025-03-10T09:40"


def _time_of_day(found: re.Match[str]) -> time:
    micro = int((found["fraction"] or "").ljust(6, "0"))
    try:
        return time(int(found["hour"]), int(found["minute"]), int(found["second"] or 0), micro)
    except ValueError:
        clock = found.group().partition("T")[2]
        raise CellFault("moment_clock", f"{clock} is no time of day (00:00 to 23:59)") from None


def _fixed(offset: str) -> timezone:
    if offset == "Z":
        return UTC
    hours, minutes = int(offset[1:3]), int(offset[4:6])
    if minutes > 59 or hours + minutes / 60 > WIDEST_OFFSET_HOURS:
        raise CellFault("moment_offset", f"{offset} is no offset from UTC (-14:00 to +14:00)")
    size = timedelta(hours=hours, minutes=minutes)
    return timezone(-size if offset[0] == "-" else size)


def _offsets(wall: datetime, zone: ZoneInfo) -> tuple[timedelta, timedelta]:
    """The zone's offset read before and after a change of clocks; equal at all other times."""
    both = (wall.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    first, second = (offset or timedelta(0) for offset in both)
    return first, second


def _in_zone(wall: datetime, zone: ZoneInfo) -> datetime:
    before, after = _offsets(wall, zone)
    if before < after:
        raise _skipped(wall, zone, after - before)
    if before > after:
        raise _twice(wall, before, after)
    return wall.replace(tzinfo=zone)


def _skipped(wall: datetime, zone: ZoneInfo, jump: timedelta) -> CellFault:
    start = wall.replace(second=0, microsecond=0)
    while (offsets := _offsets(start - _MINUTE, zone)) and offsets[0] < offsets[1]:
        start -= _MINUTE
    return CellFault(
        "moment_skipped",
        f"this time did not exist: clocks went from {start:%H:%M} to {start + jump:%H:%M}",
    )


def _twice(wall: datetime, before: timedelta, after: timedelta) -> CellFault:
    first, second = (
        wall.replace(tzinfo=timezone(offset)).isoformat(timespec="minutes")
        for offset in (before, after)
    )
    return CellFault(
        "moment_twice",
        f"this time happened twice: write {first} or {second}",
        question=True,
        offers=(("the first time", first), ("the second time", second)),
    )
