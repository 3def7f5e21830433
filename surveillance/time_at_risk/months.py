"""Days and events summed by month, and months summed into periods."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from surveillance.periods import Period, day_number, month_start
from surveillance.time_at_risk.stretches import Ints


@dataclass(frozen=True)
class Months:
    """A run of whole months, counted since 1970-01."""

    first: int
    stop: int

    @property
    def starts(self) -> Ints:
        """The first day of each month, and of the month after the last."""
        days = [day_number(month_start(month)) for month in range(self.first, self.stop + 1)]
        return np.array(days, dtype=np.int64)

    def of(self, day: Ints) -> Ints:
        """The place in the run of each day's month; outside it -1 or the length of the run."""
        return np.searchsorted(self.starts, day, "right") - 1

    def __len__(self) -> int:
        return max(0, self.stop - self.first)


def month_days(cell: Ints, start: Ints, stop: Ints, cells: int, months: Months) -> Ints:
    """Days of [start, stop) stretches in each (cell, month).

    cell: one a stretch, below `cells`; start, stop: days since 1970-01-01. A stretch adds +1 a day
    from its first day on and -1 from its stop on, so the days before a month's first day need only
    the count and the sum of the edges before it. Test: test_months.py.
    """
    edges = months.starts
    counts = _before(cell, start, edges, cells) - _before(cell, stop, edges, cells)
    return np.diff(counts, axis=1)


def _before(cell: Ints, day: Ints, edges: Ints, cells: int) -> Ints:
    """Sum over a cell's days d of max(0, edge - d), for each edge."""
    base = edges[0]
    place = cell * (len(edges) + 1) + np.searchsorted(edges, day, "left")
    shape, size = (cells, len(edges) + 1), cells * (len(edges) + 1)
    # Sums of days stay far below 2**53, so the floats that bincount adds are exact integers.
    number = np.bincount(place, minlength=size).reshape(shape).cumsum(axis=1)
    total = np.bincount(place, weights=day - base, minlength=size).reshape(shape).cumsum(axis=1)
    counts = number[:, :-1] * (edges - base) - np.rint(total[:, :-1]).astype(np.int64)
    return np.asarray(counts, dtype=np.int64)


def month_counts(cell: Ints, day: Ints, cells: int, months: Months) -> Ints:
    """Events in each (cell, month); those outside the months are left out. Test: test_months.py."""
    place = months.of(day)
    inside = (place >= 0) & (place < len(months))
    flat = cell[inside] * len(months) + place[inside]
    return np.bincount(flat, minlength=cells * len(months)).reshape(cells, len(months))


def period_sums(by_month: Ints, months: Months, periods: Sequence[Period]) -> Ints:
    """Columns of months summed into columns of periods. Test: test_months.py."""
    running = np.zeros((by_month.shape[0], by_month.shape[1] + 1), dtype=np.int64)
    np.cumsum(by_month, axis=1, out=running[:, 1:])
    first = [period.first_month - months.first for period in periods]
    stop = [period.stop_month - months.first for period in periods]
    sums: Ints = running[:, stop] - running[:, first]
    return sums
