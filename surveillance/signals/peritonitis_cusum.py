"""The default alarm: a weekly likelihood-ratio CUSUM of counted peritonitis in each clinic."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from surveillance.signals.basis import DAYS_A_WEEK, Basis
from surveillance.signals.cusum_limits import RATE_RATIO, limits_for
from surveillance.signals.phases import Floats
from surveillance.signals.rows import Block
from surveillance.signals.words import LOOKS, day_words, episodes, luck_words
from surveillance.time_at_risk.stretches import Bools, Ints

RULE = "peritonitis_cusum"
SIZE_WEEKS = 13  # a clinic's size is its mean time at risk of a quarter; our choice


@dataclass(frozen=True)
class Climbs:
    """Clinics x weeks: the sum, its limit, and the weeks since the sum last stood at 0."""

    total: Floats
    limit: Floats
    false_alarms: Floats
    first_week: Ints
    observed: Ints
    expected: Floats


def _running_mean(values: Floats, weeks: int, since: Ints) -> Floats:
    """Mean of the last weeks, of fewer where a clinic has not begun so long ago."""
    sums = np.cumsum(np.pad(values, ((0, 0), (1, 0))), axis=1)
    week = np.arange(values.shape[1])
    from_week = np.maximum(np.maximum(week - weeks + 1, since[:, None]), 0)
    number = np.maximum(week - from_week + 1, 1)
    total = sums[:, 1:] - np.take_along_axis(sums, from_week, axis=1)
    return np.asarray(np.maximum(total, 0) / number)


def climbs(counts: Ints, years: Floats, baseline: Floats, restarts: Bools) -> Climbs:
    """The path of every clinic's sum, week by week.

    counts, years, baseline: clinics x weeks, patient-years at risk and the rate expected of them;
    restarts: weeks that begin a phase. S <- max(0, S + x ln R - r0 T (R - 1)), R = 2, alarm at
    S > limit strictly, after it and at a restart from 0. The limit is chosen for the clinic's size
    whenever the sum leaves 0 and holds until it is back: an alarm never comes of a size that
    changed. Source: statistics.md 2.10, 2.22. Test: test_peritonitis_cusum.py.
    """
    expected = baseline * years
    begun = np.argmax(years > 0, axis=1) if years.shape[1] else np.zeros(len(years), dtype=int)
    size = _running_mean(years, SIZE_WEEKS, begun) * baseline
    limits, luck = limits_for(size)
    steps = counts * np.log(RATE_RATIO) - expected * (RATE_RATIO - 1)
    clinics, weeks = counts.shape
    total = limit = often = awaited = np.zeros(clinics)
    first = observed = np.zeros(clinics, dtype=np.int64)
    over = np.zeros(clinics, dtype=bool)
    path = []
    for week in range(weeks):
        total = np.where(over | restarts[:, week], 0.0, total)
        anew = total == 0
        limit = np.where(anew, limits[:, week], limit)
        often = np.where(anew, luck[:, week], often)
        first = np.where(anew, week, first)
        observed = np.where(anew, 0, observed) + counts[:, week]
        awaited = np.where(anew, 0, awaited) + expected[:, week]
        total = np.maximum(0, total + steps[:, week])
        over = total > limit
        path.append((total, limit, often, first, observed, awaited))
    columns = [np.array(column).T for column in zip(*path, strict=True)]
    return Climbs(*(columns or [np.zeros((clinics, 0), dtype=np.int64)] * 6))


def _changes(phase: NDArray[np.int64]) -> Bools:
    changed = np.zeros(phase.shape, dtype=bool)
    changed[:, 1:] = phase[:, 1:] != phase[:, :-1]
    return changed


def _reference(rate: float, agreed: bool) -> str:
    return f"the agreed baseline of {rate:.2f}" if agreed else f"the target of {rate:.2f}"


def peritonitis_cusum(basis: Basis) -> Iterator[Block]:
    """One row a week from each clinic's first week at risk on: the climb that the sum stands for.

    Source: statistics.md 2.22. Test: tests/surveillance/signals/test_peritonitis_cusum.py.
    """
    days_per_year = basis.facts.rule_set.number("days_per_year")
    base = basis.baselines(basis.mondays)
    days = basis.days_by_week
    years = days / days_per_year
    path = climbs(basis.episodes_by_week, years, base.expected, _changes(base.phase))
    clinic, week = np.nonzero(np.cumsum(days, axis=1) > 0)
    at = (clinic, week)
    start = basis.mondays[path.first_week[at]]
    end = basis.mondays[week] + DAYS_A_WEEK - 1
    sentence = [
        _sentence(*one)
        for one in zip(
            days[at].tolist(), path.observed[at].tolist(), path.expected[at].tolist(),
            path.total[at].tolist(), path.limit[at].tolist(), path.false_alarms[at].tolist(),
            start.tolist(), end.tolist(), base.expected[at].tolist(), base.is_agreed[at].tolist(),
            strict=True,
        )
    ]  # fmt: skip
    yield Block(
        RULE, clinic, start, end, path.observed[at], path.expected[at], path.total[at],
        path.limit[at], path.false_alarms[at], sentence,
    )  # fmt: skip
    yield _nobody_yet(basis, clinic)


def _nobody_yet(basis: Basis, begun: Ints) -> Block:
    """Clinics without a whole week at risk: looked at, and nothing to watch."""
    clinic = np.setdiff1d(np.flatnonzero(basis.dated), begun)
    sentence = ["Nobody has been at risk for a whole week: nothing to watch yet."] * len(clinic)
    first, last = basis.stop_day - DAYS_A_WEEK, basis.stop_day - 1
    return Block(RULE, clinic, first, last, 0, 0.0, np.nan, np.nan, np.nan, sentence)


def _sentence(
    days: int, seen: int, expected: float, total: float, limit: float, luck: float,
    start: int, end: int, rate: float, agreed: bool,
) -> str:  # fmt: skip
    if not days:
        return "Nobody was at risk in this week."
    weeks = (end - start + 1) // DAYS_A_WEEK
    told = (
        f"{episodes(seen)} in {weeks} week{'' if weeks == 1 else 's'} from {day_words(start)} to "
        f"{day_words(end)} where {_reference(rate, agreed)} per patient-year gives {expected:.1f}"
    )
    if total > limit:
        return (
            f"Peritonitis came faster than it should: {told}. Luck alone raises such an alarm "
            f"{luck_words(luck)} at a clinic of this size. {LOOKS}"
        )
    return f"Quiet: {told}."
