"""What every measure is made of: cases, days at risk and periods, worked out once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from surveillance.cases.cases import Cases, cases
from surveillance.cases.organisms import Organisms
from surveillance.rules import RuleSet
from surveillance.tables import Record
from surveillance.time_at_risk.calendar import Calendar
from surveillance.time_at_risk.days import BandDays, days_by_band, days_by_patient
from surveillance.time_at_risk.splits import SPLITS
from surveillance.time_at_risk.steps import BandSteps
from surveillance.time_at_risk.stretches import Bools, Ints
from surveillance.time_at_risk.timeline import Timeline, timeline


@dataclass(frozen=True)
class Facts:
    """Columns and tables of some clinics; tables of cells have a column for each period."""

    at: Timeline
    when: Calendar
    made: Cases
    rule_set: RuleSet
    steps: Mapping[str, BandSteps]
    band_days: Mapping[str, BandDays]
    patient_days: Ints  # patients x periods
    clinic_days_by_month: Ints  # clinics x months

    @property
    def clinics(self) -> Ints:
        return np.arange(len(self.at.record.clinics))

    @property
    def clinic_days(self) -> Ints:
        """Clinics x periods."""
        return self.when.sums(self.clinic_days_by_month)

    def of_clinics(self, by_patient: Ints) -> Ints:
        """Patients' rows summed into clinics' rows."""
        return sum_of_clinics(self.at, by_patient)

    def case_counts(self, rows: Bools | Ints) -> Ints:
        """Cases (rows chosen by truth or place) counted into clinics x periods of their onset."""
        clinic, onset = self.made.clinic[rows], self.made.rows.onset[rows]
        return self.when.counts(clinic, onset, len(self.clinics))

    def treated_counts(self, flags: Bools) -> Ints:
        """Episodes that are asked for outcomes, those with a flag, counted likewise."""
        return self.case_counts(self.made.outcomes.treated.row[flags])


def sum_of_clinics(at: Timeline, by_patient: Ints) -> Ints:
    """Rows of patients, sorted by clinic, summed into rows of clinics. Test: test_compute.py."""
    size = np.bincount(at.clinic, minlength=len(at.record.clinics))
    some = np.flatnonzero(size)
    total = np.zeros((len(size), by_patient.shape[1]), dtype=np.int64)
    if len(some):
        total[some] = np.add.reduceat(by_patient, (np.cumsum(size) - size)[some], axis=0)
    return total


def facts(
    visible: Record, known: Organisms, rule_set: RuleSet, when: Calendar, as_of: int
) -> Facts:
    """Everything the measures share, of a visible record.

    as_of: days since 1970-01-01. Test: tests/surveillance/measures/test_compute.py.
    """
    at = timeline(visible, rule_set, as_of)
    steps = {name: make(at, rule_set) for name, make in SPLITS.items()}
    by_patient = days_by_patient(at, when.months)
    return Facts(
        at=at,
        when=when,
        made=cases(at, known, rule_set),
        rule_set=rule_set,
        steps=steps,
        band_days={name: days_by_band(at, split, when.months) for name, split in steps.items()},
        patient_days=when.sums(by_patient),
        clinic_days_by_month=sum_of_clinics(at, by_patient),
    )
