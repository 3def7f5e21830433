"""Rates of the patients of each first trainer, pulled towards the clinic's own rate."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from scipy import special

from surveillance.estimates.basis import Basis
from surveillance.estimates.rates import RateRows, rate_rows
from surveillance.estimates.rows import YEARS, Block, Floats, is_of
from surveillance.measures.infection_rates import INFECTION_RATES
from surveillance.time_at_risk.splits import NONE_RECORDED
from surveillance.time_at_risk.stretches import Ints

NAME, SPLIT = "peritonitis_rate", "first_trainer"
PRIOR_EPISODES, PRIOR_YEARS = 4.0, 10.0  # statistics.md 2.15: mean 0.40, worth ten patient-years


def _cohorts(rows: RateRows, years: Ints) -> RateRows:
    """Cohorts with a known trainer and days at risk, in years only."""
    unnamed = [
        place for place, label in enumerate(rows.labels) if label in (NONE_RECORDED, "unknown")
    ]
    kept = np.isin(rows.at.period, years) & ~np.isin(rows.band, unnamed) & rows.known
    return RateRows(
        rows.at.where(kept), rows.count[kept], rows.years[kept], rows.split, rows.band[kept],
        rows.labels,
    )  # fmt: skip


def _moments(rows: RateRows, periods: int) -> Floats:
    """Marshall's shrunk rates: all the overall rate where chance explains the differences."""
    group = rows.at.clinic * periods + rows.at.period
    _, group = np.unique(group, return_inverse=True)

    def total(values: Floats) -> Floats:
        return np.asarray(np.bincount(group, values)[group])

    time, size = total(rows.years), total(np.ones(len(group)))
    mean = total(rows.count.astype(float)) / time
    spread = total(rows.years * (rows.rate - mean) ** 2) / time
    between = spread - mean / (time / size)
    own = between + mean / rows.years
    weight = np.where(between > 0, between / np.where(own > 0, own, 1.0), 0.0)
    return np.asarray(mean + weight * (rows.rate - mean))


def trainer_cohorts(basis: Basis) -> Iterator[Block]:
    """Each cohort's rate by Marshall's moments, and by a fixed prior with its limits.

    Source: statistics.md 2.15 (Marshall 1991, from memory). Test: test_trainer_cohorts.py.
    """
    facts = basis.facts
    periods = facts.when.periods
    years = np.flatnonzero(is_of(periods, YEARS))
    rows = _cohorts(rate_rows(INFECTION_RATES[0], facts, SPLIT), years)
    yield rows.block(NAME, "marshall", _moments(rows, len(periods)))
    shape, rate = PRIOR_EPISODES + rows.count, PRIOR_YEARS + rows.years
    tail = (1 - facts.rule_set.number("limits_level")) / 2
    lower, upper = (special.gammaincinv(shape, p) / rate for p in (tail, 1 - tail))
    note = "prior worth 4 episodes in 10 patient-years"
    yield rows.block(NAME, "gamma_prior", shape / rate, lower=lower, upper=upper, note=note)
