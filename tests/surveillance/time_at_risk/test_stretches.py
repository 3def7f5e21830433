"""Sets of days: every operation agrees with Python sets of whole days."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from surveillance.time_at_risk.stretches import (
    FAR,
    Stretches,
    changes,
    covers,
    distinct,
    each_in,
    intersect,
    next_in,
    union,
    without,
)

BOUNDS = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), max_size=8)


def days(stretches: Stretches) -> set[int]:
    pairs = zip(stretches.start, stretches.stop, strict=True)
    return {day for start, stop in pairs for day in range(start, stop)}


def made(bounds: list[tuple[int, int]]) -> Stretches:
    columns = np.array(bounds, dtype=np.int64).reshape(-1, 2)
    return union(columns[:, 0], columns[:, 1])


def whole(bounds: list[tuple[int, int]]) -> set[int]:
    return {day for start, stop in bounds for day in range(start, stop)}


@given(BOUNDS)
def test_a_union_holds_each_day_once_and_leaves_gaps(bounds):
    found = made(bounds)
    assert days(found) == whole(bounds)
    assert (found.start[1:] > found.stop[:-1]).all()


@given(BOUNDS, BOUNDS)
def test_difference_and_intersection_are_those_of_sets(one, other):
    assert days(without(made(one), made(other))) == whole(one) - whole(other)
    assert days(intersect(made(one), made(other))[2]) == whole(one) & whole(other)


@given(BOUNDS, st.integers(-1, 41))
def test_a_day_is_covered_if_it_is_in_the_set(bounds, day):
    place = np.array([day])
    later = [found for found in whole(bounds) if found >= day]
    assert covers(made(bounds), place).tolist() == [day in whole(bounds)]
    assert next_in(made(bounds), place).tolist() == [min(later, default=FAR)]


@pytest.mark.parametrize(
    ("first", "stop", "pairs"),
    [([2, 5], [4, 6], [(0, 2), (0, 3), (1, 5)]), ([3], [3], []), ([4], [2], [])],
)
def test_every_place_of_a_range_is_named(first, stop, pairs):
    found = each_in(np.array(first), np.array(stop))
    assert list(zip(*(column.tolist() for column in found), strict=True)) == pairs


@given(st.lists(st.integers(-5, 5)))
def test_each_value_once_in_rising_order(values):
    assert distinct(np.array(values, dtype=np.int64)).tolist() == sorted(set(values))


def test_a_value_changes_where_it_differs_from_the_one_before():
    assert changes(np.array([3, 3, 4, 3])).tolist() == [True, False, True, True]
    assert changes(np.array([], dtype=np.int64)).tolist() == []
