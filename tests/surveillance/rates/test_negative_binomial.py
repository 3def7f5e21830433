"""The clustering of many groups at once is that of each alone, and exists only where it should."""

import numpy as np
import pytest

from surveillance.rates.clustering import overdispersion
from surveillance.rates.negative_binomial import negative_binomial_clustering
from tests.published.given_rows import example


def test_the_worked_example_of_twenty_patients():
    # worked_examples disp-01 (R: MASS::glm.nb gives the same alpha = 1/theta)
    given, expected = example("disp-01")
    events, years = (np.array(given[name], dtype=float)[:, None] for name in given)
    found = negative_binomial_clustering(events, years)
    assert found.alpha[0] == pytest.approx(expected["nb_alpha"], rel=1e-6)
    assert found.p_boundary[0] == pytest.approx(expected["p_boundary"], rel=1e-6)


def test_groups_do_not_touch_each_other():
    rng = np.random.default_rng(20260401)
    years = rng.choice([0.25, 0.5, 1.0], size=(40, 12))
    events = rng.poisson(0.6 * years * rng.gamma(1.0, 1.0, size=years.shape)).astype(float)
    together = negative_binomial_clustering(events, years)
    for group in range(12):
        alone = overdispersion(events[:, group], years[:, group])
        if alone.phi > 1 and np.isfinite(together.alpha[group]):
            assert together.alpha[group] == pytest.approx(alone.nb_alpha, rel=1e-4)
            assert together.p_boundary[group] == pytest.approx(alone.p_boundary, rel=1e-4)
    assert np.isfinite(together.alpha).sum() >= 8


@pytest.mark.parametrize(
    "events", [[1, 1, 1, 1], [0, 0, 0, 0]], ids=["no more than by chance", "no episode"]
)
def test_there_is_none_where_counts_vary_no_more_than_by_chance(events: list[int]):
    x = np.array(events, dtype=float)[:, None]
    found = negative_binomial_clustering(x, np.ones_like(x))
    assert np.isnan([found.alpha[0], found.p_boundary[0]]).all()


def test_a_patient_without_time_changes_nothing():
    given, expected = example("disp-01")
    events, years = (np.array([*given[name], 0.0])[:, None] for name in given)
    found = negative_binomial_clustering(events, years)
    assert found.alpha[0] == pytest.approx(expected["nb_alpha"], rel=1e-6)
