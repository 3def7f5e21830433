"""Long stretches without an episode, on the clock of patient-days: t and g charts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from surveillance.signals.basis import Basis
from surveillance.signals.phases import Floats
from surveillance.signals.rows import Block
from surveillance.signals.shewhart import TAIL, g_chart, t_chart
from surveillance.signals.words import day_words, luck_words
from surveillance.time_at_risk.stretches import Ints

G_RULE, T_RULE = "long_gap", "long_gap_t_chart"
FEWEST_GAPS = 8  # before that an own mean says little; our choice


@dataclass(frozen=True)
class Gaps:
    """One clinic's stretches between episodes; the last one is still running."""

    start: Ints  # the day of the episode before, itself in it; or the first at risk
    end: Ints  # last day, that of the episode or the last that is looked at
    patient_days: Ints  # two episodes of one day: 0
    rate: float  # per patient-day: agreed, else the clinic's own; not a number if neither is known
    per_year: float  # episodes a year that the rate gives at the clinic's size of the last year

    @property
    def closed(self) -> Ints:
        return self.patient_days[:-1]


def gaps(basis: Basis, clinic: int) -> Gaps:
    """The stretches of one clinic, episodes of one day in their stable order.

    The clock stands still while nobody is at risk. Test: tests/.../signals/test_long_gaps.py.
    """
    clock = np.concatenate([[0], np.cumsum(basis.at_risk[clinic])])
    owner, onset = basis.episodes
    days = onset[owner == clinic]
    at = np.concatenate([[0], clock[days - basis.first_day], clock[-1:]])
    first = int(basis.first_day_at_risk[clinic])
    start = np.minimum(np.concatenate([[first], days]), basis.stop_day - 1)
    end = np.concatenate([days, [basis.stop_day - 1]])
    length = np.diff(at)
    agreed = basis.baselines(np.array([basis.stop_day - 1])).agreed[clinic, 0]
    days_per_year = basis.facts.rule_set.number("days_per_year")
    own = 1 / length[:-1].mean() if len(days) >= FEWEST_GAPS and length[:-1].any() else np.nan
    rate = float(own if np.isnan(agreed) else agreed / days_per_year)
    year = basis.at_risk[clinic, -365:].mean() * days_per_year if basis.at_risk.shape[1] else 0.0
    return Gaps(np.minimum(start, end), end, length, rate, float(rate * year))


def long_gaps(basis: Basis) -> Iterator[Block]:
    """The running stretch of each clinic, and every earlier one beyond a limit: what went right?

    Source: statistics.md 2.9. Test: tests/surveillance/signals/test_long_gaps.py.
    """
    for clinic in np.flatnonzero(basis.dated).tolist():
        one = gaps(basis, clinic)
        mean = 1 / one.rate if one.rate > 0 else np.nan
        known = one.rate > 0
        limit = float(g_chart(mean).probability_limits[2]) if known else np.nan
        yield _block(G_RULE, clinic, one, limit, one.per_year * TAIL, mean)
        if len(one.closed) >= FEWEST_GAPS:
            upper = t_chart(one.closed).upper
            luck = one.per_year * float(np.exp(-upper / mean)) if known else np.nan
            yield _block(T_RULE, clinic, one, upper, luck, mean)


def _block(rule: str, clinic: int, one: Gaps, limit: float, luck: float, mean: float) -> Block:
    shown = one.patient_days > limit
    shown[-1] = True
    length, start, end = one.patient_days[shown], one.start[shown], one.end[shown]
    chance: Floats = np.exp(-length / mean)
    sentence = [
        _sentence(*told, limit, luck)
        for told in zip(start.tolist(), end.tolist(), length.tolist(), strict=True)
    ]
    return Block(
        rule, np.full(len(length), clinic), start, end, 0, length / mean, length, limit, luck,
        sentence, chance,
    )  # fmt: skip


def _sentence(start: int, end: int, length: int, limit: float, luck: float) -> str:
    when = f"from {day_words(start)} to {day_words(end)}"
    told = f"{length:,} patient-days {when} with no episode between"
    if limit != limit:
        return f"{told}: too few episodes so far to say what is long."
    if length > limit:
        return (
            f"{told}: longer than luck explains ({luck_words(luck)}). Find out what went right, "
            "and whether episodes are still on their way into the record."
        )
    return f"{told}: no longer than luck makes them; {limit:,.0f} would be."
