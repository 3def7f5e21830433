"""Values that change from day to day."""

import numpy as np
import pytest

from surveillance.time_at_risk.steps import Steps, age_labels, aged, latest_open, steps_from
from surveillance.time_at_risk.stretches import Stretches

START = np.array([0])


def at(steps: Steps, places: list[int]) -> list[int]:
    return steps.at(np.array(places)).tolist()


def test_days_before_the_first_step_have_the_other_value():
    steps = steps_from(np.array([0, 100]), np.array([10, 100]), np.array([7, 8]), -1)
    assert at(steps, [0, 9, 10, 99, 100]) == [-1, -1, 7, 7, 8]


def test_cutting_keeps_every_day():
    steps = steps_from(START, np.array([10]), np.array([7]), -1)
    pieces, code = steps.cut(Stretches(np.array([5]), np.array([20])))
    assert (pieces.start.tolist(), pieces.stop.tolist()) == ([5, 10], [10, 20])
    assert code.tolist() == [-1, 7]


def test_of_two_open_stretches_the_one_started_last_holds_and_then_the_other_again():
    steps = latest_open(START, np.array([2, 5, 6]), np.array([20, 9, 7]))
    assert at(steps, [1, 2, 5, 6, 7, 9, 20]) == [-1, 0, 1, 2, 1, 0, -1]


def test_of_two_started_the_same_day_the_last_in_order_holds():
    steps = latest_open(START, np.array([2, 2]), np.array([9, 5]))
    assert at(steps, [2, 5]) == [1, 0]


@pytest.mark.parametrize(
    ("age", "band"),
    [(0, 0), (90, 0), (91, 1), (181, 1), (182, 2), (364, 2), (365, 3), (729, 3), (730, 4)],
)
def test_bands_begin_on_their_day(age, band):
    base = steps_from(START, np.array([10]), np.array([10]), -1)
    assert at(aged(base, base.code, (0, 91, 182, 365, 730)), [10 + age]) == [band]


def test_a_new_clock_starts_over_and_none_is_no_band():
    base = steps_from(START, np.array([10, 105]), np.array([10, 105]), -1)
    assert at(aged(base, base.code, (0, 91)), [0, 9, 101, 104, 105]) == [-1, -1, 1, 1, 0]


def test_labels_are_closed_but_the_last():
    assert age_labels((0, 91, 182)) == ("0-90", "91-181", "182+")
