"""Sets of whole days on one number line: union, difference, intersection, in columns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

FAR = 2**62  # beyond every day of every patient


@dataclass(frozen=True)
class Stretches:
    """Half-open [start, stop), sorted, none touching the next."""

    start: Ints
    stop: Ints


def changes(values: Ints) -> Bools:
    """Whether each value differs from the one before it. Test: test_stretches.py."""
    new = np.ones(len(values), dtype=bool)
    np.not_equal(values[1:], values[:-1], out=new[1:])
    return new


def distinct(values: Ints) -> Ints:
    """The values in rising order, each once; what is nearly sorted already takes no time.

    Test: tests/surveillance/time_at_risk/test_stretches.py.
    """
    ordered = np.sort(values)
    return ordered[changes(ordered)]


def each_in(first: Ints, stop: Ints) -> tuple[Ints, Ints]:
    """Every (row, position) with first[row] <= position < stop[row], in order.

    Test: tests/surveillance/time_at_risk/test_stretches.py.
    """
    counts = np.maximum(stop - first, 0)
    row = np.repeat(np.arange(len(counts)), counts)
    before = np.cumsum(counts) - counts
    return row, first[row] + np.arange(len(row)) - before[row]


def union(start: Ints, stop: Ints) -> Stretches:
    """The days in any of the given [start, stop), empty ones ignored. Test: test_stretches.py."""
    some = start < stop
    order = np.argsort(start[some], kind="stable")
    start, stop = start[some][order], stop[some][order]
    reach = np.maximum.accumulate(stop)
    opens = np.ones(len(start), dtype=bool)
    opens[1:] = start[1:] > reach[:-1]
    first = np.flatnonzero(opens)
    last = np.append(first[1:], len(start))[: len(first)] - 1
    return Stretches(start[first], reach[last])


def intersect(one: Stretches, other: Stretches) -> tuple[Ints, Ints, Stretches]:
    """The days in both: row of one, row of other, shared stretch. Test: test_stretches.py."""
    first = np.searchsorted(other.stop, one.start, "right")
    stop = np.searchsorted(other.start, one.stop, "left")
    row, place = each_in(first, stop)
    start = np.maximum(one.start[row], other.start[place])
    return row, place, Stretches(start, np.minimum(one.stop[row], other.stop[place]))


def without(one: Stretches, other: Stretches) -> Stretches:
    """The days of one that are not in other. Test: test_stretches.py."""
    gaps = Stretches(np.append(-FAR, other.stop), np.append(other.start, FAR))
    return intersect(one, gaps)[2]


def covers(stretches: Stretches, day: Ints) -> Bools:
    """Whether each day lies in one of the stretches. Test: test_stretches.py."""
    return np.searchsorted(stretches.start, day, "right") > np.searchsorted(
        stretches.stop, day, "right"
    )


def next_in(stretches: Stretches, day: Ints) -> Ints:
    """The first day from each day on that lies in a stretch, else FAR. Test: test_stretches.py."""
    place = np.searchsorted(stretches.stop, day, "right")
    found: Ints = np.maximum(np.append(stretches.start, FAR)[place], day)
    return found
