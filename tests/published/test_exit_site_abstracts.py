"""Exit-site and tunnel infection: Swartz 2018 (SCOPE) and Clin Nephrol 2014;81:100, abstracts."""

import pytest

from surveillance.rates.binomial import binomial_limits
from surveillance.rates.poisson import crude_rate, exact_poisson_limits
from tests.published.given_rows import agrees, disagrees

DAYS_PER_YEAR = 365.25


def test_the_rate_of_scope() -> None:
    """E01: 207 infections in 10,110 patient-months, printed 0.25 a dialysis year."""
    assert agrees("E01")
    days = 10110 / 12 * DAYS_PER_YEAR
    limits = exact_poisson_limits(207, 10110 / 12, 0.95)
    assert crude_rate(207, days, DAYS_PER_YEAR).rate == pytest.approx(0.25, abs=0.005)
    assert (limits.lower, limits.upper) == pytest.approx((0.2134, 0.2815), abs=5e-5)


def test_the_sites_of_scope_add_up() -> None:
    """E02: exit site, tunnel, both."""
    assert agrees("E02")
    assert 69 + 23 + 8 == 100


def test_a_score_of_four_finds_seven_of_eleven() -> None:
    """E04: sensitivity 63.6 %; the 7 inferred."""
    assert agrees("E04")
    assert 100 * binomial_limits(7, 11, 0.95).share == pytest.approx(63.6, abs=0.05)


def test_percentages_of_21_sites_need_22() -> None:
    """E05: 18.2, 68.2 and 13.6 % of 4, 15 and 3 sites."""
    assert disagrees("E05")
    printed = [18.2, 68.2, 13.6]
    assert [round(100 * count / 22, 1) for count in (4, 15, 3)] == printed
    assert [round(100 * count / 21, 1) for count in (4, 15, 3)] != printed
    assert 4 + 15 + 3 == 22
