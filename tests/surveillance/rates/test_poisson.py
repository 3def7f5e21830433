"""Limits of rates at their edges; the figures are checked in tests/published."""

import numpy as np
import pytest

from surveillance.rates.poisson import (
    crude_rate,
    exact_poisson_limits,
    gamma_posterior,
    midp_poisson_limits,
)


@pytest.mark.parametrize("limits", [exact_poisson_limits, midp_poisson_limits])
def test_zero_events_have_a_lower_limit_of_zero(limits):
    assert limits(0, 7.5, 0.95).lower == 0


@pytest.mark.parametrize("limits", [exact_poisson_limits, midp_poisson_limits])
def test_without_time_at_risk_there_are_no_limits(limits):
    found = limits([0, 3], [0, 0], 0.95)
    assert np.isnan(found.lower).all() and np.isnan(found.upper).all()


@pytest.mark.parametrize("limits", [exact_poisson_limits, midp_poisson_limits])
def test_an_unknown_count_has_no_limit_on_either_side(limits):
    found = limits([np.nan, 0], 7.5, 0.95)
    assert np.isnan([found.lower[0], found.upper[0]]).all()
    assert found.lower[1] == 0


def test_nothing_seen_and_a_flat_prior_say_nothing_of_the_target():
    found = gamma_posterior([0, 0], [0, 7.5], 0.5, 0, 0.4)
    assert np.isnan([found.mean[0], found.upper[0], found.p_at_or_below_target[0]]).all()
    assert found.p_at_or_below_target[1] == pytest.approx(0.985694121565)  # statistics.md 2.4


def test_mid_p_limits_lie_inside_the_exact_ones():
    events = np.arange(200)
    exact, midp = (f(events, 1.0, 0.95) for f in (exact_poisson_limits, midp_poisson_limits))
    assert (exact.lower <= midp.lower).all() and (midp.upper < exact.upper).all()


def test_without_days_there_is_no_rate_and_without_events_no_months_between():
    assert np.isnan(crude_rate(0, 0, 365.25).rate)
    assert np.isnan(crude_rate(0, 100, 365.25).months_per_episode)


@pytest.mark.parametrize(
    ("events", "years", "level"),
    [
        (-1, 1, 0.95), (1, -1, 0.95), ([1, -1], 1, 0.95), (1, [1, -1], 0.95),
        (1, 1, 95), (1, 1, 0), (1, 1, 1),
    ],
)  # fmt: skip
def test_impossible_input_is_refused_at_the_door(events, years, level):
    with pytest.raises(ValueError, match="not"):
        exact_poisson_limits(events, years, level)


@pytest.mark.parametrize("mean", [0.1, 0.5, 1, 2.5, 6, 16, 60])
def test_exact_limits_hold_the_truth_at_least_as_often_as_they_say(mean):
    """Simulated, 20,000 clinics: 95 % less three standard errors of the simulation."""
    events = np.random.default_rng(20260401).poisson(mean, 20_000)
    found = exact_poisson_limits(events, np.ones(len(events)), 0.95)
    covered = ((found.lower <= mean) & (mean <= found.upper)).mean()
    assert covered >= 0.95 - 3 * (0.95 * 0.05 / len(events)) ** 0.5
