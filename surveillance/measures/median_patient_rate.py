"""Median over patients of their own rate of peritonitis."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.cases.episodes import PERITONITIS
from surveillance.measures.facts import Facts
from surveillance.measures.figures import Figure, Measure
from surveillance.measures.infection_rates import counted
from surveillance.rates.binomial import Floats
from surveillance.time_at_risk.stretches import Ints


def medians(cell: Ints, rate: Floats, size: Ints) -> Floats:
    """Median of each cell of `size` patients, of whom those not given have a rate of 0.

    cell, rate: of the patients above 0; an empty cell has no median. Even: mean of the middle two.
    Test: tests/surveillance/measures/test_median_patient_rate.py.
    """
    order = np.lexsort((rate, cell))
    above = np.append(rate[order], 0.0)
    first = np.searchsorted(cell[order], np.arange(len(size)))
    zeros = size - np.bincount(cell, minlength=len(size))
    low, high = (
        np.where(place < zeros, 0.0, above[np.where(place < zeros, -1, first + place - zeros)])
        for place in ((size - 1) // 2, size // 2)
    )
    return np.where(size > 0, (low + high) / 2, np.nan)


def _figures(facts: Facts) -> Iterator[Figure]:
    made, days = facts.made, facts.patient_days
    rows = counted(PERITONITIS)(facts)
    own = facts.when.counts(made.rows.patient[rows], made.rows.onset[rows], len(days))
    at_risk = facts.of_clinics((days > 0).astype(np.int64))
    patient, period = np.nonzero((own > 0) & (days > 0))
    years = facts.rule_set.number("days_per_year")
    rate = own[patient, period] * years / days[patient, period]
    cell = facts.at.clinic[patient] * days.shape[1] + period
    value = medians(cell, rate, at_risk.ravel()).reshape(at_risk.shape)
    yield Figure(facts.case_counts(rows), at_risk, facts.clinics, value=value)


MEDIAN_PATIENT_RATE = Measure("median_patient_rate", "patients", "", _figures)
