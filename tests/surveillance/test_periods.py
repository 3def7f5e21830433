"""Periods are named, parsed and bounded as design 2 says."""

from datetime import date

import pytest

from surveillance.periods import (
    day_number,
    half_open,
    month_of,
    month_start,
    parse_period,
    periods_in,
    quarter_holding,
    stop_of_ended_months,
)


@pytest.mark.parametrize(
    ("text", "start", "last_day"),
    [
        ("2025-07", date(2025, 7, 1), date(2025, 7, 31)),
        ("2024-02", date(2024, 2, 1), date(2024, 2, 29)),
        ("2025-Q3", date(2025, 7, 1), date(2025, 9, 30)),
        ("2025", date(2025, 1, 1), date(2025, 12, 31)),
        ("2025-Q3/4q", date(2024, 10, 1), date(2025, 9, 30)),
        ("2025-Q4/4q", date(2025, 1, 1), date(2025, 12, 31)),
    ],
)
def test_a_period_knows_its_first_and_last_day(text, start, last_day):
    period = parse_period(text)
    assert (period.text, period.start, period.last_day) == (text, start, last_day)


@pytest.mark.parametrize("text", ["", "2025-13", "2025-Q5", "2025/4q", "25", "2025-7", "0000"])
def test_another_text_is_refused_with_what_is_allowed(text):
    with pytest.raises(ValueError, match="2025-Q3/4q"):
        parse_period(text)


def test_first_and_last_day_both_count():
    start, stop = half_open(day_number(date(2025, 1, 1)), day_number(date(2025, 3, 31)))
    assert stop - start == 31 + 28 + 31


@pytest.mark.parametrize(
    ("day", "quarter"),
    [("2025-01-01", "2025-Q1"), ("2025-03-31", "2025-Q1"), ("2024-12-31", "2024-Q4")],
)
def test_a_day_lies_in_one_quarter(day: str, quarter: str):
    held = quarter_holding(date.fromisoformat(day))
    assert held == parse_period(quarter)


def test_months_are_counted_from_1970():
    assert month_of(date(1970, 1, 31)) == 0
    assert month_start(month_of(date(1969, 12, 5))) == date(1969, 12, 1)


def test_a_rolling_year_needs_four_quarters_in_range():
    january = month_of(date(2024, 1, 1))
    names = [p.text for p in periods_in(january, january + 15) if p.kind == "rolling_year"]
    assert names == ["2024-Q4/4q", "2025-Q1/4q"]


@pytest.mark.parametrize(
    ("as_of", "through", "last_month"),
    [
        (date(2025, 9, 30), None, "2025-09"),
        (date(2025, 9, 29), None, "2025-08"),
        (date(2025, 12, 31), "2025-Q3", "2025-09"),
        (date(2025, 8, 31), "2025-Q3", "2025-08"),
    ],
)
def test_a_period_that_ends_on_the_day_has_ended(as_of, through, last_month):
    assert stop_of_ended_months(as_of, through) == parse_period(last_month).stop_month
