"""Days at risk and catheter days by clinic, month and band."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.time_at_risk.months import Months, month_days
from surveillance.time_at_risk.steps import BandSteps
from surveillance.time_at_risk.stretches import Ints, Stretches, union
from surveillance.time_at_risk.timeline import Timeline, open_ended


@dataclass(frozen=True)
class BandDays:
    """Days at risk of one split: a cell is a clinic and a band that has days."""

    clinic: Ints
    band: Ints  # place in labels
    labels: tuple[str, ...]
    days: Ints  # cells x months

    def cell(self, clinic: Ints, band: Ints) -> Ints:
        """The cell of each (clinic, band), which must have days."""
        width = len(self.labels)
        return np.searchsorted(self.clinic * width + self.band, clinic * width + band)


@dataclass(frozen=True)
class _Pieces:
    """Stretches of days, each within one patient."""

    at: Timeline
    patient: Ints
    stretches: Stretches

    @property
    def clinic(self) -> Ints:
        return self.at.clinic[self.patient]

    def days(self, cell: Ints, cells: int, months: Months) -> Ints:
        """Their days in each (cell, month)."""
        places = (self.stretches.start, self.stretches.stop)
        start, stop = (self.at.line.day_of(self.patient, place) for place in places)
        return month_days(cell, start, stop, cells, months)


def _whole(at: Timeline, stretches: Stretches) -> _Pieces:
    return _Pieces(at, at.line.patient(stretches.start), stretches)


def days_by_patient(at: Timeline, months: Months) -> Ints:
    """Days at risk of each patient in each month. Test: test_days.py."""
    pieces = _whole(at, at.at_risk)
    return pieces.days(pieces.patient, at.line.patients, months)


def days_by_band(at: Timeline, split: BandSteps, months: Months) -> BandDays:
    """Days at risk of each clinic and band in each month. Test: test_days.py."""
    row, stretches, code = split.steps.pieces(at.at_risk)
    pieces = _Pieces(at, at.line.patient(at.at_risk.start)[row], stretches)
    width = len(split.labels)
    key = pieces.clinic * width + code
    some = np.bincount(key, minlength=len(at.record.clinics) * width) > 0
    cells, place = np.flatnonzero(some), np.cumsum(some) - 1
    days = pieces.days(place[key], len(cells), months)
    return BandDays(cells // width, cells % width, split.labels, days)


def catheter_days(at: Timeline, months: Months) -> Ints:
    """Days with a catheter in place of each clinic in each month, at risk or not.

    Two catheters on one day count once; the day of removal counts. Source: design 3.2.
    Test: tests/surveillance/time_at_risk/test_days.py.
    """
    catheters = at.record.catheters
    start, stop = open_ended(catheters, "inserted_on", "removed_on", at.line.stop_day)
    patient = catheters["patient"].to_numpy()
    in_place = _whole(at, union(at.line.at(patient, start), at.line.at(patient, stop)))
    return in_place.days(in_place.clinic, len(at.record.clinics), months)
