"""A weighted average of the months' observed over expected episodes, for slow rises."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.cases.episodes import PERITONITIS
from surveillance.estimates.rows import is_of
from surveillance.measures.infection_rates import counted
from surveillance.periods import day_number
from surveillance.signals.basis import Basis
from surveillance.signals.phases import Floats
from surveillance.signals.rows import Block
from surveillance.signals.words import day_words, episodes
from surveillance.time_at_risk.stretches import Bools, Ints

RULE = "monthly_ewma"
WEIGHT, WIDTH = 0.2, 3.0  # statistics.md 2.10


def ewma_of_ratios(counts: Ints, expected: Floats, restarts: Bools) -> tuple[Floats, Floats]:
    """Average and upper limit, clinics x months, on the scale of observed over expected.

    z <- (1 - w) z + w x / e from 1, its variance <- (1 - w)^2 variance + w^2 / e from 0: with equal
    months this is `ewma_path` over the mean. A month with nobody at risk leaves both as they are.
    Source: statistics.md 2.10; the varying form by hand. Test: test_monthly_ewma.py.
    """
    clinics, months = counts.shape
    z, variance = np.ones(clinics), np.zeros(clinics)
    path = np.full((months, clinics), np.nan)
    limits = np.full((months, clinics), np.nan)
    for month in range(months):
        anew, mean = restarts[:, month], expected[:, month]
        z, variance = np.where(anew, 1.0, z), np.where(anew, 0.0, variance)
        some = mean > 0
        whole = np.where(some, mean, 1.0)
        z = np.where(some, (1 - WEIGHT) * z + WEIGHT * counts[:, month] / whole, z)
        spread = (1 - WEIGHT) ** 2 * variance + WEIGHT**2 / whole
        variance = np.where(some, spread, variance)
        path[month] = np.where(some, z, np.nan)
        limits[month] = np.where(some, 1 + WIDTH * np.sqrt(variance), np.nan)
    return path.T, limits.T


def monthly_ewma(basis: Basis) -> Iterator[Block]:
    """The newest ended month of each clinic, and every earlier one beyond the limit.

    Source: statistics.md 2.10. Test: tests/surveillance/signals/test_monthly_ewma.py.
    """
    facts = basis.facts
    own = is_of(facts.when.periods, ("month",))
    months = [one for one, chosen in zip(facts.when.periods, own, strict=True) if chosen]
    if not months:
        return
    start = np.array([day_number(one.start) for one in months], dtype=np.int64)
    end = np.array([day_number(one.last_day) for one in months], dtype=np.int64)
    base = basis.baselines(start)
    years = facts.clinic_days[:, own] / facts.rule_set.number("days_per_year")
    counts = facts.case_counts(counted(PERITONITIS)(facts))[:, own]
    changed = np.diff(base.phase, axis=1, prepend=base.phase[:, :1]) != 0
    z, limit = ewma_of_ratios(counts, base.expected * years, changed)
    shown = z > limit
    shown[:, -1] = facts.when.first <= months[-1].first_month
    clinic, month = np.nonzero(shown)
    at = (clinic, month)
    mean = (base.expected * years)[at]
    told = zip(
        start[month].tolist(), end[month].tolist(), counts[at].tolist(), mean.tolist(),
        z[at].tolist(), limit[at].tolist(), strict=True,
    )  # fmt: skip
    sentence = [_sentence(*one) for one in told]
    yield Block(
        RULE, clinic, start[month], end[month], counts[at], mean, z[at], limit[at], np.nan, sentence
    )


def _sentence(start: int, end: int, seen: int, mean: float, z: float, limit: float) -> str:
    if z != z:
        return f"Nobody was at risk from {day_words(start)} to {day_words(end)}."
    side = "above its limit" if z > limit else "within its limit"
    return (
        f"The running average of observed over expected months stood at {z:.2f}, {side} of "
        f"{limit:.2f}, on {day_words(end)} ({episodes(seen)} in that month, {mean:.1f} expected)."
    )
