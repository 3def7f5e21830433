"""Periods of the calendar; people see first and last day, code holds [start, stop)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import NDArray

PeriodKind = Literal["month", "quarter", "year", "rolling_year"]

Days = TypeVar("Days", int, NDArray[np.int64])

EPOCH = date(1970, 1, 1)
MONTHS: dict[PeriodKind, int] = {"month": 1, "quarter": 3, "year": 12, "rolling_year": 12}
ALLOWED = "2025-07, 2025-Q3, 2025 or 2025-Q3/4q"

_MONTH = re.compile(r"([1-9]\d{3})-(0[1-9]|1[0-2])")
_QUARTER = re.compile(r"([1-9]\d{3})-Q([1-4])(/4q)?")
_YEAR = re.compile(r"[1-9]\d{3}")


@dataclass(frozen=True)
class Period:
    """A stretch of whole months; `months` of them, the last one ending the period."""

    kind: PeriodKind
    first_month: int  # months since 1970-01

    @property
    def stop_month(self) -> int:
        return self.first_month + MONTHS[self.kind]

    @property
    def start(self) -> date:
        return month_start(self.first_month)

    @property
    def last_day(self) -> date:
        return month_start(self.stop_month) - timedelta(days=1)

    @property
    def text(self) -> str:
        year, month = _year_and_month(self.stop_month - 1)
        quarter = f"{year}-Q{(month + 2) // 3}"
        names = {"month": f"{year}-{month:02d}", "quarter": quarter, "year": str(year)}
        return names.get(self.kind, f"{quarter}/4q")


def _year_and_month(month: int) -> tuple[int, int]:
    return 1970 + month // 12, month % 12 + 1


def month_start(month: int) -> date:
    """First day of a month counted from 1970-01 = 0. Test: test_periods.py."""
    return date(*_year_and_month(month), 1)


def month_of(day: date) -> int:
    """Months since 1970-01 of a day. Test: test_periods.py."""
    return (day.year - 1970) * 12 + day.month - 1


def quarter_holding(day: date) -> Period:
    """The quarter that a day lies in. Test: test_periods.py."""
    return Period("quarter", month_of(day) // 3 * 3)


def day_number(day: date) -> int:
    """Days since 1970-01-01, as the record's day columns hold them. Test: test_periods.py."""
    return (day - EPOCH).days


def half_open(first_day: Days, last_day: Days) -> tuple[Days, Days]:
    """[start, stop) of an inclusive stretch of days: the one place where the two ways meet.

    Works on numbers and on whole columns. Source: design 2 (first and last day both count; a
    handbook's quarter gives 2017 patient-days only so, W05). Test: test_periods.py.
    """
    return first_day, last_day + 1


def parse_period(text: str) -> Period:
    """The period that a text names.

    text: a month 2025-07, a quarter 2025-Q3, a year 2025 or the four quarters to one, 2025-Q3/4q.
    Raises ValueError that says what is allowed. Test: test_periods.py.
    """
    if found := _MONTH.fullmatch(text):
        return Period("month", month_of(date(int(found[1]), int(found[2]), 1)))
    if found := _QUARTER.fullmatch(text):
        first = month_of(date(int(found[1]), 3 * int(found[2]) - 2, 1))
        return Period("rolling_year", first - 9) if found[3] else Period("quarter", first)
    if _YEAR.fullmatch(text):
        return Period("year", month_of(date(int(text), 1, 1)))
    raise ValueError(f"{text!r} is not a period; allowed: {ALLOWED}")


def periods_in(first_month: int, stop_month: int) -> list[Period]:
    """Every period of every kind that lies whole in [first_month, stop_month).

    first_month: the January of a clinic's first year; stop_month: the first month not ended.
    Both in months since 1970-01. Source: design 2. Test: test_periods.py.
    """
    steps: list[tuple[PeriodKind, int]] = [
        ("month", 1),
        ("quarter", 3),
        ("year", 12),
        ("rolling_year", 3),
    ]
    return [
        Period(kind, month)
        for kind, step in steps
        for month in range(first_month, stop_month - MONTHS[kind] + 1, step)
    ]


def stop_of_ended_months(as_of: date, through: str | None) -> int:
    """The first month that has not ended by `as_of` and by the end of `through`.

    A month that ends on the day itself has ended. Source: design 2 and 6. Test: test_periods.py.
    """
    last = as_of if through is None else min(as_of, parse_period(through).last_day)
    return month_of(last + timedelta(days=1))
