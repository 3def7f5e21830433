"""Days and events fall into the right month and period."""

from datetime import date

import numpy as np

from surveillance.periods import month_of, parse_period
from surveillance.time_at_risk.months import Months, month_counts, month_days, period_sums
from tests.surveillance.records import day

YEAR = Months(month_of(date(2024, 1, 1)), month_of(date(2025, 1, 1)))
ONE = np.array([0])


def test_a_stretch_is_divided_over_its_months():
    found = month_days(ONE, np.array([day("2024-01-30")]), np.array([day("2024-03-02")]), 1, YEAR)
    assert found.tolist() == [[2, 29, 1] + [0] * 9]


def test_days_outside_the_months_are_left_out():
    found = month_days(ONE, np.array([day("2024-12-31")]), np.array([day("2026-01-01")]), 1, YEAR)
    assert found.sum() == 1


def test_stretches_of_a_cell_are_summed():
    cells = np.array([0, 1, 1])
    start = np.array([day("2024-02-01")] * 3)
    found = month_days(cells, start, start + 3, 2, YEAR)
    assert found[:, 1].tolist() == [3, 6]


def test_no_cell_has_no_row():
    none = np.zeros(0, dtype=np.int64)
    assert month_days(none, none, none, 0, YEAR).shape == (0, 12)


def test_an_event_counts_in_its_month_only():
    days = np.array([day("2023-12-31"), day("2024-02-29"), day("2025-01-01")])
    assert month_counts(np.zeros(3, dtype=int), days, 1, YEAR).tolist() == [[0, 1] + [0] * 10]


def test_a_period_is_the_sum_of_its_months():
    by_month = np.arange(12).reshape(1, 12)
    periods = [parse_period(text) for text in ("2024-03", "2024-Q2", "2024", "2024-Q4/4q")]
    assert period_sums(by_month, YEAR, periods).tolist() == [[2, 3 + 4 + 5, 66, 66]]
