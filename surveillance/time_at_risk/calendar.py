"""The periods for which each clinic has rows, and cells of months turned into rows of periods."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from surveillance.periods import Period, day_number, month_start, periods_in, stop_of_ended_months
from surveillance.tables import Record
from surveillance.time_at_risk.clinic_range import NOTHING, first_months, months_of_all
from surveillance.time_at_risk.months import Months, month_counts, period_sums
from surveillance.time_at_risk.stretches import Bools, Ints


@dataclass(frozen=True)
class Calendar:
    """Months and periods of some clinics; each clinic's own begin in its own January."""

    months: Months
    periods: list[Period]
    first: Ints  # first month of each clinic

    def sums(self, by_month: Ints) -> Ints:
        """Cells x months summed into cells x periods."""
        return period_sums(by_month, self.months, self.periods)

    def counts(self, cell: Ints, day: Ints, cells: int) -> Ints:
        """Events on days counted into cells x periods."""
        return self.sums(month_counts(cell, day, cells, self.months))

    def rows(self, clinic: Ints, *tables: Ints, divided: bool) -> tuple[Ints, Ints]:
        """(cell, period) of each row that exists for cells of the given clinics.

        An undivided row exists for every period of its clinic; a band row for all but months where
        one of the tables (cells x periods) is not 0. Source: design 3.3. Test: test_calendar.py.
        """
        begins = np.array([period.first_month for period in self.periods], dtype=np.int64)
        exists = self.first[clinic][:, None] <= begins[None, :]
        if divided:
            some = np.logical_or.reduce([table != 0 for table in tables])
            exists &= some & self._longer_than_a_month()[None, :]
        cell, period = np.nonzero(exists)
        return cell, period

    def _longer_than_a_month(self) -> Bools:
        return np.array([period.kind != "month" for period in self.periods], dtype=bool)

    def first_day(self, clinic: Ints) -> Ints:
        """The first day of the range of each clinic; beyond every range if it has none."""
        months = np.unique(self.first)
        days = [
            day_number(month_start(int(month))) if month < NOTHING else 2**31 for month in months
        ]
        return np.array(days, dtype=np.int64)[np.searchsorted(months, self.first)][clinic]

    @property
    def stop_day(self) -> int:
        """The day after the last ended month."""
        return day_number(month_start(self.months.stop))


def calendar(visible: Record, as_of: date, through: str | None) -> Calendar:
    """The periods of a visible record that have ended by `as_of` and by the end of `through`.

    Source: design 2. Test: tests/surveillance/time_at_risk/test_calendar.py.
    """
    first = first_months(visible)
    months = months_of_all(first, stop_of_ended_months(as_of, through))
    return Calendar(months, periods_in(months.first, months.stop), first)
