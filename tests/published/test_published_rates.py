"""Published rates and shares from their counts; ids and sources in published_checks.csv."""

import csv
from pathlib import Path

import pytest

from surveillance.rates.binomial import binomial_limits
from surveillance.rates.poisson import crude_rate, exact_poisson_limits

CHECKS = Path(__file__).parents[2] / "fixtures" / "published" / "published_checks.csv"
DAYS_PER_YEAR = 365.25
MONTHS_PER_YEAR = 12


def published(identifier: str) -> dict[str, str]:
    with CHECKS.open(encoding="utf-8", newline="") as file:
        return next(row for row in csv.DictReader(file) if row["id"] == identifier)


# Events, patient-months, printed rate per year, half a unit of its last digit.
RATES = {
    "R06": (68, 639, 1.28, 0.005),  # children on APD, PMID 11990409
    "R10": (160, 7928, 0.24, 0.005),  # Balzer 2019, p. 222
    "R11": (170, 7928, 0.26, 0.005),  # Balzer 2019, p. 222
    "R12": (177, 7928, 0.27, 0.005),  # Balzer 2019, p. 222
    "E01": (207, 10110, 0.25, 0.005),  # Swartz 2018, SCOPE
}


@pytest.mark.parametrize(("identifier", "row"), RATES.items())
def test_a_printed_rate_follows_from_its_counts(identifier, row):
    events, months, printed, near = row
    days = months / MONTHS_PER_YEAR * DAYS_PER_YEAR
    assert published(identifier)["agrees"].startswith("yes")
    assert crude_rate(events, days, DAYS_PER_YEAR).rate == pytest.approx(printed, abs=near)


def test_the_mean_of_yearly_rates_is_not_the_pooled_rate():
    """R13: the paper averages 15 yearly rates to 0.29; its own counts pool to 0.283."""
    days = 7928 / MONTHS_PER_YEAR * DAYS_PER_YEAR
    assert published("R13")["agrees"].startswith("no")
    assert crude_rate(187, days, DAYS_PER_YEAR).rate == pytest.approx(0.2830, abs=5e-5)


def test_counting_relapses_would_add_a_tenth():
    """R01 and R02: 928 episodes in 1487 patient-years, 88 of them relapse or re-infection."""
    days = 1487 * DAYS_PER_YEAR
    with_all, without = (crude_rate(events, days, DAYS_PER_YEAR) for events in (928, 840))
    assert with_all.months_per_episode == pytest.approx(19.2, abs=0.05)
    assert with_all.rate / without.rate == pytest.approx(1.105, abs=5e-4)


def test_months_per_episode_of_the_handbook_are_of_30_4_days():
    """W07: 33.17 with the handbook's months; ours are 12 / rate, 33.13 (rate-02)."""
    assert pytest.approx(33.17, abs=0.005) == 2017 / 30.4 / 2
    assert crude_rate(2, 2017, DAYS_PER_YEAR).months_per_episode == pytest.approx(33.13, abs=0.005)


# Events, patient-years, printed limits.
LIMITS = {
    "P09": (14, 400, 0.019135, 0.058724),  # a statistics package's help page
    "P12": (137, 24.19893, 4.7531, 6.6927),  # R poisson.test help; digits from memory
}


@pytest.mark.parametrize(("identifier", "row"), LIMITS.items())
def test_printed_exact_limits(identifier, row):
    events, years, lower, upper = row
    found = exact_poisson_limits(events, years, 0.95)
    assert published(identifier)["agrees"].startswith("yes")
    assert (found.lower, found.upper) == pytest.approx((lower, upper), rel=1e-4)


def test_zero_events_have_the_two_sided_upper_limit():
    """P13: 3.689 two-sided; the one-sided 2.996 is the 90 % upper limit."""
    assert exact_poisson_limits(0, 1, 0.95).upper == pytest.approx(3.689, abs=5e-4)
    assert exact_poisson_limits(0, 1, 0.90).upper == pytest.approx(2.996, abs=5e-4)


# Events, whole, printed per cent, half a unit of its last digit.
SHARES = {
    "R19": (191, 3594, 5.3, 0.05),  # Siva 2009; 3594 from memory
    "R22": (6285, 9100, 69, 0.5),  # Htay 2018
    "R24": (113, 267, 42.3, 0.05),  # single-centre abstract with the 2022 categories
    "R30": (38, 159, 23.9, 0.05),  # Muthucumarana 2016
    "R31": (43, 492, 9, 0.5),  # Pittsburgh 1992
}


@pytest.mark.parametrize(("identifier", "row"), SHARES.items())
def test_a_printed_share_follows_from_its_counts(identifier, row):
    events, whole, printed, near = row
    assert published(identifier)["published_value"]
    assert 100 * binomial_limits(events, whole, 0.95).share == pytest.approx(printed, abs=near)


def test_clopper_pearson_limits_of_treatment_failure():
    """R30: 17.50-31.30 %."""
    found = binomial_limits(38, 159, 0.95).clopper_pearson
    assert [100 * limit for limit in found] == pytest.approx([17.50, 31.30], abs=0.005)
