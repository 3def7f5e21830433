"""How much time at risk it takes to know, at the edges; the figures are in tests/published."""

from math import log

import pytest
from scipy.stats import poisson

from surveillance.rates.planning import (
    many_looks,
    peritonitis_free_from_rate,
    power_below_target,
    power_excess,
    relative_standard_error,
    two_period_size,
)


def test_too_little_time_proves_nothing_even_without_an_episode():
    # P(0 | 0.4 x 7) = 0.061 is above 5 %, P(0 | 0.4 x 8) = 0.041 is not
    assert power_below_target(7, 0.3, 0.4, 0.05).largest_count_that_rejects is None
    assert power_below_target(7, 0.3, 0.4, 0.05).power == 0
    assert power_below_target(8, 0.3, 0.4, 0.05).largest_count_that_rejects == 0


@pytest.mark.parametrize("years", [8, 20, 75, 400])
def test_the_counts_are_the_last_that_keep_to_the_error(years):
    # by the definition: scipy's own cumulative probabilities
    below = power_below_target(years, 0.3, 0.4, 0.05).largest_count_that_rejects
    assert poisson.cdf(below, 0.4 * years) <= 0.05 < poisson.cdf(below + 1, 0.4 * years)
    above = power_excess(years, 0.8, 0.4, 0.05)
    count = above.smallest_count_that_rejects
    assert poisson.sf(count - 1, 0.4 * years) <= 0.05 < poisson.sf(count - 2, 0.4 * years)
    assert above.power == pytest.approx(poisson.sf(count - 1, 0.8 * years))


@pytest.mark.parametrize("ratio", [1, 0, -0.5])
def test_no_change_cannot_be_told(ratio):
    with pytest.raises(ValueError, match="above 0 and not 1"):
        two_period_size(0.4, ratio, 0.05, 0.8)


def test_no_change_of_a_rate_of_zero_can_be_told():
    with pytest.raises(ValueError, match="rate_1 0: above 0"):
        two_period_size(0, 0.5, 0.05, 0.8)


def test_a_rise_and_a_fall_are_both_told():
    assert two_period_size(0.4, 2, 0.05, 0.8).patient_years_each == pytest.approx(
        2.8015852**2 * (1 / 0.4 + 1 / 0.8) / 0.6931472**2, rel=1e-6
    )


def test_no_episode_has_no_relative_error():
    assert relative_standard_error(0).percent is None


def test_one_look_is_one_chance():
    assert many_looks(1, 0.05).p_any == pytest.approx(0.05)


@pytest.mark.parametrize("rate", [0.2232, 0.24, 0.25, 0.40, 5.0])
def test_the_clustering_that_leaves_80_percent_free_does_so(rate: float):
    """Negative binomial: (1 + alpha rate)^(-1 / alpha) = 0.8; at 0.25 alpha is 1."""
    alpha = peritonitis_free_from_rate(rate).nb_alpha_for_80_percent
    assert log(1 + alpha * rate) / alpha == pytest.approx(-log(0.8), rel=1e-9)


def test_a_rate_that_equal_risk_leaves_80_percent_free_at_needs_no_clustering():
    assert peritonitis_free_from_rate(0.223).nb_alpha_for_80_percent is None
