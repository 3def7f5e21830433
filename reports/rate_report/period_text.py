"""Periods in addresses, in file names and in sentences."""

from __future__ import annotations

import re
from datetime import date

from surveillance.periods import parse_period
from surveillance.words import day_text

_QUARTER = re.compile(r"(\d{4})-Q([1-4])")
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
_LAST_DAYS = ("31 March", "30 June", "30 September", "31 December")


class PeriodConverter:
    """A period in an address: `2025-Q3/4q` is written `2025-Q3-4q` there."""

    regex = r"\d{4}(?:-(?:0[1-9]|1[0-2])|-Q[1-4](?:-4q)?)?"

    def to_python(self, value: str) -> str:
        return value.replace("-4q", "/4q")

    def to_url(self, value: str) -> str:
        return path_text(value)


class QuarterConverter:
    """A quarter in an address."""

    regex = r"\d{4}-Q[1-4]"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


class EndingConverter(QuarterConverter):
    """The ending of a file that a report offers."""

    regex = "csv|json|xlsx|pdf|zip"


def is_period(text: str) -> bool:
    try:
        parse_period(text)
    except ValueError:
        return False
    return True


def is_quarter(text: str) -> bool:
    return _QUARTER.fullmatch(text) is not None


def path_text(period: str) -> str:
    """The period as part of an address or a file name."""
    return period.replace("/", "-")


def rolling_year(quarter: str) -> str:
    """The four quarters that end with this one."""
    return f"{quarter}/4q"


def quarter_of(period: str) -> str:
    """The quarter that a quarter or a rolling year ends with."""
    return period.removesuffix("/4q")


def quarter_shifted(quarter: str, by: int) -> str:
    """The quarter `by` quarters later (negative: earlier)."""
    year, number = quarter.split("-Q")
    index = int(year) * 4 + int(number) - 1 + by
    return f"{index // 4:04d}-Q{index % 4 + 1}"


def iso_day_text(day: str) -> str:
    """A stored day for people: 14 Mar 2025."""
    return day_text(date.fromisoformat(day))


def month_text(month: str) -> str:
    """2025-03 for people: Mar 2025."""
    return f"{_MONTHS[int(month[5:7]) - 1]} {month[:4]}"


def quarter_ends_text(quarter: str) -> str:
    """The quarter's last day in full: 31 December 2025."""
    return f"{_LAST_DAYS[int(quarter[-1]) - 1]} {quarter[:4]}"


def _rolling_text(quarter: str) -> str:
    first, last = quarter_shifted(quarter, -3), quarter
    if first[:4] == last[:4]:
        return f"{last[:4]}, Q1 to Q4"
    return f"{first[:4]} {first[-2:]} to {last[:4]} {last[-2:]}"


def period_text(period: str) -> str:
    """A period for people: 2025 Q3; 2025, Q1 to Q4; Jul 2025; 2025."""
    if period.endswith("/4q"):
        return _rolling_text(quarter_of(period))
    if "-Q" in period:
        return period.replace("-", " ")
    return month_text(period) if "-" in period else period


def year_text(quarter: str) -> str:
    """A rolling year inside a sentence: 2025 where it is the calendar year."""
    return quarter[:4] if quarter.endswith("Q4") else f"the year to {quarter_ends_text(quarter)}"
