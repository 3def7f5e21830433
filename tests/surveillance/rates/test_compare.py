"""Comparisons at their edges; the figures are checked in tests/published."""

import math

import pytest

from surveillance.rates.compare import rate_ratio, standardised_ratio


def test_turning_the_arms_round_inverts_the_ratio_and_its_limits():
    one, other = rate_ratio(12, 9.8, 5, 10.2, 0.95), rate_ratio(5, 10.2, 12, 9.8, 0.95)
    assert other.exact == pytest.approx((1 / one.exact[1], 1 / one.exact[0]), rel=1e-9)
    assert other.p_central == pytest.approx(one.p_central, rel=1e-12)


def test_no_events_in_the_second_arm_leave_the_ratio_open_above():
    found = rate_ratio(4, 7.5, 0, 7.5, 0.95)
    assert found.ratio == math.inf and found.exact[1] == math.inf


def test_no_time_at_risk_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        rate_ratio(1, 0, 1, 1, 0.95)


def test_nothing_expected_gives_no_ratio():
    assert standardised_ratio([0.4], [0], 0).ratio is None


@pytest.mark.parametrize(("years", "shown"), [(2.0, True), (1.99, False)])
def test_a_ratio_is_shown_from_one_expected_on(years: float, shown: bool):
    # statistics.md 2.7: do not show if E < 1
    assert standardised_ratio([0.5], [years], 1).show is shown
