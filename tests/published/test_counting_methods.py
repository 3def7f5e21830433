"""Balzer 2019, Perit Dial Int 39:220-228, read in full: four ways to count, outcomes, Fisher."""

from math import exp

import pytest
from scipy.stats import fisher_exact

from surveillance.rates.poisson import crude_rate, exact_poisson_limits
from tests.published.given_rows import agrees, disagrees, published

DAYS_PER_YEAR = 365.25
MONTHS = 7928

# p. 222, Table 1: episodes counted, printed mean of 15 yearly rates, recomputed pooled limits.
POOLED = {
    "R10": (160, 0.24, 0.2061, 0.2827),
    "R11": (170, 0.26, 0.2201, 0.2990),
    "R12": (177, 0.27, 0.2299, 0.3104),
}


def pooled(episodes: int) -> float:
    return float(crude_rate(episodes, MONTHS / 12 * DAYS_PER_YEAR, DAYS_PER_YEAR).rate)


@pytest.mark.parametrize(("identifier", "row"), POOLED.items())
def test_the_pooled_rate_is_the_printed_one(
    identifier: str, row: tuple[int, float, float, float]
) -> None:
    episodes, printed, lower, upper = row
    assert agrees(identifier)
    assert pooled(episodes) == pytest.approx(printed, abs=0.005)
    limits = exact_poisson_limits(episodes, MONTHS / 12, 0.95)
    assert (limits.lower, limits.upper) == pytest.approx((lower, upper), abs=5e-5)


def test_the_mean_of_yearly_rates_is_not_the_pooled_rate() -> None:
    """R13: 187 episodes pool to 0.283, the paper prints 0.29, the mean of 15 yearly rates."""
    assert disagrees("R13")
    assert pooled(187) == pytest.approx(0.2830, abs=5e-5)
    assert abs(pooled(187) - 0.29) > 0.005


def test_printed_outcome_percentages() -> None:
    """R14: Table 2, p. 223-224."""
    assert agrees("R14")
    found = [100 * count / 187 for count in (155, 25, 19, 5)]
    assert found == pytest.approx([82.9, 13.4, 10.2, 2.7], abs=0.05)


@pytest.mark.parametrize(
    ("first", "second", "printed"),
    [((16, 160), (3, 27), 0.741), ((4, 160), (2, 27), 0.209), ((0, 160), (1, 27), 0.144)],
)
def test_printed_fisher_p(first: tuple[int, int], second: tuple[int, int], printed: float) -> None:
    """R16: Table 2; transfer, death, removal. The method itself offers no such test."""
    assert agrees("R16")
    table = [[count, whole - count] for count, whole in (first, second)]
    assert fisher_exact(table)[1] == pytest.approx(printed, abs=6e-4)


def test_the_free_share_does_not_follow_from_the_rate() -> None:
    """R27: 85.7 % free against exp(-0.24) = 78.7 %, since episodes cluster in patients."""
    assert disagrees("R27")
    assert 100 * exp(-0.24) == pytest.approx(78.7, abs=0.05)
    assert published("R27")["published_value"].startswith("85.7")
