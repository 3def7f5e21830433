"""What is still on its way: growth of earlier periods applied to the newest."""

import math

import pytest

from surveillance.rates.lateness import chain_ladder


def test_the_newest_period_grows_as_the_earlier_ones_did():
    found = chain_ladder([[4, 6, 6], [2, 3, None], [8, None, None]])
    assert found.factors == pytest.approx([9 / 6, 1])
    assert (found.latest, found.nowcast) == (8, pytest.approx(12))
    assert found.share_in == pytest.approx(8 / 12)


def test_a_newest_period_that_is_further_on_grows_only_by_what_is_left():
    found = chain_ladder([[4, 6, 9], [2, 8, None]])
    assert (found.latest, found.nowcast) == (8, pytest.approx(12))


def test_nothing_to_learn_from_is_no_factor_and_no_share():
    found = chain_ladder([[0, 0], [0, None]])
    assert math.isnan(found.factors[0])
    assert math.isnan(found.share_in)


@pytest.mark.parametrize("cumulative", [[], [[]]])
def test_no_period_at_all_is_refused(cumulative):
    with pytest.raises(ValueError, match="one row a period or more"):
        chain_ladder(cumulative)
