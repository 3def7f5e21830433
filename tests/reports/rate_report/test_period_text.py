"""Periods in words and in addresses."""

import pytest

from reports.rate_report.period_text import (
    is_period,
    period_text,
    quarter_ends_text,
    quarter_shifted,
    year_text,
)


@pytest.mark.parametrize(
    ("period", "said"),
    [
        ("2025-Q3", "2025 Q3"),
        ("2025-Q4/4q", "2025, Q1 to Q4"),
        ("2025-Q3/4q", "2024 Q4 to 2025 Q3"),
        ("2025-07", "Jul 2025"),
        ("2025", "2025"),
    ],
)
def test_a_period_in_words(period: str, said: str) -> None:
    assert period_text(period) == said


@pytest.mark.parametrize(
    ("quarter", "by", "other"),
    [("2025-Q1", -1, "2024-Q4"), ("2024-Q4", 1, "2025-Q1"), ("2025-Q3", -4, "2024-Q3")],
)
def test_quarters_step_over_the_turn_of_the_year(quarter: str, by: int, other: str) -> None:
    assert quarter_shifted(quarter, by) == other


def test_a_rolling_year_that_is_a_calendar_year_is_called_so() -> None:
    assert year_text("2024-Q4") == "2024"
    assert year_text("2025-Q3") == "the year to 30 September 2025"
    assert quarter_ends_text("2025-Q2") == "30 June 2025"


@pytest.mark.parametrize("text", ["", "2025-Q5", "2025-13", "25", "2025-Q1/3q", "2025 ", "٢٠٢٥"])
def test_anything_else_is_no_period(text: str) -> None:
    assert not is_period(text)
