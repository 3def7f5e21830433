"""What clustering of episodes in patients does to exact limits and tests: no simulation."""

import numpy as np
import pytest
from scipy.stats import binom, nbinom, poisson

from surveillance.rates.poisson import exact_poisson_limits
from tests.published.given_rows import example

COUNTS = np.arange(400)


def chance_of_totals(given: dict[str, float]) -> np.ndarray:
    """Of 0, 1, 2, ... episodes in a group: negative binomial if patients differ."""
    years = given["patients_per_group"] * given["years_each"]
    mean, variance = years * given["rate"], given["frailty_variance"]
    if variance == 0:
        return poisson.pmf(COUNTS, mean)
    size = given["patients_per_group"] / variance
    return nbinom.pmf(COUNTS, size, size / (size + mean))


@pytest.mark.parametrize("identifier", ["cluster-01", "cluster-02", "cluster-03"])
def test_exact_limits_cover_as_often_as_computed(identifier: str) -> None:
    given, expected = example(identifier)
    years = given["patients_per_group"] * given["years_each"]
    limits = exact_poisson_limits(COUNTS, np.full(len(COUNTS), years), 0.95)
    covers = (limits.lower <= given["rate"]) & (given["rate"] <= limits.upper)
    found = chance_of_totals(given)[covers].sum()
    assert found == pytest.approx(expected["coverage_of_exact_95pc_interval"], rel=1e-6)


@pytest.mark.parametrize("identifier", ["cluster-01", "cluster-02", "cluster-03"])
def test_two_equal_groups_differ_by_luck_as_often_as_computed(identifier: str) -> None:
    """The central p of the exact rate ratio: twice the smaller binomial tail."""
    given, expected = example(identifier)
    chance = chance_of_totals(given)
    one, other = np.meshgrid(COUNTS, COUNTS, indexing="ij")
    total = one + other
    tails = np.minimum(binom.cdf(one, total, 0.5), binom.sf(one - 1, total, 0.5))
    rejects = np.minimum(1, 2 * tails) <= 0.05
    size = (np.outer(chance, chance) * rejects).sum()
    assert size == pytest.approx(expected["size_of_central_exact_5pc_two_group_test"], rel=1e-6)
