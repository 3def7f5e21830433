"""Limits of shares at their edges; the figures are checked in tests/published."""

import numpy as np
import pytest

from surveillance.rates.binomial import binomial_limits


def test_none_and_all_reach_the_ends():
    found = binomial_limits([0, 5], [5, 5], 0.95)
    assert found.clopper_pearson[0][0] == 0 and found.clopper_pearson[1][1] == 1
    assert found.wilson[0][0] == 0 and found.wilson[1][1] == 1


def test_a_share_of_nothing_is_no_number():
    found = binomial_limits(0, 0, 0.95)
    assert np.isnan([found.share, *found.clopper_pearson, *found.wilson]).all()


def test_an_unknown_count_is_no_share_and_has_no_limits():
    found = binomial_limits(np.nan, 5, 0.95)
    assert np.isnan([found.share, *found.clopper_pearson, *found.wilson]).all()


@pytest.mark.parametrize(("events", "n"), [(6, 5), (-1, 5), ([1, 6], 5), ([1, -1], 5)])
def test_more_events_than_the_whole_are_refused(events, n):
    with pytest.raises(ValueError, match="between 0 and n"):
        binomial_limits(events, n, 0.95)
