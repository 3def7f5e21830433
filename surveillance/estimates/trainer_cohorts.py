"""Rates of the patients of each first trainer, pulled towards the clinic's own rate."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.estimates.basis import Basis
from surveillance.estimates.rates import RateRows, rate_rows
from surveillance.estimates.rows import YEARS, Block, Floats, is_of
from surveillance.measures.infection_rates import INFECTION_RATES
from surveillance.rates.clustering import PRIOR_EPISODES, PRIOR_YEARS, marshall
from surveillance.rates.poisson import gamma_posterior
from surveillance.time_at_risk.splits import NONE_RECORDED
from surveillance.time_at_risk.stretches import Ints

NAME, SPLIT = "peritonitis_rate", "first_trainer"


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
    """Marshall's shrunk rates, each cohort towards its clinic's rate of the period."""
    _, whole = np.unique(rows.at.clinic * periods + rows.at.period, return_inverse=True)
    return marshall(rows.count.astype(float), rows.years, whole)[0]


def trainer_cohorts(basis: Basis) -> Iterator[Block]:
    """Each cohort's rate by Marshall's moments, and by a fixed prior with its limits.

    Source: statistics.md 2.15 (Marshall 1991, from memory). Test: test_trainer_cohorts.py.
    """
    facts = basis.facts
    periods = facts.when.periods
    years = np.flatnonzero(is_of(periods, YEARS))
    rows = _cohorts(rate_rows(INFECTION_RATES[0], facts, SPLIT), years)
    yield rows.block(NAME, "marshall", _moments(rows, len(periods)))
    rules = facts.rule_set
    said = gamma_posterior(
        rows.count, rows.years, PRIOR_EPISODES, PRIOR_YEARS, rules.targets[NAME].value,
        rules.number("limits_level"),
    )  # fmt: skip
    note = "prior worth 4 episodes in 10 patient-years"
    yield rows.block(
        NAME, "gamma_prior", np.asarray(said.mean), lower=said.lower, upper=said.upper, note=note
    )
