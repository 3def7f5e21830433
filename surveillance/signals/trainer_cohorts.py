"""Whether patients of different first trainers differ by more than luck; nobody is named."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

import numpy as np
from scipy import special

from surveillance.cases.episodes import PERITONITIS
from surveillance.estimates.rows import is_of
from surveillance.measures.infection_rates import counted, divided
from surveillance.periods import Period, day_number
from surveillance.rates.clustering import PRIOR_EPISODES, PRIOR_YEARS, shrinkage
from surveillance.signals.basis import Basis
from surveillance.signals.phases import Floats
from surveillance.signals.rows import Block
from surveillance.signals.words import day_words, episodes
from surveillance.time_at_risk.splits import NONE_RECORDED, UNKNOWN
from surveillance.time_at_risk.stretches import Ints

RULE, COHORT, SPLIT = "trainer_cohorts", "trainer_cohort", "first_trainer"
FEWEST_TRAINERS = 3  # with fewer, a cohort would be a person
LEVEL = 0.05


def trainer_cohorts(basis: Basis) -> Iterator[Block]:
    """The newest rolling year of each clinic: one test of all cohorts, and each one's shrunk rate.

    A cohort has a number in an order that nobody can read a name or a rank from.
    Source: statistics.md 2.15. Test: tests/surveillance/signals/test_trainer_cohorts.py.
    """
    facts = basis.facts
    rolling = np.flatnonzero(is_of(facts.when.periods, ("rolling_year",)))
    if not len(rolling):
        return
    newest = int(rolling[-1])
    period = facts.when.periods[newest]
    found = divided(facts, counted(PERITONITIS)(facts), SPLIT)
    named = ~np.isin(np.array(found.labels, dtype=object), [UNKNOWN, NONE_RECORDED])[found.bands]
    days_per_year = facts.rule_set.number("days_per_year")
    for clinic in np.flatnonzero(facts.when.first <= period.first_month).tolist():
        own = named & (found.clinic == clinic) & (found.denominator[:, newest] > 0)
        cells = np.flatnonzero(own)
        names = [f"{basis.clinics[clinic]} {found.labels[found.bands[cell]]}" for cell in cells]
        chosen = cells[np.argsort([_hidden(name) for name in names])]
        years = found.denominator[chosen, newest] / days_per_year
        yield from _rows(clinic, period, found.numerator[chosen, newest], years)


def _hidden(name: str) -> str:
    return hashlib.sha256(name.encode()).hexdigest()


def _rows(clinic: int, period: Period, counts: Ints, years: Floats) -> Iterator[Block]:
    start, end = day_number(period.start), day_number(period.last_day)
    when = f"from {day_words(start)} to {day_words(end)}"
    here = np.array([clinic])
    if len(counts) < FEWEST_TRAINERS:
        said = f"Hidden: fewer than {FEWEST_TRAINERS} trainers have patients at risk {when}."
        yield Block(
            RULE, here, [start], end, len(counts), np.nan, np.nan, np.nan, np.nan, [said],
            split=SPLIT,
        )  # fmt: skip
        return
    pooled = counts.sum() / years.sum()
    mean = pooled * years
    df = len(counts) - 1
    square = float(((counts - mean) ** 2 / mean).sum()) if pooled > 0 else 0.0
    limit = float(special.chdtri(df, LEVEL))
    p = float(special.chdtrc(df, square))
    said = _sentence(len(counts), when, int(counts.sum()), square > limit, p)
    yield Block(
        RULE, here, [start], end, counts.sum(), mean.sum(), square, limit, LEVEL, [said], p,
        split=SPLIT,
    )  # fmt: skip
    shrunk = shrinkage(counts, years, PRIOR_EPISODES, PRIOR_YEARS, pooled).marshall
    told = [
        f"{episodes(int(seen))} {when} in this cohort; {rate:.2f} per patient-year after allowing "
        "for small numbers. Cohorts are not ranked."
        for seen, rate in zip(counts, shrunk, strict=True)
    ]
    yield Block(
        COHORT, np.full(len(counts), clinic), np.full(len(counts), start), end, counts, mean,
        shrunk, np.nan, np.nan, told, split=SPLIT,
        band=[f"cohort {number}" for number in range(1, len(counts) + 1)],
    )  # fmt: skip


def _sentence(cohorts: int, when: str, seen: int, differ: bool, p: float) -> str:
    told = f"{cohorts} cohorts by first trainer {when}, {episodes(seen)}"
    if differ:
        return (
            f"{told}: they differ more than luck makes them (p {p:.3f}; luck does so in 5 of 100 "
            "years). Who trained the hardest patients is not in these figures."
        )
    return f"{told}: after allowing for small numbers they cannot be told apart."
