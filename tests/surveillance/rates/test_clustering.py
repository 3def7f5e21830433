"""Clustering and shrinkage beyond the worked examples, each figure worked out by hand."""

import pytest

from surveillance.rates.clustering import overdispersion, shrinkage


def test_groups_that_differ_by_more_than_chance_are_pulled_part_of_the_way():
    # Marshall by hand: m = 1.1, A = 0.81 - 1.1 / 10 = 0.70, weight 0.70 / (0.70 + 0.11)
    found = shrinkage([2, 20], [10, 10], prior_shape=4, prior_rate=10, threshold=0.4)
    weight = 0.70 / 0.81
    assert found.overall == pytest.approx(1.1)
    assert found.marshall_A == pytest.approx(0.70)
    assert found.marshall == pytest.approx([1.1 - 0.9 * weight, 1.1 + 0.9 * weight])
    assert found.fixed_prior == pytest.approx([6 / 20, 24 / 20])


def test_a_small_group_is_pulled_further_than_a_large_one():
    # by hand: m = 35 / 35 = 1, A = (30 x 0.01 + 5 x 0.36 ) / 35 - 1 / 17.5 = 0.0028571
    found = shrinkage([27, 8], [30, 5], prior_shape=4, prior_rate=10, threshold=0.4)
    between = (30 * 0.1**2 + 5 * 0.6**2) / 35 - 1 / 17.5
    pulled = [between / (between + 1 / years) for years in (30, 5)]
    assert found.marshall == pytest.approx([1 - 0.1 * pulled[0], 1 + 0.6 * pulled[1]])


def test_no_episode_at_all_is_a_rate_of_zero_without_clustering():
    found = overdispersion([0, 0, 0], [1, 1, 1])
    assert (found.rate, found.phi, found.lr) == (0, 0, 0)
    assert found.ci_robust == (0, 0)
    assert found.nb_rate is None


@pytest.mark.parametrize(("events", "years"), [([1], [1]), ([1, 2], [1, 0]), ([1, 2], [1, -1])])
def test_too_few_patients_or_no_time_at_risk_is_refused(events, years):
    with pytest.raises(ValueError, match="two or more patients with time at risk"):
        overdispersion(events, years)


@pytest.mark.parametrize(("events", "years"), [([1, 1], [1, 0]), ([], [])])
def test_a_group_without_time_at_risk_is_refused(events, years):
    with pytest.raises(ValueError, match="every group needs time at risk"):
        shrinkage(events, years, 4, 10, 0.4)


def test_a_group_of_half_a_year_is_shrunk_like_any_other():
    found = shrinkage([1, 3], [0.5, 8.0], 4, 10, 0.4)
    assert found.overall == pytest.approx(4 / 8.5)
    assert found.fixed_prior == pytest.approx([5 / 10.5, 7 / 18])
