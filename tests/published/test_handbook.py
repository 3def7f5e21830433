"""PD handbook, appendix on peritonitis rates (calculate.qxmd.com, reference book 27): seen."""

from datetime import date

import pytest

from surveillance.periods import day_number, half_open
from surveillance.rates.poisson import crude_rate, exact_poisson_limits
from tests.published.given_rows import agrees, disagrees

DAYS_PER_MONTH = 30.4  # the handbook's own

# Started, patients; all to 31 March of a year that is no leap year (page "An Example").
QUARTER = [("01-01", 20), ("02-05", 1), ("02-10", 2), ("03-12", 2), ("03-21", 2)]


def quarter_days(last_day_counts: bool) -> int:
    last = day_number(date(2025, 3, 31))
    days = 0
    for started, patients in QUARTER:
        start, stop = half_open(day_number(date.fromisoformat(f"2025-{started}")), last)
        days += patients * (stop - start - (not last_day_counts))
    return days


# Quantity, printed, half a unit of its last digit (method 1 and method 2 examples, rate lines).
PRINTED = {
    "W01": (2000 / DAYS_PER_MONTH, 65.8, 0.05),
    "W02": (65.8 / 2, 32.9, 0.05),
    "W03": (crude_rate(2, 2000, 365).patient_years, 5.5, 0.05),
    "W07": (2017 / DAYS_PER_MONTH / 2, 33.17, 0.005),
    "W09": (crude_rate(2, 2017, 365).rate, 0.36, 0.005),
    "U01": (crude_rate(1, 730, 365).months_per_episode, 24, 1e-9),
}


@pytest.mark.parametrize(("identifier", "row"), PRINTED.items())
def test_a_printed_figure_follows_from_its_days(
    identifier: str, row: tuple[float, float, float]
) -> None:
    found, printed, near = row
    assert agrees(identifier)
    assert found == pytest.approx(printed, abs=near)


def test_start_day_and_end_day_both_count() -> None:
    assert agrees("W05")
    assert quarter_days(last_day_counts=True) == 620 + 622 + 775 == 2017
    assert quarter_days(last_day_counts=False) == 1990


def test_0_36_needs_a_rounding_on_the_way() -> None:
    """W04: 2 / 5.5 = 0.3636; unrounded it is 0.3650, which nobody rounds to 0.36 for sure."""
    assert agrees("W04")  # "only with the source's intermediate rounding"
    whole = crude_rate(2, 2000, 365).rate
    assert round(2 / round(2000 / 365, 1), 2) == 0.36
    assert whole == pytest.approx(0.3650, abs=5e-5)
    assert abs(whole - 0.36) > 0.00499


@pytest.mark.parametrize(
    ("identifier", "found", "printed"),
    [("W06", 2017 / DAYS_PER_MONTH, 66.34), ("W08", crude_rate(2, 2017, 365).patient_years, 5.52)],
)
def test_the_source_cuts_digits_off_where_rounding_would_raise_them(
    identifier: str, found: float, printed: float
) -> None:
    assert disagrees(identifier)
    assert round(found, 2) == pytest.approx(printed + 0.01)
    assert int(found * 100) / 100 == pytest.approx(printed)


def test_exact_limits_of_two_episodes_in_the_quarter() -> None:
    """W09: 0.362 (0.044-1.307) with years of 365 days."""
    found = exact_poisson_limits(2, 2017 / 365, 0.95)
    assert (found.lower, found.upper) == pytest.approx((0.044, 1.307), abs=5e-4)


def test_our_months_per_episode_are_twelfths_of_a_year() -> None:
    """W07 prints 33.17 with months of 30.4 days; ours are 12 / rate: 33.13 (rate-02)."""
    assert crude_rate(2, 2017, 365.25).months_per_episode == pytest.approx(33.13, abs=0.005)
