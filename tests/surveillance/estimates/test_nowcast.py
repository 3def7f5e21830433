"""The newest quarters' counts are carried on by the growth of the earlier ones."""

import numpy as np
import pytest

from surveillance.estimates.nowcast import nowcasts

NAN = float("nan")
# Worked example ladder-01 of statistics.md 2.17 (Mack 1993, from memory).
LADDER = np.array(
    [[6, 9, 10, 10], [5, 8, 8, 9], [7, 9, 11, NAN], [4, 7, NAN, NAN], [5, NAN, NAN, NAN]]
)


def test_the_worked_example_is_the_newest_quarter():
    found = nowcasts(LADDER)
    assert found[4].nowcast == pytest.approx(8.83, abs=0.005)
    assert round(found[4].share_in, 2) == 0.57


def test_older_quarters_grow_by_what_is_left_and_known_ones_are_left_out():
    found = nowcasts(LADDER)
    assert sorted(found) == [2, 3, 4]
    assert found[2].nowcast == pytest.approx(11 * 19 / 18)  # only the last step is to come
    assert found[3].nowcast == pytest.approx(7 * 29 / 26 * 19 / 18)


def test_growth_that_nobody_has_seen_is_not_guessed():
    assert nowcasts(np.array([[0.0, 0.0], [3.0, NAN]])) == {}
    assert nowcasts(np.array([[3.0, NAN]])) == {}


def test_a_quarter_that_has_not_ended_is_not_told():
    assert nowcasts(np.array([[3.0, 4.0], [NAN, NAN]])) == {}


def test_long_ago_is_not_learnt_from():
    old, new = np.full((20, 2), [1.0, 9.0]), np.full((12, 2), [2.0, 3.0])
    found = nowcasts(np.vstack([old, new, [[4.0, NAN]]]))
    assert found[32].nowcast == pytest.approx(6.0)
