"""The periods a clinic has rows for (design 2, Periods)."""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property


@dataclass(frozen=True)
class Period:
    name: str
    kind: str  # month, quarter, year, rolling
    first: date
    last: date

    @property
    def has_bands(self) -> bool:
        """ "for all but months a band row"."""
        return self.kind != "month"

    @cached_property
    def days(self) -> list[date]:
        return [self.first + timedelta(days=n) for n in range((self.last - self.first).days + 1)]

    def holds(self, d: date) -> bool:
        return self.first <= d <= self.last


def last_of_month(year: int, month: int) -> date:
    return date(year, month, monthrange(year, month)[1])


def month(year: int, number: int) -> Period:
    name = f"{year:04d}-{number:02d}"
    return Period(name, "month", date(year, number, 1), last_of_month(year, number))


def quarter(year: int, number: int) -> Period:
    first = date(year, 3 * number - 2, 1)
    return Period(f"{year:04d}-Q{number}", "quarter", first, last_of_month(year, 3 * number))


def calendar_year(year: int) -> Period:
    return Period(f"{year:04d}", "year", date(year, 1, 1), date(year, 12, 31))


def rolling(year: int, number: int) -> Period:
    """ "2025-Q3/4q (four quarters to that one)"."""
    last = quarter(year, number)
    first = date(year, 1, 1) if number == 4 else quarter(year - 1, number + 1).first
    return Period(f"{last.name}/4q", "rolling", first, last.last)


def period_named(name: str) -> Period:
    year = int(name[:4])
    if name.endswith("/4q"):
        return rolling(year, int(name[6]))
    if "Q" in name:
        return quarter(year, int(name[6]))
    return month(year, int(name[5:])) if "-" in name else calendar_year(year)


def ended_periods(first_year: int, as_of: date, through: str | None) -> list[Period]:
    """ "from 1 January of the year ... to the last period ended by as_of (and by the end of
    --through); rolling rows need all four quarters in range; a period not ended has no row"."""
    limit = min(as_of, period_named(through).last) if through else as_of
    every = []
    for year in range(first_year, limit.year + 1):
        every += [month(year, number) for number in range(1, 13)]
        every += [quarter(year, number) for number in range(1, 5)]
        every += [rolling(year, number) for number in range(1, 5)]
        every.append(calendar_year(year))
    return [p for p in every if p.first >= date(first_year, 1, 1) and p.last <= limit]
