"""Days and events summed by month, and months summed into periods."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from surveillance.periods import Period, day_number, month_start
from surveillance.time_at_risk.stretches import Ints


@dataclass(frozen=True)
class Months:
    """A run of whole months, counted since 1970-01."""

    first: int
    stop: int

    @cached_property
    def starts(self) -> Ints:
        """The first day of each month, and of the month after the last."""
        days = [day_number(month_start(month)) for month in range(self.first, self.stop + 1)]
        return np.array(days, dtype=np.int64)

    def of(self, day: Ints) -> Ints:
        """The place in the run of each day's month; outside it -1 or the length of the run."""
        return self.starts_until(day + 1) - 1

    def starts_until(self, day: Ints) -> Ints:
        """How many months of the run start before each day; one search a day of the calendar."""
        if not len(day):
            return np.zeros(0, dtype=np.int64)
        low = day.min()
        number = np.searchsorted(self.starts, np.arange(low, day.max() + 1), "left")
        found: Ints = number[day - low]
        return found

    def __len__(self) -> int:
        return max(0, self.stop - self.first)


def month_days(cell: Ints, start: Ints, stop: Ints, cells: int, months: Months) -> Ints:
    """Days of [start, stop) stretches in each (cell, month).

    cell: one a stretch, below `cells`; start, stop: days since 1970-01-01. A stretch adds +1 a day
    from its first day on and -1 from its stop on, so the days before a month's first day need only
    the count and the sum of the edges before it. Test: test_months.py.
    """
    starts, width = months.starts, len(months) + 2
    number, total = np.zeros(cells * width, dtype=np.int64), np.zeros(cells * width)
    for day, sign in ((start, 1), (stop, -1)):
        place = cell * width + months.starts_until(day)
        number += sign * np.bincount(place, minlength=cells * width)
        # Sums of days stay far below 2**53, so the floats that bincount adds are exact integers.
        total += sign * np.bincount(place, weights=day - starts[0], minlength=cells * width)
    edges, sums = (
        _running(table.reshape(cells, width)) for table in (number, total.astype(np.int64))
    )
    before: Ints = edges * (starts - starts[0]) - sums
    return np.diff(before, axis=1)


def _running(table: Ints) -> Ints:
    """Sums of each cell up to each month's first day."""
    return table[:, :-1].cumsum(axis=1)


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
    sums: Ints = np.take(running, stop, axis=1) - np.take(running, first, axis=1)
    return sums
