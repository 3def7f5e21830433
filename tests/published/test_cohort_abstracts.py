"""Cohorts and trials known by their abstract or registry entry; each figure names its own."""

from math import exp

import pytest
from scipy.stats import chi2_contingency, fisher_exact

from surveillance.rates.binomial import binomial_limits
from surveillance.rates.poisson import crude_rate, exact_poisson_limits
from tests.published.given_rows import agrees, disagrees, published

DAYS_PER_YEAR = 365.25


def rate_of(events: int, years: float) -> float:
    return float(crude_rate(events, years * DAYS_PER_YEAR, DAYS_PER_YEAR).rate)


# Events, patient-years, printed rate a year, half a unit, recomputed exact limits (if the row has).
RATES = {
    "R06": (68, 639 / 12, 1.28, 0.005, (0.992, 1.619)),  # children on APD, PMID 11990409
}


@pytest.mark.parametrize(("identifier", "row"), RATES.items())
def test_a_printed_rate_follows_from_its_counts(
    identifier: str, row: tuple[int, float, float, float, tuple[float, float]]
) -> None:
    events, years, printed, near, limits = row
    assert agrees(identifier)
    assert rate_of(events, years) == pytest.approx(printed, abs=near)
    found = exact_poisson_limits(events, years, 0.95)
    assert (found.lower, found.upper) == pytest.approx(limits, abs=5e-4)


def test_relapses_are_not_in_the_rate_of_the_children() -> None:
    """R06: 21 relapses more would be 1.671 a year."""
    assert rate_of(68 + 21, 639 / 12) == pytest.approx(1.671, abs=5e-4)


def test_months_per_episode_of_a_country() -> None:
    """R01: Kavanagh 2004, Scotland 1999-2002: 928 episodes in 1487 patient-years, 19.2 months."""
    assert agrees("R01")
    found = crude_rate(928, 1487 * DAYS_PER_YEAR, DAYS_PER_YEAR)
    limits = exact_poisson_limits(928, 1487, 0.95)
    assert found.months_per_episode == pytest.approx(19.2, abs=0.05)
    assert (found.rate, limits.lower, limits.upper) == pytest.approx(
        (0.624, 0.585, 0.666), abs=6e-4
    )


def test_counting_relapses_would_add_a_tenth() -> None:
    """R02: 88 of the 928 are relapse or re-infection; derived, not printed."""
    assert published("R02")["published_value"] == "(not published)"
    without = crude_rate(840, 1487 * DAYS_PER_YEAR, DAYS_PER_YEAR)
    assert without.rate == pytest.approx(0.5649, abs=5e-5)
    assert without.months_per_episode == pytest.approx(21.24, abs=0.005)
    assert rate_of(928, 1487) / without.rate == pytest.approx(1.105, abs=5e-4)


def test_outcomes_add_up() -> None:
    """R05: Brown 2011, PDI: cure, refractory, death."""
    assert agrees("R05")
    assert pytest.approx(100) == 74.6 + 22.6 + 2.8


# Events, whole, printed per cent, half a unit of its last digit.
SHARES = {
    "R24": [(113, 267, 42.3, 0.05)],  # single centre 2009-2023, categories of ISPD 2022
    "R28": [(474, 2032, 23.3, 0.05)],  # Martin 2011, BRAZPD, CJASN 6:1944
    "R30": [(38, 159, 23.9, 0.05)],  # Muthucumarana 2016, PROMPT: 28 removals, 10 deaths
    "R31": [(43, 492, 9, 0.5)],  # Pittsburgh 1992, PMID 1739099
    # PMID 32060152; PMID 29248923; Wu 2016: of all patients or of those with an infection
    "R32": [(74, 357, 20.7, 0.05), (167, 483, 34.6, 0.05), (118, 1690, 7.0, 0.05)],
    # PEPS, NCT01293799: counts seen, percentages derived
    "R33": [(102, 340, 30.0, 0.05), (121, 331, 36.6, 0.05)],
}


@pytest.mark.parametrize(("identifier", "rows"), SHARES.items())
def test_a_printed_share_follows_from_its_counts(
    identifier: str, rows: list[tuple[int, int, float, float]]
) -> None:
    assert published(identifier)["agrees"].startswith(("yes", "derived"))
    for events, whole, printed, near in rows:
        assert 100 * binomial_limits(events, whole, 0.95).share == pytest.approx(printed, abs=near)


def test_clopper_pearson_limits_of_treatment_failure() -> None:
    """R30: 17.50-31.30 %, recomputed, not printed."""
    found = binomial_limits(38, 159, 0.95).clopper_pearson
    assert [100 * limit for limit in found] == pytest.approx([17.50, 31.30], abs=0.005)


def test_first_episodes_a_patient_year() -> None:
    """R28: 474 in 22,026 patient-months (printed "22.026") are 0.2582 (0.2355-0.2826) a year."""
    found = exact_poisson_limits(474, 22026 / 12, 0.95)
    assert rate_of(474, 22026 / 12) == pytest.approx(0.2582, abs=5e-5)
    assert (found.lower, found.upper) == pytest.approx((0.2355, 0.2826), abs=6e-5)


def test_years_implied_by_a_cohorts_rate() -> None:
    """R24: 219 episodes at 0.25 a year are 876 patient-years."""
    assert pytest.approx(876) == 219 / 0.25


# R34: Japan PDOPPS; PDOPPS; Italy 2022; Hong Kong 1994-2003; Spain 2003-2020: back-calculated.
IMPLIED_YEARS = [
    (539, 0.27, 1996), (2272, 0.28, 8114), (696, 0.176, 3955), (1787, 0.68, 2628),
    (2941, 0.46, 6393),
]  # fmt: skip


@pytest.mark.parametrize(("episodes", "rate", "years"), IMPLIED_YEARS)
def test_implied_patient_years(episodes: int, rate: float, years: int) -> None:
    assert published("R34")["agrees"].startswith("n/a")
    assert round(episodes / rate) == years
    assert rate_of(episodes, years) == pytest.approx(rate, abs=5e-4)


def test_two_numerators_and_a_cut_off_digit() -> None:
    """R25: "131 episodes (141/219, 64.3 %)": neither numerator gives 64.3."""
    assert disagrees("R25")
    assert round(100 * 141 / 219, 1) == 64.4
    assert round(100 * 131 / 219, 1) == 59.8


def test_the_free_share_does_not_follow_from_the_rate() -> None:
    """R26: 84.2 % free after a year against exp(-0.25) = 77.9 %, since episodes cluster."""
    assert disagrees("R26")
    assert 100 * exp(-0.25) == pytest.approx(77.9, abs=0.05)
    assert published("R26")["published_value"].startswith("84.2")


def test_a_rate_whose_time_at_risk_is_not_said_cannot_be_followed() -> None:
    """R35: 24 episodes at 0.28 a year are 15 days a patient, the text says a month."""
    assert disagrees("R35")
    assert pytest.approx(1.17, abs=0.005) == 100 * 24 / 2059
    days_each = 24 / 0.28 * DAYS_PER_YEAR / 2059
    assert days_each == pytest.approx(15.2, abs=0.05)
    assert days_each < 30


def test_p_below_5_per_cent_only_without_a_correction() -> None:
    """P14: BMC Microbiol 2020, 5 of 71 against 13 of 71; the samples were paired besides."""
    table = [[5, 66], [13, 58]]
    assert agrees("P14")
    assert chi2_contingency(table, correction=False)[1] == pytest.approx(0.044, abs=5e-4)
    assert fisher_exact(table)[1] == pytest.approx(0.0752, abs=5e-5)
