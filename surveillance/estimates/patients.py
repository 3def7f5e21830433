"""Counted peritonitis and days at risk of each patient, clinic by clinic."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from surveillance.cases.episodes import PERITONITIS
from surveillance.estimates.rows import YEARS, Cells, is_of
from surveillance.measures.facts import Facts
from surveillance.measures.infection_rates import counted
from surveillance.time_at_risk.stretches import Ints


@dataclass(frozen=True)
class OfPatients:
    """Patients of one clinic x its years and rolling years."""

    at: Cells
    events: Ints
    days: Ints


def clinic_bounds(facts: Facts) -> Ints:
    """Where each clinic's patients begin, and after them all. Test: test_patients.py."""
    return np.searchsorted(facts.at.clinic, np.arange(len(facts.clinics) + 1))


def years_of_clinic(facts: Facts, clinic: int) -> Cells:
    """The years and rolling years of one clinic. Test: test_patients.py."""
    begins = np.array([period.first_month for period in facts.when.periods], dtype=np.int64)
    own = is_of(facts.when.periods, YEARS) & (begins >= facts.when.first[clinic])
    period = np.flatnonzero(own)
    return Cells(np.full(len(period), clinic, dtype=np.int64), period)


def of_patients(facts: Facts) -> Iterator[OfPatients]:
    """Counts and days of every patient, for each clinic that has a year. Test: test_patients.py."""
    rows, made = counted(PERITONITIS)(facts), facts.made
    days = facts.patient_days
    events = facts.when.counts(made.rows.patient[rows], made.rows.onset[rows], len(days))
    bounds = clinic_bounds(facts)
    for clinic in range(len(facts.clinics)):
        at = years_of_clinic(facts, clinic)
        own = slice(bounds[clinic], bounds[clinic + 1])
        if len(at):
            yield OfPatients(at, events[own][:, at.period], days[own][:, at.period])
